// Service worker: the pages that were opened keep opening without a network. The cache is named by build; the
// two lines above this text (BUILD, FILES) are written by the server.
const CACHE = `firstbounce-${BUILD}`;
const PATIENCE_MS = 4000; // for the network, when an older copy is there

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const old = (await caches.keys()).filter((name) => name.startsWith("firstbounce-") && name !== CACHE);
    const fresh = await caches.open(CACHE);
    for (const name of old) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) {
        const page = !new URL(request.url).pathname.startsWith("/static/");
        if (page && !(await fresh.match(request))) await fresh.put(request, await cache.match(request));
      }
      // files of an older build stay until no page of it is open: its pages still point at them
      const open = await self.clients.matchAll({ includeUncontrolled: true });
      if (!open.length) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(page(request));
  else if (url.pathname.startsWith("/api/") || url.pathname === "/sw.js") return;
  else event.respondWith(fresh(request).catch(async () => (await caches.match(request)) ?? Response.error()));
});

async function file(request) {
  return (await caches.match(request)) ?? fresh(request);
}

/** From the network, kept for later; a page that cannot be had comes from the cache, else the course page. */
async function page(request) {
  const cached = await caches.match(request);
  try {
    if (!cached) return await fetched(request);
    return await Promise.race([fresh(request), late()]);
  } catch {
    if (cached) return cached;
    const { pathname } = new URL(request.url);
    return (await caches.match(shellOf(pathname))) ?? Response.error();
  }
}

/** What stands in for a page that was never opened: the log and a clinic are filled from what the phone kept. */
function shellOf(pathname) {
  if (/^\/sessions\/[0-9a-f]+\/log$/.test(pathname)) return "/course/log";
  if (/^\/clinics\/[0-9a-f]+$/.test(pathname)) return "/clinics/any";
  return "/course";
}

const late = () => new Promise((_, no) => setTimeout(() => no(new Error("late")), PATIENCE_MS));

async function fetched(request) {
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected) {
    const cache = await caches.open(CACHE);
    await cache.put(request, answer.clone()).catch(() => {}); // a full phone still shows the page
  }
  return answer;
}

async function fresh(request) {
  const answer = await fetched(request);
  if (answer.status >= 500) throw new Error("the server is in trouble");
  return answer;
}

self.addEventListener("message", (event) => {
  if (event.data !== "forget") return; // signing out forgets every page
  event.waitUntil(caches.keys().then((names) => Promise.all(names.map((name) => caches.delete(name)))));
});
