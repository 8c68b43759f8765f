// SPDX-License-Identifier: Apache-2.0
// What the program says of definitions.
import type { Schemas } from "../ask";

export type Checked = Schemas["drive_text_checked"];
export type Difference = Schemas["difference"];
type Level = Schemas["drive_check"]["levels"][number];

export function answered(check: Schemas["drive_check"] | undefined): Level[] {
  return (check?.levels ?? []).filter((level) => level.can_answer);
}

// Where the next number unlocks most: questions that lack the least come first. A path is drawn in
// the text of a definition, not typed from a manual.
export function nearest_unlocks(check: Schemas["drive_check"], most = 4): Level[] {
  return check.levels
    .filter((level) => !level.can_answer && level.missing.length > 0)
    .filter((level) => !level.missing.some(({ what }) => /\bpath\b/.test(what)))
    .sort((a, b) => a.missing.length - b.missing.length)
    .slice(0, most);
}

// Which interval a mistake's hint says may be meant: 'write "at most 0.11 mm"' -> "at most 0.11 mm".
// What has a letter in place of a number is no answer, and a unit is never guessed.
export function rewrites(hint: string | undefined): string[] {
  return [...(hint ?? "").matchAll(/"([^"]+)"/g)]
    .map((found) => found[1] ?? "")
    .filter((text) => /at least|at most|\.\./.test(text) && !/(^|[\s.±])[ab]([\s.]|$)/.test(text));
}
