// SPDX-License-Identifier: Apache-2.0
// What is pressed at the end of a step; each makes one entry, kept on the device first.
import { useRef, useState } from "preact/hooks";

import { SureButton } from "../door/sure_button";
import { t } from "../texts";
import type { StepSaid } from "./says";
import { type Around, type Done, is_over, left_open, why_not_against, why_not_done } from "./steps";
import { fact_words } from "./words";

interface Props {
  step: StepSaid;
  around: Around;
  is_shown: boolean; // what its gate wants
  is_ticked: boolean; // every fastener
  enter: (done: Done) => Promise<void>;
}

export function Does({ step, around, is_shown, is_ticked, enter }: Props) {
  const [is_against, set_against] = useState(false);
  const is_sent = useRef(false);
  const send = (done: Done) => {
    if (is_sent.current) return; // pressed twice
    is_sent.current = true;
    void enter(done).finally(() => (is_sent.current = false));
  };
  const why_not = why_not_done(step, around) ?? (is_ticked ? (is_shown ? undefined : "work_no_gate_open") : "work_no_ticks");
  const not_against = why_not_against(step, around);
  const has_gate = step.gate !== undefined || (step.missing ?? []).length > 0;
  const is_blocked = (step.missing ?? []).length > 0;
  return (
    <section class="does_step" aria-label={t("work_enter")}>
      <button type="button" class="main work_big" disabled={why_not !== undefined} aria-describedby="why_not" onClick={() => send({ how: "done" })}>
        {t(is_over(step) ? "work_done_again" : "work_done")}
      </button>
      <p id="why_not" class={why_not ? "wrong" : ""} role="status">{why_not ? t(why_not) : ""}</p>
      <div class="row others">
        {is_blocked ? (
          <SureButton says={t("work_late")} act={() => send({ how: "late" })} />
        ) : (
          <button type="button" class="quiet" onClick={() => send({ how: "late" })}>{t("work_late")}</button>
        )}
        <SureButton says={t("work_interrupted")} act={() => send({ how: "interrupted" })} />
        {has_gate && !not_against ? (
          <button type="button" class="quiet" aria-expanded={is_against} onClick={() => set_against(!is_against)}>
            {t("work_against")}
          </button>
        ) : null}
      </div>
      {is_against && !not_against ? <Against step={step} send={send} /> : null}
      {has_gate && not_against ? <p class="faint">{t("work_against_not")} {t(not_against)}</p> : null}
      {around.why_not ? <p class="faint">{t("work_late_lost")}</p> : null}
      {is_blocked && !step.turns ? <p class="faint">{t("work_late_blocked")}</p> : null}
      <p class="faint">{t("work_late_help")}</p>
    </section>
  );
}

function Against({ step, send }: { step: StepSaid; send: (done: Done) => void }) {
  const [reason, set_reason] = useState("");
  const [allowed_by, set_name] = useState("");
  const open = left_open(step).map(fact_words);
  return (
    <form
      class="against_gate stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (reason.trim() && allowed_by.trim()) send({ how: "against", reason, allowed_by });
      }}
    >
      <p class="caution">
        {t("work_against_open", { what: (open.length > 0 ? open : [t("work_against_gate")]).join("; ") })}{" "}
        {step.gives.length > 0 ? t("work_against_rests", { what: step.gives.map(fact_words).join("; ") }) : ""}{" "}
        {t("work_against_prints")}
      </p>
      <label>
        {t("work_against_reason")}
        <input required value={reason} onInput={(event) => set_reason(event.currentTarget.value)} />
      </label>
      <label>
        {t("work_against_name")}
        <input required autocomplete="off" value={allowed_by} onInput={(event) => set_name(event.currentTarget.value)} />
      </label>
      <button type="submit" class="work_big" disabled={!reason.trim() || !allowed_by.trim()}>{t("work_against_enter")}</button>
    </form>
  );
}
