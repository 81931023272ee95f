// Sheets of an invented shell of any size: rings of points along it, each taped to its neighbours. For timing; what it
// measures is nothing that anybody has.

const AROUND = 10;
/** From ring to ring. A hull of thousands of points is a long one: that many on a car would tell the solver little. */
const AHEAD_MM = 600;
const WIDE_MM = 820;
const HIGH_MM = 640;
/** What two careful people with a tape leave open. */
const NOISE_MM = 0.7;

/**
 * @param {number} points at least; rings are whole
 * @returns {{readings: string, points: string, counts: {points: number, readings: number}}} two sheets
 */
export function hull(points) {
    const rings = Math.ceil(points / AROUND);
    const random = seeded(7);
    const places = [];
    for (let ring = 0; ring < rings; ring += 1) {
        const along = (ring + 0.5) / rings;
        // Narrower at both ends.
        const size = 0.55 + 0.45 * Math.sin(Math.PI * along);
        for (let step = 0; step < AROUND; step += 1) {
            const turn = (2 * Math.PI * (step + 0.5 * (ring % 2))) / AROUND;
            places.push([
                AHEAD_MM * ring + 60 * (random() - 0.5),
                WIDE_MM * size * Math.cos(turn) + 60 * (random() - 0.5),
                HIGH_MM * (1 + size * Math.sin(turn)) + 60 * (random() - 0.5),
            ]);
        }
    }
    const label = (index) => `ring ${Math.floor(index / AROUND) + 1} no ${(index % AROUND) + 1}`;
    const lines = [];
    const tape = (a, b) => {
        const value = Math.hypot(...places[a].map((at, axis) => at - places[b][axis])) + NOISE_MM * gauss(random);
        lines.push(`q${lines.length + 1},tape,${label(a)},${label(b)},${value.toFixed(1)} mm`);
    };
    for (let index = 1; index < places.length; index += 1) {
        const first = Math.max(0, Math.floor(index / AROUND) - 2) * AROUND;
        const others = Array.from({ length: index - first }, (_, other) => first + other);
        // The first rings hold each other; every later point hangs on five of those before it.
        while (index >= 2 * AROUND && others.length > 5) others.splice(Math.floor(random() * others.length), 1);
        for (const other of others) tape(other, index);
    }
    const rough = places.map((place, index) => [label(index), ...place.map((at) => `${Math.round(at / 20) * 20} mm`)].join(','));
    return {
        readings: ['id,kind,a,b,value', ...lines, ''].join('\n'),
        points: ['label,x,y,z', ...rough, ''].join('\n'),
        counts: { points: places.length, readings: lines.length },
    };
}

/** Numbers from 0 to 1, the same ones each time (Park and Miller, Comm. ACM 31, 1988: 16807 modulo 2^31 - 1). */
function seeded(seed) {
    let state = seed;
    return () => (state = (state * 16807) % 2147483647) / 2147483647;
}

/** Box and Muller, Ann. Math. Stat. 29, 1958. */
function gauss(random) {
    return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
