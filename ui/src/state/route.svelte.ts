// Which room is shown. It stands in the address, so that going back and a reload keep the place.

export const ROOMS = [
    'jobs',
    'start',
    'measure',
    'shape',
    'doubts',
    'points',
    'readings',
    'photos',
    'instruments',
    'history',
    'hand-off',
    'settings',
    'more',
] as const;
export type Room = (typeof ROOMS)[number];

export interface Route {
    room: Room;
    /** What the room is asked to show, such as the points of a reading to take. */
    asked: URLSearchParams;
}

function read(): Route {
    const [room = '', asked = ''] = location.hash.replace(/^#\/?/, '').split('?');
    const known = ROOMS.find((one) => one === room);
    return { room: known ?? 'measure', asked: new URLSearchParams(asked) };
}

class RouteState {
    now = $state.raw<Route>(read());

    constructor() {
        window.addEventListener('hashchange', () => {
            this.now = read();
        });
    }
}

export const route = new RouteState();

/** The address of a room. */
export function addressOf(room: Room, asked: Record<string, string | string[]> = {}): string {
    const query = new URLSearchParams();
    for (const [key, value] of Object.entries(asked)) {
        for (const one of Array.isArray(value) ? value : [value]) query.append(key, one);
    }
    const text = query.toString();
    return `#/${room}${text === '' ? '' : `?${text}`}`;
}

/** Goes to a room. */
export function go(room: Room, asked: Record<string, string | string[]> = {}): void {
    location.hash = addressOf(room, asked);
}
