/**
 * The service worker: keeps the screens on the device, so that a phone loaded anew out of touch still has them. Boards
 * and taps are not its business: they are kept by the pages.
 */

interface Waiting extends Event {
  waitUntil(until: Promise<unknown>): void;
}
interface Asked extends Waiting {
  readonly request: Request;
  respondWith(reply: Promise<Response>): void;
}
interface Worker {
  addEventListener(name: 'install' | 'activate', heard: (event: Waiting) => void): void;
  addEventListener(name: 'fetch', heard: (event: Asked) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
}

const worker = self as unknown as Worker;
const KEPT = 'kitchen-timer screens';
const ROOT = '/';
/** Asked of the server first, and answered from what is kept when it does not answer: they seldom change. */
const FACTS = ['/api/kitchen', '/api/book'];
/** A page is waited for no longer, ms: a cook with a weak network gets the one that is kept. */
const PATIENCE_MS = 3000;

worker.addEventListener('install', (event) => {
  event.waitUntil(keepAll().then(() => worker.skipWaiting()));
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(worker.clients.claim());
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return;
  if (request.mode === 'navigate') event.respondWith(fresh(request, ROOT));
  else if (url.pathname.startsWith('/assets/')) event.respondWith(kept(request));
  else if (FACTS.includes(url.pathname)) event.respondWith(fresh(request, url.pathname));
});

async function keepAll(): Promise<void> {
  const files = (await (await fetch('/files.json', { cache: 'no-store' })).json()) as string[];
  const store = await caches.open(KEPT);
  await store.addAll([ROOT, '/manifest.json', ...files]);
  await Promise.all(FACTS.map((path) => store.add(path).catch(() => undefined)));
  for (const old of await store.keys()) {
    const { pathname } = new URL(old.url);
    if (pathname.startsWith('/assets/') && !files.includes(pathname)) await store.delete(old);
  }
}

/** Files whose names change with what is in them: what is kept is right. */
async function kept(request: Request): Promise<Response> {
  const store = await caches.open(KEPT);
  return (await store.match(request)) ?? fetch(request);
}

async function fresh(request: Request, as: string): Promise<Response> {
  const store = await caches.open(KEPT);
  const asked = fetch(request).then(async (reply) => {
    if (reply.ok) await store.put(as, reply.clone());
    return reply;
  });
  const last = await store.match(as);
  if (last === undefined) return asked;
  const late = new Promise<Response>((done) => setTimeout(() => done(last), PATIENCE_MS));
  return Promise.race([asked.catch(() => last), late]);
}
