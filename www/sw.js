// Serves the site from one whole, never mixed build, so that it opens with no network.
// The build writes the list of files and the build's name into this text.
const BUILD = '__BUILD__';
const FILES = /*PRECACHE*/[];
// What makes pictures and dossiers comes after the first load, so that the log opens sooner.
const LATER = /*LATER*/[];
const SHELF = `garboard-site-${BUILD}`;

self.addEventListener('install', (event) => {
  // All or nothing: when one file cannot be had, the build before stays in charge.
  event.waitUntil((async () => {
    const shelf = await caches.open(SHELF);
    await Promise.all(FILES.map(async (file) => {
      const answer = await fetch(file, { cache: 'no-cache' });
      if (!answer.ok) throw new Error(`${file}: ${answer.status}`);
      await shelf.put(new URL(file, self.registration.scope).href, answer);
    }));
  })());
});

self.addEventListener('activate', (event) => {
  event.waitUntil((async () => {
    let isFirst = true;
    for (const name of await caches.keys()) {
      if (!name.startsWith('garboard-site-') || name === SHELF) continue;
      isFirst = false;
      await caches.delete(name);
    }
    // The very first build serves the pages that loaded it at once; a later one never reaches into open pages.
    if (isFirst) await self.clients.claim();
  })());
});

async function fetchLater() {
  const shelf = await caches.open(SHELF);
  for (const file of LATER) {
    const name = new URL(file, self.registration.scope).href;
    if (await shelf.match(name)) continue;
    const answer = await fetch(file, { cache: 'no-cache' });
    if (answer.ok) await shelf.put(name, answer);
  }
}

self.addEventListener('message', (event) => {
  // Without a network it is tried again at the next start.
  if (event.data === 'fetch the rest') event.waitUntil(fetchLater().catch(() => {}));
  if (event.data === 'take over') self.skipWaiting();
  // Asked of a newer build by the pages of the one before.
  if (event.data === 'what changed') {
    event.waitUntil((async () => {
      const shelf = await caches.open(SHELF);
      const news = await shelf.match(new URL('news.txt', self.registration.scope).href);
      event.ports[0].postMessage(news ? await news.text() : '');
    })());
  }
});

self.addEventListener('fetch', (event) => {
  const asked = event.request;
  const scope = self.registration.scope;
  if (asked.method !== 'GET' || !asked.url.startsWith(scope)) return;
  event.respondWith((async () => {
    const shelf = await caches.open(SHELF);
    const name = asked.mode === 'navigate' ? new URL('index.html', scope).href : asked.url.split(/[?#]/)[0];
    return (await shelf.match(name)) ?? fetch(asked);
  })());
});
