/**
 * The service worker: keeps every file of the app, so that it opens with no
 * signal. A new version waits until a person accepts it.
 */

import { cleanupOutdatedCaches, createHandlerBoundToURL, matchPrecache, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

declare const self: ServiceWorkerGlobalScope;

// The build puts the list of files here.
const files = self.__WB_MANIFEST;
precacheAndRoute(files);
cleanupOutdatedCaches();

// Every page of the app is the one shell; the API and its papers are not pages.
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/v1\//, /^\/openapi\.yaml$/, /^\/healthz$/, /^\/readyz$/, /^\/metrics$/],
  }),
);

self.addEventListener("message", (event) => {
  if (event.data === "accept") {
    void self.skipWaiting();
  } else if (event.data === "complete?") {
    event.waitUntil(complete().then((all) => event.ports[0]?.postMessage(all)));
  }
});

/** Reports whether every file of the app is really kept; a browser may evict. */
async function complete(): Promise<boolean> {
  const kept = await Promise.all(files.map((file) => matchPrecache(typeof file === "string" ? file : file.url)));
  return kept.every((response) => response !== undefined);
}
