// Keeps the page for a day without network: files come from the network while
// there is one and from the last visit when there is none. What is asked of the
// server (/api) is never kept here.

interface ServiceWorkerScope {
  addEventListener(type: string, f: (e: any) => void): void;
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
}

const self_ = self as unknown as ServiceWorkerScope;
const shelf = "hardnoon";
const files = ["/", "/app.js", "/app.css", "/worker.js", "/wasm_exec.js", "/hardnoon.wasm", "/manifest.webmanifest", "/icon.svg", "/atkinson-hyperlegible-next-latin-wght-normal.woff2"];

self_.addEventListener("install", (e) => {
  const keep = async () => {
    const c = await caches.open(shelf);
    await Promise.all(files.map((f) => c.add(new Request(f, { cache: "no-cache" })).catch(() => undefined)));
    await self_.skipWaiting();
  };
  e.waitUntil(keep());
});

self_.addEventListener("activate", (e) => e.waitUntil(self_.clients.claim()));

self_.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin || url.pathname.startsWith("/api/")) return;
  const name = url.pathname.includes(".") ? url.pathname : "/";
  e.respondWith(fresh(name, e.request));
});

// fresh waits two seconds for the network, no longer: a weak signal must not
// hold up a person.
async function fresh(name: string, request: Request): Promise<Response> {
  const c = await caches.open(shelf);
  const kept = await c.match(name);
  const get = fetch(request).then(async (r) => {
    if (r.ok) await c.put(name, r.clone());
    return r;
  });
  if (!kept) return get;
  const late = new Promise<Response>((use) => setTimeout(() => use(kept), 2000));
  return Promise.race([get.catch(() => kept), late]);
}
