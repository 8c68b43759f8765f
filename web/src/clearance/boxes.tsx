// SPDX-License-Identifier: Apache-2.0
// Numbers of a form as large boxes, one of them at a time on the number pad. A value is kept as it
// goes out, "-12.5", and shown with a word for its side, never with a bare sign.
import { useState } from "preact/hooks";

import { empty_pad, type Pad, pressed, refitted, text_of } from "../enter/pad";
import { PadKeys } from "../enter/pad_keys";
import { shown_words } from "../enter/words";
import { number_words } from "../said/said";
import { t } from "../texts";

export interface Box {
  key: string;
  label: string;
  value: string;
  unit: string; // as shown: "°", "mm"
  sides?: boolean; // before or after top dead center
  resolution?: number | undefined;
}

interface BoxProps {
  box: Box;
  is_at: boolean;
  on_at: () => void;
}

export function BoxButton({ box, is_at, on_at }: BoxProps) {
  const shown = value_shown(box);
  return (
    <button type="button" class="cl_box" aria-pressed={is_at} aria-label={`${box.label}: ${shown || t("cl_empty")}`} onClick={on_at}>
      <small>{box.label}</small>
      <b>{shown || "–"}</b>
    </button>
  );
}

export function value_shown({ value, unit, sides = false }: Pick<Box, "value" | "unit" | "sides">): string {
  if (value === "") return "";
  const says = `${number_words(value.replace(/^-/, ""))}${unit === "°" ? unit : ` ${unit}`}`;
  if (!sides || Number(value) === 0) return says;
  return t(value.startsWith("-") ? "cl_before" : "cl_after", { deg: says });
}

interface PadProps {
  box: Box;
  on_value: (value: string) => void;
  on_next: () => void;
  next: string; // what the large button below says
  listens?: boolean;
}

// Of one box: give it the box's key, so that another one begins anew.
export function BoxPad({ box, on_value, on_next, next, listens = true }: PadProps) {
  const [pad, set_pad] = useState<Pad>(() => pad_of(box));
  const [is_before, set_before] = useState(box.value.startsWith("-"));
  const [is_fresh, set_fresh] = useState(true); // the first digit takes the place of what was there
  const tell = (now: Pad, before: boolean) => {
    const text = text_of(now);
    on_value(text !== "" && before && Number(text) !== 0 ? `-${text}` : text);
  };
  const keyed = (key: string) => {
    const begins = is_fresh && /^[0-9.,]$/.test(key);
    const next_pad = pressed(begins ? empty_pad(box.resolution) : pad, key);
    set_fresh(false);
    set_pad(next_pad);
    tell(next_pad, is_before);
  };
  const side = (before: boolean) => {
    set_before(before);
    tell(pad, before);
  };
  return (
    <div class="cl_pad stack">
      <p class="display" aria-live="polite">
        <small>{box.label}</small>
        <output>{shown_words(pad) || "–"}</output> <span>{box.unit}</span>
        {box.sides ? <span>{t(is_before ? "cl_side_before" : "cl_side_after")}</span> : null}
      </p>
      {box.sides ? (
        <div class="go">
          <button type="button" aria-pressed={is_before} onClick={() => side(true)}>{t("cl_side_before")}</button>
          <button type="button" aria-pressed={!is_before} onClick={() => side(false)}>{t("cl_side_after")}</button>
        </div>
      ) : null}
      <PadKeys pad={pad} on_key={keyed} on_enter={on_next} step="" listens={listens} />
      <button type="button" class="main cl_next" onClick={on_next}>{next}</button>
    </div>
  );
}

function pad_of(box: Box): Pad {
  const digits = box.value.replace(/^-/, "");
  return digits === "" ? empty_pad(box.resolution) : refitted({ ...empty_pad(), digits }, box.resolution);
}
