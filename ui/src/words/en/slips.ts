export const slips = {};
