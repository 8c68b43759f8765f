// SPDX-License-Identifier: Apache-2.0
// Keeps the files of the page on the device, by the list its build made; never an answer of the
// program: those are old as soon as the case moves on, and the page keeps them itself, with their
// time. One cache for each build; the last one before it stays, for a page that is still open.
declare const self: ServiceWorkerGlobalScope;
export {};

const kFiles: string[] = "__FILES__" as unknown as string[]; // put in by the build
const kBuild = "__BUILD__";
const kPrefix = "tautmark-page-";

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(kPrefix + kBuild);
      await cache.addAll(kFiles.map((file) => new Request(file, { cache: "reload" })));
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const old = (await caches.keys()).filter(
        (name) => name.startsWith(kPrefix) && name !== kPrefix + kBuild,
      );
      await Promise.all(old.slice(0, -1).map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("fetch", (event) => {
  const file = kept_name(event.request);
  if (file === undefined) return;
  event.respondWith(
    (async () => {
      const own = await (await caches.open(kPrefix + kBuild)).match(file);
      return own ?? (await caches.match(file)) ?? (await fetch(event.request));
    })(),
  );
});

// Undefined: not ours to answer.
function kept_name(request: Request): string | undefined {
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return undefined;
  if (pathname === "/" || pathname === "/index.html") return "/";
  return kFiles.includes(pathname) || pathname.startsWith("/code/") ? pathname : undefined;
}
