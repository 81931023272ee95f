// What the desk's refusals are headed with. The desk says in words what was wrong; this is what stands over it.

export const refusals = {
    again: 'Try again',
    cannotOpen: 'The log cannot be opened',
    noDesk: {
        head: 'Trammel has stopped',
        what: 'Nothing that was logged is lost. Start Trammel again, and open the address that it prints.',
    },
};
