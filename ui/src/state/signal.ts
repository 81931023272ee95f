// Touch and sound, so that the one at the tape knows without looking. Never the only sign.

import { device } from './device.svelte';

let audio: AudioContext | null = null;

function tones(pitches: readonly number[], seconds: number): void {
    if (!device.now.sound) return;
    audio ??= new AudioContext();
    const begin = audio.currentTime;
    pitches.forEach((pitch, index) => {
        if (!audio) return;
        const tone = audio.createOscillator();
        const loudness = audio.createGain();
        tone.frequency.value = pitch;
        const at = begin + index * seconds;
        loudness.gain.setValueAtTime(0.12, at);
        loudness.gain.exponentialRampToValueAtTime(0.001, at + seconds);
        tone.connect(loudness).connect(audio.destination);
        tone.start(at);
        tone.stop(at + seconds);
    });
}

function buzz(pattern: number | number[]): void {
    if (device.now.buzz && 'vibrate' in navigator) navigator.vibrate(pattern);
}

export const signal = {
    key: (): void => buzz(8),
    logged: (): void => buzz(40),
    /** One low click. */
    fits: (): void => tones([220], 0.06),
    /** Two buzzes and two falling tones. */
    off: (): void => {
        buzz([80, 60, 80]);
        tones([520, 390], 0.16);
    },
};
