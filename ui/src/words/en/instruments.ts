export const instruments = {};
