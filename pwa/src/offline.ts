/** Whether the app is ready to work with no signal, and whether a newer one waits. */

import type { Engine } from "./engine/client.ts";

/**
 * ready: the service worker is active, every file is kept and the engine runs.
 * refused: this browser, or this address, does not let an app be kept.
 */
export type Offline = "getting" | "ready" | "incomplete" | "refused";

/** Registers the service worker and tells how far things are. */
export async function watchOffline(engine: Engine, tell: (state: Offline) => void, offer: (accept: () => void) => void): Promise<void> {
  if (!("serviceWorker" in navigator)) {
    tell("refused"); // an address without HTTPS has none
    return;
  }
  try {
    const registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
    offerUpdates(registration, offer);
    // A first install that could not fetch everything never becomes ready.
    registration.installing?.addEventListener("statechange", (event) => {
      if ((event.target as ServiceWorker).state === "redundant" && !registration.active) tell("incomplete");
    });
    const { active } = await navigator.serviceWorker.ready;
    await engine.versions;
    tell(active && (await everyFileIsKept(active)) ? "ready" : "incomplete");
  } catch {
    // With no signal a registered worker still serves; only a first visit fails here.
    const active = (await navigator.serviceWorker.getRegistration())?.active;
    tell(active && (await everyFileIsKept(active)) && (await runs(engine)) ? "ready" : "refused");
  }
}

function runs(engine: Engine): Promise<boolean> {
  return engine.versions.then(() => true, () => false);
}

function everyFileIsKept(worker: ServiceWorker): Promise<boolean> {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event: MessageEvent<boolean>) => resolve(event.data);
    worker.postMessage("complete?", [channel.port2]);
  });
}

/** A new version is offered, never forced; only the page that accepts it reloads, once. */
function offerUpdates(registration: ServiceWorkerRegistration, offer: (accept: () => void) => void): void {
  const consider = (worker: ServiceWorker | null) => {
    if (worker && registration.active) {
      offer(() => {
        worker.addEventListener("statechange", () => worker.state === "activated" && location.reload());
        worker.postMessage("accept");
      });
    }
  };
  consider(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    worker?.addEventListener("statechange", () => worker.state === "installed" && consider(worker));
  });
}
