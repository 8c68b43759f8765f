// SPDX-License-Identifier: Apache-2.0
// A network that goes silent breaks no stream for minutes. Where an answer must not outlive the
// link, the program is asked for its pulse.
import { useEffect } from "preact/hooks";

import { ask } from "../ask";
import { link_is } from "./live";

const kEvery = 10_000; // ms
const kPatience = 5_000; // ms
const kAsleep = kEvery + 2 * kPatience; // ms without a beat: the device slept

let heard_at = 0;

// True when the program answered in time.
export async function beat(asked: Promise<{ status: number }>, patience = kPatience): Promise<boolean> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<false>((told) => {
    timer = setTimeout(() => told(false), patience);
  });
  const answered = asked.then((answer) => answer.status !== 0);
  const is_good = await Promise.race([answered, late]);
  clearTimeout(timer);
  return is_good;
}

export function usePulse(): void {
  useEffect(() => {
    const listen = async () => {
      if (document.hidden) return;
      if (heard_at > 0 && Date.now() - heard_at > kAsleep) link_is(false);
      const is_good = await beat(ask("GET", "/api/status"));
      if (is_good) heard_at = Date.now();
      link_is(is_good);
    };
    const lost = () => link_is(false);
    const again = () => void listen();
    heard_at = 0;
    again();
    const timer = setInterval(again, kEvery);
    document.addEventListener("visibilitychange", again);
    addEventListener("offline", lost);
    return () => {
      clearInterval(timer);
      document.removeEventListener("visibilitychange", again);
      removeEventListener("offline", lost);
    };
  }, []);
}
