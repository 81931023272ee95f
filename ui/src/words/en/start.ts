export const start = {};
