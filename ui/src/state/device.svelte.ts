// What this device is set to: who holds it, the look, how numbers are written. Kept by the desk.

import { call } from '../backend';
import type { DeviceSaid, ThisDevice } from '../gen/wire';

const BEFORE_IT_IS_KNOWN: ThisDevice = {
    person: null,
    theme: 'device',
    marks: 16,
    numbers: 'device',
    actions: 'right',
    sound: false,
    buzz: true,
    text_size: 'normal',
    first_start: false,
    job: null,
};

class DeviceState {
    now = $state<ThisDevice>(BEFORE_IT_IS_KNOWN);
    isKnown = $state(false);

    async load(): Promise<void> {
        this.now = await call('device', {});
        this.isKnown = true;
    }

    async set(change: DeviceSaid): Promise<void> {
        this.now = await call('set-device', change);
    }
}

export const device = new DeviceState();

/** How large letters are, beside what the device itself is set to. */
const TEXT_SIZES: Record<ThisDevice['text_size'], string> = { normal: '100%', large: '120%', largest: '140%' };

/** Follows the theme and the size of letters that are asked for. */
export function followLook(): void {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const apply = () => {
        const theme = device.now.theme === 'device' ? (dark.matches ? 'dark' : 'light') : device.now.theme;
        document.documentElement.dataset.theme = theme;
        document.documentElement.style.fontSize = TEXT_SIZES[device.now.text_size];
    };
    dark.addEventListener('change', apply);
    $effect.root(() => {
        $effect(apply);
    });
}
