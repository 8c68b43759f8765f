// SPDX-License-Identifier: Apache-2.0
// The page's own files are kept by a service worker (sw.ts), which browsers allow over https and on
// the machine itself only.
import { ask_to_persist } from "./outbox";

export function start_offline(): void {
  if (!import.meta.env.PROD || !isSecureContext || !("serviceWorker" in navigator)) return;
  addEventListener("load", () => {
    navigator.serviceWorker.register("/sw.js").catch(() => undefined);
    void ask_to_persist();
  });
}
