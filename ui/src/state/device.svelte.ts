// What this device is set to: who holds it, the look, how numbers are written. Kept by the desk.

import { call } from '../backend';
import type { Device, DeviceAsk } from '../gen/wire';

const BEFORE_IT_IS_KNOWN: Device = {
    person: null,
    theme: 'device',
    marks: 16,
    numbers: 'device',
    actions: 'right',
    sound: false,
    buzz: true,
    job: null,
};

class DeviceState {
    now = $state<Device>(BEFORE_IT_IS_KNOWN);
    isKnown = $state(false);

    async load(): Promise<void> {
        this.now = await call('device', {});
        this.isKnown = true;
    }

    async set(change: DeviceAsk): Promise<void> {
        this.now = await call('set-device', change);
    }
}

export const device = new DeviceState();

/** Follows the theme that is asked for, or the device's own. */
export function followTheme(): void {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const apply = () => {
        const theme = device.now.theme === 'device' ? (dark.matches ? 'dark' : 'light') : device.now.theme;
        document.documentElement.dataset.theme = theme;
    };
    dark.addEventListener('change', apply);
    $effect.root(() => {
        $effect(apply);
    });
}
