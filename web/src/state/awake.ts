// SPDX-License-Identifier: Apache-2.0
// Keeps the screen lit during a step, where the browser allows it; it takes the lock away when the
// page is hidden, so it is asked for again when it is seen.
import { useEffect } from "preact/hooks";

export function useAwake(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | undefined;
    let is_gone = false;
    const hold = async () => {
      if (document.visibilityState !== "visible") return;
      try {
        lock = await navigator.wakeLock?.request("screen");
        if (is_gone) void lock?.release();
      } catch {
        // Low battery, or not allowed: the screen goes dark as it always does.
      }
    };
    void hold();
    document.addEventListener("visibilitychange", hold);
    return () => {
      is_gone = true;
      document.removeEventListener("visibilitychange", hold);
      void lock?.release();
    };
  }, []);
}
