// SPDX-License-Identifier: Apache-2.0
// What was tapped on a photo, and what follows from it by counting alone. Nothing is recognized in
// the picture.
export interface Tap {
  x: number; // 0 to 1 of the picture
  y: number;
}

export interface Asked {
  counted: "links" | "teeth";
  bank: string;
  end: "front" | "flywheel" | ""; // "": not said
  mirrored: "yes" | "no" | "";
  crank: string; // where the crank stands, in words
}

// Why the count must not be used yet, by the names of the questions; empty: it may.
export function missing_of(asked: Asked, taps: readonly Tap[]): (keyof Asked | "taps")[] {
  const missing: (keyof Asked | "taps")[] = [];
  if (taps.length < 2) missing.push("taps");
  if (!asked.bank.trim()) missing.push("bank");
  if (!asked.end) missing.push("end");
  if (!asked.mirrored) missing.push("mirrored");
  if (!asked.crank.trim()) missing.push("crank");
  return missing;
}

// Seen from the flywheel end, or in a mirrored picture, clockwise on the picture is counterclockwise
// from the front; both together are as from the front.
export function is_turned_round({ end, mirrored }: Asked): boolean {
  return (end === "flywheel") !== (mirrored === "yes");
}

// What the form of marks begins with; where it was counted stands in words beside it.
export function count_query(asked: Asked, remark: string): Record<string, string> {
  return { seen_from: asked.end === "flywheel" ? "flywheel end" : "front", remark };
}
