// SPDX-License-Identifier: Apache-2.0
// A time that is over rings on every screen, after a reload too, until it is taken away, at most a
// minute. A browser lets a page sound only after it was touched once; until then it shakes and shows.
import { is_over, timers } from "./timers";

const kEvery = 4; // s
const kMost = 15; // rings of one timer

const rung = new Map<string, number>();
let sound: AudioContext | undefined;

// Called while something is pressed: only then a browser allows it.
function wake(): void {
  if (timers().length === 0 || !("AudioContext" in globalThis)) return;
  sound ??= new AudioContext();
  if (sound.state === "suspended") void sound.resume();
}

// Two tones that are heard beside a running compressor: from memory, no source.
function ring_once(): void {
  navigator.vibrate?.([300, 150, 300]);
  if (!sound || sound.state !== "running") return;
  for (const [at, hertz] of [[0, 1320], [0.25, 990], [0.5, 1320]] as const) {
    const [tone, loudness] = [sound.createOscillator(), sound.createGain()];
    const begin = sound.currentTime + at;
    tone.type = "square";
    tone.frequency.value = hertz;
    loudness.gain.setValueAtTime(0.25, begin);
    loudness.gain.exponentialRampToValueAtTime(0.001, begin + 0.22);
    tone.connect(loudness).connect(sound.destination);
    tone.start(begin);
    tone.stop(begin + 0.24);
  }
}

// True when one of them rings now.
export function ring_due(now = Date.now()): boolean {
  const due = timers().filter((one) => !one.stopped && is_over(one, now) && (rung.get(one.id) ?? 0) < kMost);
  for (const one of due) rung.set(one.id, (rung.get(one.id) ?? 0) + 1);
  return due.length > 0;
}

export function start_ringing(): void {
  for (const event of ["pointerdown", "keydown", "timers"]) addEventListener(event, wake);
  let rings_at = 0;
  setInterval(() => {
    const now = Date.now();
    if (now < rings_at || !ring_due(now)) return;
    rings_at = now + 1000 * kEvery;
    ring_once();
  }, 500);
}
