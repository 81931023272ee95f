export const handOff = {};
