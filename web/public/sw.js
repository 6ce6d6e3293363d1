// Keeps every file of this version, so that the app opens without a signal. All or nothing: one missing file would be a
// white page one day on a hillside. The build writes version and list.

const VERSION = '{{version}}';
const FILES = {{files}};

// The scope is part of the name: two copies on one host must not delete each other's files.
const PREFIX = `counterpoise-${new URL(self.registration.scope).pathname}-`;
const CACHE = PREFIX + VERSION;

self.addEventListener('install', (event) => {
  const requests = FILES.map((file) => new Request(file, { cache: 'reload' }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(requests)));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(takeOver());
});

// Older versions go only now: until then a page may still be running on them.
async function takeOver() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)));
  await self.clients.claim();
}

self.addEventListener('message', (event) => {
  if (event.data === 'skip-waiting') self.skipWaiting();
  if (event.data === 'skip-waiting-if-alone') event.waitUntil(skipIfAlone());
});

// A silent update must not reload a second window that somebody is working in.
async function skipIfAlone() {
  const windows = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  if (windows.length <= 1) await self.skipWaiting();
}

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin) return;
  event.respondWith(answer(request, url));
});

async function answer(request, url) {
  const cache = await caches.open(CACHE);
  if (request.mode === 'navigate') {
    const page = /\/rescue(\.html)?$/.test(url.pathname) ? 'rescue.html' : 'index.html';
    const kept = await cache.match(page, { ignoreVary: true });
    if (kept) return unredirected(kept);
  }
  return (await cache.match(request, { ignoreSearch: true, ignoreVary: true })) ?? fetch(request);
}

// Some hosts answer index.html by a redirect, and browsers refuse a redirected answer to a navigation.
function unredirected(response) {
  if (!response.redirected) return response;
  return new Response(response.body, { headers: response.headers, status: response.status, statusText: response.statusText });
}
