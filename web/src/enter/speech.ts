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

export function speak(text: string): void {
  if (!speaks()) return;
  const said = new SpeechSynthesisUtterance(text);
  said.lang = language_now();
  speechSynthesis.cancel();
  speechSynthesis.speak(said);
}
