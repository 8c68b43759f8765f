// SPDX-License-Identifier: Apache-2.0
// The last value read aloud by the device, if somebody switched that on; remembered.
import { language_now } from "../texts";

const kStored = "tautmark.speak";

export function can_speak(): boolean {
  return "speechSynthesis" in globalThis;
}

export function speaks(): boolean {
  return can_speak() && localStorage.getItem(kStored) === "yes";
}

export function set_speaks(on: boolean): void {
  if (on) localStorage.setItem(kStored, "yes");
  else localStorage.removeItem(kStored);
}

// A German voice takes the point of "28.069" for the end of a sentence or a thousand.
export function spoken(text: string, language: string): string {
  return language === "de" ? text.replace(/(\d)\.(?=\d)/g, "$1,") : text;
}

export function speak(text: string): void {
  if (!speaks()) return;
  const said = new SpeechSynthesisUtterance(spoken(text, language_now()));
  said.lang = language_now();
  speechSynthesis.cancel();
  speechSynthesis.speak(said);
}
