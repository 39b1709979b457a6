// The worker keeps the whole site on the device, so that it opens without a network. Publishing writes two lines before
// these: VERSION, which changes with any byte of the site, and FILES, the addresses of all of its files.
const OURS = `pottle ${registration.scope} `;
const CACHE = OURS + VERSION;
const files = new Set(FILES.map(path => new URL(path, location).href));

// A host may send `page.html` on to `page`; no browser takes an answer that was sent on for a page it asked for.
const plain = async answer => answer.redirected ? new Response(await answer.blob(), answer) : answer;

async function keep(cache, href) {
  const answer = await fetch(href, { cache: "reload" });
  if (!answer.ok) throw new Error(href);
  await cache.put(href, await plain(answer));
}

// All files or none: until the last one is here, the site of before goes on.
addEventListener("install", event => event.waitUntil((async () => {
  const cache = await caches.open(CACHE);
  await Promise.all([...files].map(href => keep(cache, href)));
  await skipWaiting();
})()));

addEventListener("activate", event => event.waitUntil((async () => {
  const names = await caches.keys();
  await Promise.all(names.filter(name => name.startsWith(OURS) && name !== CACHE).map(name => caches.delete(name)));
  await clients.claim();
})()));

addEventListener("fetch", event => {
  const { request } = event;
  const url = new URL(request.url);
  url.search = url.hash = "";
  if (request.mode === "navigate" && !files.has(url.href)) {
    url.pathname += url.pathname.endsWith("/") ? "index.html" : ".html";
  }
  // What is none of our files goes its way as if there were no worker.
  if (request.method !== "GET" || !files.has(url.href)) return;
  event.respondWith((async () => {
    const cache = await caches.open(CACHE);
    return await cache.match(url.href) ?? fetch(request);
  })());
});
