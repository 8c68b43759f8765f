// SPDX-License-Identifier: Apache-2.0
// Numbers with their units and directions as the program writes them, with the decimal comma.
import { with_comma } from "./comma";

const kWords: [RegExp, string][] = [
  [/deg crank\b/, "Grad Kurbelwelle"],
  [/deg cam\b/, "Grad Nockenwelle"],
  [/\bdeg\b/, "Grad"],
  [/deg([CF])\b/, "°$1"],
  [/\(crank\)/, "(Kurbel)"],
  [/° cam\b/, "° Nocke"],
  [/° crank\b/, "° Kurbel"],
  [/\bearly\b/, "früh"],
  [/\blate\b/, "spät"],
  [/\bat most\b/, "höchstens"],
  [/\bat least\b/, "mindestens"],
  [/\bmore than\b/, "mehr als"],
  [/\bless than\b/, "weniger als"],
  [/\btooth\b/, "Zahn"],
  [/\bteeth\b/, "Zähne"],
  [/\bto\b/, "bis"],
  [/>=/, "≥"],
  [/<=/, "≤"],
  [/crank turns?\b/, "Kurbelumdrehungen"],
];

// One of each: a number, a sign, a unit, a word above.
const kPart =
  /^(?:[-+±<>=≥≤~(]*\d(?:[\d.,]*\d)?(?:e[-+]?\d+)?[%°)]*|[±<>]|[<>]=|deg(?: crank| cam)?|deg[CF]|°[CF]|%|\(crank\)|cam|crank|early|late|at most|at least|more than|less than|tooth|teeth|to|k|=|x|×|\+|-|−|mm|µm|um|cm|m|km|mi|in|inch|thou|h|s|ms|min|kPa|Pa|MPa|bar|psi|N·m|N|kgf·m|kgf·cm|lbf·ft|lbf·in|ozf·in|1\/min|K|V|Hz|kHz|kN|g)[,)]?$/;

const kTwoWords = /deg (?:crank|cam)|at (?:most|least)|(?:more|less) than/g;

export function measured(text: string): string | undefined {
  if (!/^(?:(?:at|more|less) |[-+±<>=≥≤~(])*\s?(?:most |least |than )?\d/.test(text) || /^\d{4}-\d\d/.test(text)) return undefined;
  const parts = text.replace(/\.\./g, " to ").replace(kTwoWords, (two) => two.replace(" ", "_")).split(" ");
  if (!parts.every((part) => kPart.test(part.replace("_", " ")))) return undefined;
  return in_german(text);
}

function in_german(text: string): string {
  let german = with_comma(text.replaceAll("..", " bis "));
  for (const [english, word] of kWords) german = german.replace(new RegExp(english, "g"), word);
  return german;
}
