export const history = {};
