import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
    plugins: [svelte()],
    // Pages are served from the root by the bridge and from the program itself in the window.
    base: './',
    build: { target: 'es2022', assetsInlineLimit: 0, sourcemap: false, reportCompressedSize: true },
});
