// SPDX-License-Identifier: Apache-2.0
// The keys of the number pad; what they do stands in pad.ts. A keyboard does the same, wherever the
// focus is, except in a field of its own.
import { useLayoutEffect } from "preact/hooks";

import { decimal_mark, said } from "../said/said";
import { t } from "../texts";
import { type Pad, pressed } from "./pad";

interface Props {
  pad: Pad;
  on_key: (key: string) => void; // for pressed() of pad.ts
  on_enter: () => void;
  signed?: boolean; // early or late
  step: string; // "0.001 mm", said on the steppers
  listens?: boolean; // to the keyboard: one pad of a page
}

export function PadKeys({ pad, on_key, on_enter, signed = false, step, listens = true }: Props) {
  useKeyboard(listens, pad, on_key, on_enter);
  const key = (name: string, label: string = name, heard: string = label, kind = "") => (
    <button
      type="button"
      class={`key ${kind}`}
      aria-label={heard}
      aria-pressed={name === "early" || name === "late" ? pad.way === name : undefined}
      onClick={() => on_key(name)}
    >
      {label}
    </button>
  );
  return (
    <div class="pad" role="group" aria-label={t("in_pad")}>
      {["7", "8", "9"].map((digit) => key(digit))}
      {key("Backspace", "⌫", t("in_back"), "edit")}
      {["4", "5", "6"].map((digit) => key(digit))}
      {key("ArrowUp", "+", t("in_step_up", { step: said(step) }), "edit")}
      {["1", "2", "3"].map((digit) => key(digit))}
      {key("ArrowDown", "−", t("in_step_down", { step: said(step) }), "edit")}
      {pad.decimals === undefined ? key(".", decimal_mark(), t("in_point")) : <span />}
      {key("0")}
      <span />
      {key("Delete", "C", t("in_clear"), "edit")}
      {signed ? (
        <div class="ways">
          {key("early", t("in_early"))}
          {key("late", t("in_late"))}
        </div>
      ) : null}
    </div>
  );
}

// Listens anew right after each drawing, so no key of a fast typist meets an old state.
function useKeyboard(listens: boolean, pad: Pad, on_key: Props["on_key"], on_enter: () => void): void {
  useLayoutEffect(() => {
    if (!listens) return;
    const heard = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const target = event.target as HTMLElement;
      if (/^(INPUT|SELECT|TEXTAREA)$/.test(target.tagName)) return;
      if (event.key === "Enter") {
        if (/^(BUTTON|A|SUMMARY)$/.test(target.tagName)) return;
        event.preventDefault();
        if (!event.repeat) on_enter(); // held down it enters once
        return;
      }
      if (pressed(pad, event.key) === pad) return;
      event.preventDefault();
      on_key(event.key);
    };
    // Pressed with the mouse or a finger a button is done with: Enter typed next is not for it.
    const let_go = (event: MouseEvent) => {
      const button = (event.target as Element | null)?.closest("button");
      if (event.detail > 0) button?.blur();
    };
    addEventListener("keydown", heard);
    addEventListener("click", let_go);
    return () => {
      removeEventListener("keydown", heard);
      removeEventListener("click", let_go);
    };
  });
}
