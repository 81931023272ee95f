export const jobs = {};
