// SPDX-License-Identifier: Apache-2.0
// The page's own files are kept by a service worker (sw.ts), which browsers allow over https and on
// the machine itself only. A newer page is offered, never put under the hands of who enters.
import { ask_to_persist } from "./outbox";

const kLookEvery = 3_600_000; // ms
let is_newer = false;

export const is_page_newer = (): boolean => is_newer;

export function start_offline(): void {
  if (!import.meta.env.PROD || !isSecureContext || !("serviceWorker" in navigator)) return;
  const workers = navigator.serviceWorker;
  let had_one = workers.controller !== null; // the first one brings nothing new
  workers.addEventListener("controllerchange", () => {
    is_newer = had_one;
    had_one = true;
    if (is_newer) dispatchEvent(new Event("newer"));
  });
  addEventListener("load", () => {
    workers.register("/sw.js").then(look_for_newer, () => undefined);
    void ask_to_persist();
  });
}

// A page that stays open for days asks by itself.
function look_for_newer(registered: ServiceWorkerRegistration): void {
  let looked_at = Date.now();
  const look = () => {
    if (document.visibilityState !== "visible" || Date.now() - looked_at < kLookEvery) return;
    looked_at = Date.now();
    registered.update().catch(() => undefined);
  };
  document.addEventListener("visibilitychange", look);
  setInterval(look, kLookEvery);
}
