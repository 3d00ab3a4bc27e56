// Between the tablet and the network: the stand's page, its scripts, its last data and its pictures are kept, and shown
// when the network is gone. Nothing else is kept, and a sign-out forgets what was kept of jobs.
const PIECES = "pieces"; // scripts, style, typeface: nothing of anybody
const JOBS = "jobs"; // shells and data of the jobs at the stand
const PATIENCE_MS = 2500; // a network that takes longer than this is treated as gone

const isStand = (url) => /^\/jobs\/[^/]+\/stand(\.json)?$/.test(url.pathname);
// Pictures carry the mark of what they were drawn from after the question mark: the same mark, the same pictures.
const isPictures = (url) => /^\/jobs\/[^/]+\/stand\/pictures\.json$/.test(url.pathname);
const isPiece = (url) => url.pathname.startsWith("/look/");

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

// Pages name what they are made of once they stand: the first visit came past this worker.
self.addEventListener("message", (event) => {
  const { keep, forget } = event.data ?? {};
  if (forget) event.waitUntil(caches.delete(JOBS));
  if (keep) event.waitUntil(Promise.allSettled(keep.map(async (address) => {
    const url = new URL(address, self.location.origin);
    const cache = await caches.open(isPiece(url) ? PIECES : JOBS);
    if ((isPiece(url) || isPictures(url)) && await cache.match(url.href)) return;
    const answer = await fetch(url.href, { credentials: "same-origin", redirect: "manual" });
    if (answer.ok && isPictures(url)) await keepPictures(cache, url, answer);
    else if (answer.ok) await cache.put(plain(url), answer);
  })).then(() => event.source?.postMessage({ kept: true })));
});

/** A job's page is one page, whatever stands after the question mark; a piece is known by what stands there. */
const plain = (url) => (isPiece(url) ? url.href : url.origin + url.pathname);

/** Keeps the pictures of a job in place of those with an older mark. */
const keepPictures = async (cache, url, answer) => {
  for (const kept of await cache.keys()) if (new URL(kept.url).pathname === url.pathname) await cache.delete(kept);
  await cache.put(url.href, answer);
};

const inTime = (promise) =>
  Promise.race([promise, new Promise((_, no) => setTimeout(() => no(new Error("too slow")), PATIENCE_MS))]);

const fromNetworkFirst = async (request, url) => {
  const cache = await caches.open(JOBS);
  const asked = fetch(request).then(async (answer) => {
    // What stands in front of the shop's server answers for it when it is gone.
    if (answer.status >= 502 && answer.status <= 504) throw new Error("the server is gone");
    if (answer.ok && answer.type === "basic" && !answer.redirected) await cache.put(plain(url), answer.clone());
    return answer;
  });
  try {
    return await inTime(asked);
  } catch (why) {
    const kept = await cache.match(plain(url));
    if (kept) {
      asked.catch(() => {});
      const headers = new Headers(kept.headers);
      headers.set("x-kept", "yes");
      return new Response(kept.body, { status: kept.status, headers });
    }
    return asked;
  }
};

const piece = async (request, url) => {
  const cache = await caches.open(PIECES);
  const kept = await cache.match(url.href);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) await cache.put(url.href, answer.clone());
  return answer;
};

const picturesOf = async (request, url) => {
  const cache = await caches.open(JOBS);
  const kept = await cache.match(url.href);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok && answer.type === "basic" && !answer.redirected) await keepPictures(cache, url, answer.clone());
  return answer;
};

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (url.pathname === "/sign-out") {
    event.respondWith(fetch(event.request).then(async (answer) => {
      await caches.delete(JOBS);
      return answer;
    }));
  } else if (event.request.method === "GET" && isStand(url)) {
    event.respondWith(fromNetworkFirst(event.request, url));
  } else if (event.request.method === "GET" && isPictures(url)) {
    event.respondWith(picturesOf(event.request, url));
  } else if (event.request.method === "GET" && isPiece(url)) {
    event.respondWith(piece(event.request, url));
  }
});
