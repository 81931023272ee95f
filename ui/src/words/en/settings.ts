export const settings = {};
