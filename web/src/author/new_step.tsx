// SPDX-License-Identifier: Apache-2.0
// A small form for one more step.
import { useId, useState } from "preact/hooks";

import { said } from "../said/said";
import { t } from "../texts";
import { kGateSays } from "../work/gate";
import { fact_words, stage_words } from "../work/words";
import type { Authored } from "./says";
import { type NewStep, same_name } from "./step_blocks";

const kStages = ["tests", "open up", "measure", "decide", "assemble", "prove", "hand over"];
const kNone: NewStep = { name: "", what: "", needs: [], gives: [], tightens: [], cautions: [] };

interface Props {
  behind: string | undefined; // name of the step that it comes behind
  stage: string | undefined; // of that step
  authored: Authored;
  add: (step: NewStep) => void;
}

export function NewStepForm({ behind, stage, authored, add }: Props) {
  const [step, set] = useState<NewStep>(kNone);
  const change = (part: Partial<NewStep>) => set({ ...step, ...part });
  const is_taken = authored.steps.some((one) => same_name(one.name, step.name));
  const is_ready = step.name.trim() !== "" && step.what.trim() !== "" && !is_taken;
  const done = (event: Event) => {
    event.preventDefault();
    if (!is_ready) return;
    add({ ...step, name: step.name.trim(), stage: step.stage ?? stage });
    set(kNone);
  };
  return (
    <form class="stack new_step" onSubmit={done}>
      <p>{behind ? t("author_new_behind", { step: behind }) : t("author_new_last")}</p>
      <label>
        {t("author_name")}
        <input value={step.name} onInput={(event) => change({ name: event.currentTarget.value })} />
      </label>
      {is_taken ? <p class="wrong">{t("author_name_taken")}</p> : null}
      <label>
        {t("author_what")}
        <textarea rows={3} value={step.what} onInput={(event) => change({ what: event.currentTarget.value })} />
      </label>
      <div class="author_pair">
        <label>
          {t("author_stage")}
          <select value={step.stage ?? stage ?? ""} onChange={(event) => change({ stage: event.currentTarget.value })}>
            {kStages.map((one) => <option key={one} value={one}>{stage_words(one)}</option>)}
          </select>
        </label>
        <label>
          {t("work_gate")}
          <select value={step.gate ?? ""} onChange={(event) => change({ gate: event.currentTarget.value })}>
            <option value="">{t("author_no_gate")}</option>
            {Object.entries(kGateSays).map(([gate, says]) => <option key={gate} value={gate}>{t(says)}</option>)}
          </select>
        </label>
      </div>
      <Facts title={t("author_needs")} facts={authored.facts} chosen={step.needs} set={(needs) => change({ needs })} />
      <Facts title={t("author_gives")} facts={authored.facts} chosen={step.gives} set={(gives) => change({ gives })} is_free />
      <Tightened authored={authored} step={step} change={change} />
      <label>
        {t("author_cautions")}
        <textarea
          rows={2}
          value={step.cautions.join("\n")}
          onInput={(event) => change({ cautions: event.currentTarget.value.split("\n") })}
          onBlur={() => change({ cautions: step.cautions.map((one) => one.trim()).filter(Boolean) })}
        />
      </label>
      <button type="submit" class="main" disabled={!is_ready}>{t("author_add")}</button>
    </form>
  );
}

interface FactsProps {
  title: string;
  facts: readonly string[];
  chosen: string[];
  set: (chosen: string[]) => void;
  is_free?: boolean; // words of one's own may be written
}

function Facts({ title, facts, chosen, set, is_free = false }: FactsProps) {
  const [own, set_own] = useState("");
  const id = useId();
  const add = (fact: string) => fact && !chosen.includes(fact) && set([...chosen, fact]);
  return (
    <fieldset class="stack">
      <legend>{title}</legend>
      <div class="row">
        {chosen.map((fact) => (
          <button key={fact} type="button" class="quiet" aria-label={t("author_take_out", { fact: fact_words(fact) })} onClick={() => set(chosen.filter((one) => one !== fact))}>
            {fact_words(fact)} ×
          </button>
        ))}
      </div>
      <select aria-label={title} value="" onChange={(event) => { add(event.currentTarget.value); event.currentTarget.value = ""; }}>
        <option value="">{t("author_choose_fact")}</option>
        {facts.filter((fact) => !chosen.includes(fact)).map((fact) => <option key={fact} value={fact}>{fact_words(fact)}</option>)}
      </select>
      {is_free ? (
        <div class="row own_fact">
          <label for={id}>{t("author_own_fact")}</label>
          <input id={id} value={own} onInput={(event) => set_own(event.currentTarget.value)} />
          <button type="button" disabled={!own.trim()} onClick={() => { add(own.trim()); set_own(""); }}>{t("author_take")}</button>
        </div>
      ) : null}
    </fieldset>
  );
}

// The figures are copied as the fastener has them: nothing is typed twice here.
function Tightened({ authored, step, change }: { authored: Authored; step: NewStep; change: (part: Partial<NewStep>) => void }) {
  if (authored.fasteners.length === 0) return null;
  const toggle = (fastener: Authored["fasteners"][number]) => {
    const is_in = step.tightens.some((one) => one.name === fastener.name);
    change({ tightens: is_in ? step.tightens.filter((one) => one.name !== fastener.name) : [...step.tightens, fastener] });
  };
  return (
    <fieldset class="stack">
      <legend>{t("author_tightens")}</legend>
      {authored.fasteners.map((fastener) => (
        <label key={fastener.name} class="tightened">
          <input type="checkbox" checked={step.tightens.some((one) => one.name === fastener.name)} onChange={() => toggle(fastener)} />
          <span>{said(fastener.name)} <small>{fastener.steps.map((one) => one.torque ?? one.angle).join(", ")}</small></span>
        </label>
      ))}
    </fieldset>
  );
}
