import { defineConfig } from 'vite';

// A kitchen-timer started beside the dev server; `npm run dev` hands everything but the screens on to it.
const server = process.env.KITCHEN_TIMER ?? 'http://127.0.0.1:8040';

export default defineConfig({
  build: { outDir: 'dist', emptyOutDir: true, target: 'es2020', assetsInlineLimit: 0, sourcemap: false },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': server, '/health': server, '/socket.io': { target: server, ws: true } },
  },
});
