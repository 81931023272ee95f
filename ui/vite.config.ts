import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type ProxyOptions } from 'vite';

// While developing, the desk is `trammel serve --port 4700` beside it: open the page with that start's `#token=…`.
const served = process.env.TRAMMEL_SERVED ?? 'http://127.0.0.1:4700';
const desk: ProxyOptions = { target: served, changeOrigin: true, headers: { origin: served } };
const proxy = { '/desk': desk, '/work': desk, '/stop': desk, '/photo': desk };

export default defineConfig({
    plugins: [svelte()],
    // Pages are served from the root by the bridge and from the program itself in the window.
    base: './',
    build: { target: 'es2022', assetsInlineLimit: 0, sourcemap: false, reportCompressedSize: true },
    server: { proxy },
    preview: { proxy },
});
