import { defineConfig, type Plugin } from 'vite';

// A kitchen-timer started beside the dev server; `npm run dev` hands everything but the screens on to it.
const server = process.env.KITCHEN_TIMER ?? 'http://127.0.0.1:8040';

/** Names every built file for the service worker, which keeps them all for a phone out of touch. */
function namesFiles(): Plugin {
  return {
    name: 'names-files',
    apply: 'build',
    generateBundle(_options, bundle) {
      const files = Object.keys(bundle).filter((name) => name.startsWith('assets/') && !name.endsWith('.woff'));
      this.emitFile({
        type: 'asset',
        fileName: 'files.json',
        source: JSON.stringify(files.map((name) => `/${name}`)),
      });
    },
  };
}

export default defineConfig({
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2020',
    assetsInlineLimit: 0,
    sourcemap: false,
    rollupOptions: {
      input: { main: 'index.html', worker: 'src/pwa/worker.ts' },
      output: {
        // A service worker is found again by its name, and reigns over the folder that it lies in.
        entryFileNames: (chunk) => (chunk.name === 'worker' ? 'worker.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  plugins: [namesFiles()],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': server, '/health': server, '/socket.io': { target: server, ws: true } },
  },
});
