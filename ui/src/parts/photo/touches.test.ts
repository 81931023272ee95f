import { beforeEach, expect, test, vi } from 'vitest';

import { type Told, Touches } from './touches';

let told: { [name in keyof Told]: ReturnType<typeof vi.fn> };
let touches: Touches;
beforeEach(() => {
    vi.stubGlobal('window', globalThis);
    vi.useFakeTimers();
    told = {
        dragsCross: vi.fn(() => false),
        push: vi.fn(),
        spread: vi.fn(),
        hold: vi.fn(() => true),
        cross: vi.fn(),
        crossBack: vi.fn(),
    };
    touches = new Touches(told as unknown as Told);
});

test('a tap does nothing here, so that the click after it counts', () => {
    touches.begin(1, { x: 10, y: 10 });
    touches.move(1, { x: 14, y: 12 });
    touches.end(1);
    vi.advanceTimersByTime(2000);
    expect(touches.didSomething).toBe(false);
    expect(told.push).not.toHaveBeenCalled();
    expect(told.hold).not.toHaveBeenCalled();
});

test('a finger that moves pushes the photo as far as it went', () => {
    touches.begin(1, { x: 10, y: 10 });
    touches.move(1, { x: 30, y: 10 });
    touches.move(1, { x: 35, y: 8 });
    expect(told.push.mock.calls).toEqual([[{ x: 20, y: 0 }], [{ x: 5, y: -2 }]]);
    expect(touches.didSomething).toBe(true);
});

test('a finger that lies still begins the cross, and drags it on', () => {
    touches.begin(1, { x: 10, y: 10 });
    vi.advanceTimersByTime(500);
    touches.move(1, { x: 40, y: 60 });
    touches.end(1);
    expect(told.hold).toHaveBeenCalledWith({ x: 10, y: 10 });
    expect(told.cross.mock.calls).toEqual([[{ x: 10, y: 10 }], [{ x: 40, y: 60 }]]);
    expect(told.push).not.toHaveBeenCalled();
});

test('two fingers spread the photo, and put the cross back that the first one moved', () => {
    told.dragsCross.mockReturnValue(true);
    touches.begin(1, { x: 100, y: 100 });
    touches.begin(2, { x: 200, y: 100 });
    expect(told.crossBack).toHaveBeenCalledOnce();
    touches.move(2, { x: 300, y: 100 });
    expect(told.spread).toHaveBeenCalledWith(2, { x: 200, y: 100 });
    expect(told.push).toHaveBeenCalledWith({ x: 50, y: 0 });
    touches.end(2);
    touches.move(1, { x: 150, y: 150 });
    expect(told.cross).toHaveBeenCalledTimes(1);
});
