// SPDX-License-Identifier: Apache-2.0
// A stretch of a recording's wave as the program sends it (docs/formats/wave.md).
import { case_path, in_store } from "../ask";

export interface Wave {
  holds: boolean; // a value holds until the next one
  from: number; // s
  to: number;
  first: number; // of the recording
  last: number;
  total: number; // samples of the channel
  times: Float64Array | undefined; // of single samples; undefined: bins of even width
  lows: Float32Array;
  highs: Float32Array; // the same as lows for single samples
}

const kHeader = 56;
const kMostTries = 30; // while the program is busy with other large files

export function parsed_wave(bytes: ArrayBuffer): Wave | undefined {
  if (bytes.byteLength < kHeader) return undefined;
  const view = new DataView(bytes);
  const magic = String.fromCharCode(...new Uint8Array(bytes, 0, 8));
  if (magic !== "TMWAVE1\n") return undefined;
  const flags = view.getUint32(8, true);
  const count = view.getUint32(12, true);
  const real = (at: number) => view.getFloat64(at, true);
  const same = { holds: (flags & 2) !== 0, from: real(16), to: real(24), first: real(32), last: real(40), total: real(48) };
  if (flags & 1) {
    if (bytes.byteLength < kHeader + 12 * count) return undefined;
    const values = new Float32Array(bytes.slice(kHeader + 8 * count, kHeader + 12 * count));
    return { ...same, times: new Float64Array(bytes.slice(kHeader, kHeader + 8 * count)), lows: values, highs: values };
  }
  if (bytes.byteLength < kHeader + 8 * count) return undefined;
  const [lows, highs] = [new Float32Array(count), new Float32Array(count)];
  for (let i = 0; i < count; ++i) {
    lows[i] = view.getFloat32(kHeader + 8 * i, true);
    highs[i] = view.getFloat32(kHeader + 8 * i + 4, true);
  }
  return { ...same, times: undefined, lows, highs };
}

export function time_of(wave: Wave, i: number): number {
  return wave.times ? (wave.times[i] ?? wave.to) : wave.from + ((i + 0.5) * (wave.to - wave.from)) / wave.lows.length;
}

export function range_of(wave: Wave): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 0; i < wave.lows.length; ++i) {
    const [a = NaN, b = NaN] = [wave.lows[i], wave.highs[i]];
    if (a < low) low = a;
    if (b > high) high = b;
  }
  return low <= high ? [low, high] : [0, 1];
}

export async function asked_wave(
  of_case: string,
  file: string,
  channel: number,
  stretch: { from: number; to: number } | undefined,
  bins: number,
  signal?: AbortSignal,
): Promise<Wave | string> {
  const query = new URLSearchParams({ name: file, channel: String(channel), bins: String(bins) });
  if (stretch) {
    query.set("from", String(stretch.from));
    query.set("to", String(stretch.to));
  }
  const path = in_store(`${case_path(of_case, "recording", "wave")}?${query}`);
  let answer = await fetch(path, signal ? { signal } : {});
  for (let tries = 0; answer.status === 503 && tries < kMostTries && !signal?.aborted; ++tries) {
    await new Promise((go_on) => setTimeout(go_on, 1000 * Number(answer.headers.get("Retry-After") ?? 1)));
    answer = await fetch(path, signal ? { signal } : {});
  }
  if (!answer.ok) return ((await answer.json().catch(() => ({}))) as { detail?: string }).detail ?? answer.statusText;
  return parsed_wave(await answer.arrayBuffer()) ?? "";
}
