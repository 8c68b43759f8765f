// SPDX-License-Identifier: Apache-2.0
// One step for its author: what is wrong in it, the state of the engine around it, its lines.
import { useEffect, useState } from "preact/hooks";

import { t } from "../texts";
import { fact_words } from "../work/words";
import { Findings } from "./findings";
import { type AuthoredStep, changed, type Row } from "./says";
import { block_named, block_text } from "./step_blocks";

interface Props {
  row: Row;
  text: string; // of the definition
  based_on: string;
  can_move: { up: boolean; down: boolean };
  move: (by: -1 | 1) => void;
  remove: () => void;
  write: (block: string) => void;
  change_here: () => void; // of a step that the variant takes over as it is
}

export function StepSeen({ row, text, based_on, can_move, move, remove, write, change_here }: Props) {
  const block = block_named(text, row.name);
  return (
    <section class="stack step_seen" aria-labelledby="step_seen">
      <h2 id="step_seen" tabIndex={-1}>{row.step ? `${row.step.number}. ` : ""}{row.name}</h2>
      {row.findings.length ? <Findings findings={row.findings} /> : <p class="faint">{t("author_nothing_here")}</p>}
      <div class="row">
        <button type="button" disabled={!can_move.up} onClick={() => move(-1)}>{t("author_up")}</button>
        <button type="button" disabled={!can_move.down} onClick={() => move(1)}>{t("author_down")}</button>
        <button type="button" onClick={remove}>{t("author_remove")}</button>
      </div>
      {block ? (
        <BlockEditor key={row.name} block={block_text(text, block)} first={block.first} wrong={row.findings.map((one) => one.line)} write={write} />
      ) : (
        <div class="stack card">
          <p>{t("author_inherited", { base: based_on })}</p>
          <p>{row.step?.what}</p>
          <div class="row">
            <button type="button" onClick={change_here}>{t("author_change_here")}</button>
          </div>
        </div>
      )}
      {row.step ? <Around step={row.step} /> : null}
    </section>
  );
}

interface BlockProps {
  block: string;
  first: number;
  wrong: number[];
  write: (block: string) => void;
}

// While its name is being changed the block is another step: what is typed stays in this field.
function BlockEditor({ block, first, wrong, write }: BlockProps) {
  const [typed, set_typed] = useState(block);
  useEffect(() => set_typed(block), [block]);
  const rows = typed.split("\n").length;
  return (
    <div class="numbered">
      <ol aria-hidden="true">
        {Array.from({ length: rows }, (_, i) => (
          <li key={i} class={wrong.includes(first + i) ? "at" : ""}>{first + i}</li>
        ))}
      </ol>
      <textarea
        aria-label={t("author_lines")}
        rows={rows}
        value={typed}
        wrap="off"
        spellcheck={false}
        autocomplete="off"
        onInput={(event) => {
          set_typed(event.currentTarget.value);
          write(event.currentTarget.value);
        }}
      />
    </div>
  );
}

function Around({ step }: { step: AuthoredStep }) {
  const { new_ones, gone } = changed(step.before, step.after);
  const rows = [
    [t("author_needs"), step.needs],
    [t("author_by_rule"), step.by_rule],
    [t("author_gives"), step.gives],
    [t("author_ends"), step.ends],
  ] as const;
  return (
    <>
      <dl class="author_facts">
        {rows.map(([name, facts]) => facts.length ? (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{facts.map(fact_words).join("; ")}</dd>
          </div>
        ) : null)}
      </dl>
      <h3>{t("author_state")}</h3>
      <p class="faint">{t("author_state_help")}</p>
      <div class="author_states">
        <StateList title={t("author_before")} facts={step.before} marked={gone} word={t("author_goes")} />
        <StateList title={t("author_after")} facts={step.after} marked={new_ones} word={t("author_new")} />
      </div>
    </>
  );
}

function StateList({ title, facts, marked, word }: { title: string; facts: readonly string[]; marked: readonly string[]; word: string }) {
  const order = [...facts].sort((a, b) => Number(marked.includes(b)) - Number(marked.includes(a)));
  return (
    <section>
      <h4>{title}</h4>
      <ul>
        {order.map((fact) => (
          <li key={fact} class={marked.includes(fact) ? "changes" : ""}>
            {marked.includes(fact) ? <b>{word} </b> : null}
            {fact_words(fact)}
          </li>
        ))}
      </ul>
    </section>
  );
}
