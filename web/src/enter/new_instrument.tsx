// SPDX-License-Identifier: Apache-2.0
// An instrument of the shop with its own data, kept with the case: what its certificate says makes
// the uncertainty of every reading smaller than what the program has to assume.
import { useState } from "preact/hooks";

import { ask, case_path, type Schemas } from "../ask";
import { t } from "../texts";
import { Measured } from "./reading_with";
import { mistake_words } from "./words";

interface Props {
  name: string; // of the case
  own: Schemas["instrument"][];
  unit: string;
  on_made: (name: string) => void;
}

export function NewInstrument({ name, own, unit, on_made }: Props) {
  const [made, set] = useState({ name: "", resolution: "", uncertainty: "" });
  const [problem, set_problem] = useState("");
  const is_whole = made.name.trim() !== "" && made.resolution !== "" && made.uncertainty !== "";

  async function keep(): Promise<void> {
    const is_known = own.some((one) => one.name === made.name.trim());
    if (is_known) return set_problem(t("in_instrument_known", { name: made.name }));
    const instruments = [...own, { ...made, name: made.name.trim() }];
    const answer = await ask("POST", case_path(name, "head"), { instruments });
    if (!answer.ok) return set_problem(answer.mistakes.map(mistake_words).join("; ") || answer.detail);
    set_problem("");
    set({ name: "", resolution: "", uncertainty: "" });
    on_made(made.name.trim());
  }

  return (
    <details>
      <summary>{t("in_instrument_new")}</summary>
      <div class="stack">
        <label>
          {t("in_instrument_name")}
          <input value={made.name} onInput={(event) => set({ ...made, name: event.currentTarget.value })} />
        </label>
        <Measured label={t("in_instrument_step")} unit={unit} value={made.resolution} on_value={(resolution) => set({ ...made, resolution })} />
        <Measured label={t("in_instrument_U")} unit={unit} value={made.uncertainty} on_value={(uncertainty) => set({ ...made, uncertainty })} />
        {problem ? <p class="wrong" role="alert">{problem}</p> : null}
        <button type="button" disabled={!is_whole} onClick={() => void keep()}>
          {t("in_instrument_keep")}
        </button>
      </div>
    </details>
  );
}
