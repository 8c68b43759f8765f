// SPDX-License-Identifier: Apache-2.0
// #/drive/NAME/author: the procedure for who writes it. Each change is looked at by the program; it
// is the same draft as in the text of the definition, and is saved as that is.
import { useState } from "preact/hooks";

import { Findings, Marks } from "../author/findings";
import { NewStepForm } from "../author/new_step";
import { Order } from "../author/order";
import { rest_of, rows_of } from "../author/says";
import { block_named, block_text, moved_block, new_block, type NewStep, same_name, section_of, with_block, with_new_block, with_placed_block, without_block } from "../author/step_blocks";
import { StepSeen } from "../author/step_seen";
import { useAuthored } from "../author/use_authored";
import { type Draft, draft_name, Save } from "../drives/editor";
import { useText } from "../drives/use_text";
import { scalar } from "../drives/yaml_lines";
import { Sheet } from "../parts/sheet";
import { address, type Route } from "../route";
import { Told } from "../said/told";
import { useDraft } from "../state/draft";
import { t } from "../texts";
import "./author.css";

export function AuthorScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  return <Authoring key={name} name={name} first={route.query["step"]} />;
}

// The text with its draft, and the texts before, to be put back.
function useTextOf(name: string) {
  const stored = useText(name);
  const [draft, set_draft] = useDraft<Draft>(draft_name(name));
  const [before, set_before] = useState<string[]>([]);
  const text = draft?.text ?? stored.text;
  const set = (next: string) => set_draft({ text: next, of: draft ? draft.of : stored.sha256 });
  return {
    stored, draft, text,
    is_changed: draft !== undefined && draft.text !== stored.text,
    forget: () => { set_draft(undefined); set_before([]); },
    type: set,
    act: (next: string) => { set_before([...before, text]); set(next); },
    put_back: before.length ? () => { set(before.at(-1) ?? text); set_before(before.slice(0, -1)); } : undefined,
  };
}

function Authoring({ name, first }: { name: string; first: string | undefined }) {
  const of = useTextOf(name);
  const { text } = of;
  const looking = useAuthored(text, name);
  const [chosen, choose] = useState(first);
  const based_on = /^based_on:\s*["']?([\w-]+)/m.exec(text)?.[1] ?? "";
  const rows = rows_of(text, `${name}.drive.yaml`, looking.now, looking.last);
  const rest = rest_of(rows, looking.now);
  const at = Math.max(0, rows.findIndex((row) => row.name === chosen));
  const row = rows[at];
  const acts = row ? acts_on(row.name, at, rows.map((one) => one.name), text, based_on) : undefined;
  const errors = looking.now?.findings.filter((one) => one.is_error).length ?? 0;
  const go_on = (next: string, then?: string) => { of.act(next); if (then !== undefined) choose(then); };
  const add = (step: NewStep) => {
    const behind = row?.name;
    const next = based_on && behind
      ? with_placed_block(text, step.name, behind, new_block({ ...step, after: behind }))
      : with_new_block(text, new_block(step), behind);
    go_on(next, step.name);
  };
  const blocks = [{ name: t("block_drive"), says: name }, { name: t("author_found"), says: looking.is_present ? <Marks findings={looking.now?.findings ?? []} /> : t("drives_checking") }];
  return (
    <Sheet wide title={`${t("author_title")} ${name}`} back={address(["drive", name])} blocks={blocks}>
      <div class="stack">
        <p class="faint">{t(based_on ? "author_help_variant" : "author_help", { base: based_on })}</p>
        {of.stored.detail ? <p class="wrong"><Told says={of.stored.detail} whole /></p> : null}
        {looking.detail ? <p class="caution"><Told says={looking.detail} whole /></p> : null}
        {looking.now && !looking.now.is_readable ? <p class="caution">{t("author_unreadable")}</p> : null}
        {of.text && !section_of(text) && looking.now && !rows.length ? <p>{t("author_none")}</p> : null}
        <div class="row author_bar">
          {of.put_back ? <button type="button" onClick={of.put_back}>{t("author_put_back")}</button> : null}
          <a class="button" href={address(["drive", name], { edit: "1" })}>{t("author_whole_text")}</a>
          {based_on ? <a class="button" href={address(["drive", name, "beside"], { with: based_on })}>{t("beside_open")}</a> : null}
        </div>
        {rest.length ? <details open={rest.some((one) => one.is_error)}><summary>{t("author_rest", { n: rest.length })}</summary><Findings findings={rest} /></details> : null}
        <div class="author">
          <Order rows={rows} chosen={row?.name} is_variant={based_on !== ""} choose={(one) => { choose(one); show_step(); }} />
          <div class="stack">
            {row && acts ? (
              <StepSeen
                row={row}
                text={text}
                based_on={based_on}
                can_move={{ up: acts.up !== undefined, down: acts.down !== undefined }}
                move={(by) => go_on((by < 0 ? acts.up : acts.down) ?? text, row.name)}
                remove={() => go_on(acts.removed, rows[at + 1]?.name ?? rows[at - 1]?.name ?? "")}
                write={(block) => { const there = block_named(text, row.name); if (there) of.type(with_block(text, there, block)); }}
                change_here={() => go_on(with_new_block(text, `- name: ${scalar(row.name)}`))}
              />
            ) : null}
            {looking.last ? (
              <details class="card">
                <summary>{t("author_add_open")}</summary>
                <NewStepForm behind={row?.name} stage={row?.step?.stage} authored={looking.last} add={add} />
              </details>
            ) : null}
            <section class="stack">
              {of.is_changed ? <p class="caution">{t("drives_draft")}</p> : null}
              {errors ? <p>{t("author_errors_saved")}</p> : null}
              <Save key={text} name={name} text={text} is_ready={of.is_changed && looking.is_present && (looking.now?.is_readable ?? false)} replaces={of.draft?.of} done={of.forget} />
              {of.is_changed ? <button type="button" class="quiet" onClick={of.forget}>{t("drives_drop_draft")}</button> : null}
            </section>
          </div>
        </div>
      </div>
    </Sheet>
  );
}

// Where the step stands below the list, one is led there.
function show_step(): void {
  if (matchMedia("(max-width: 60rem)").matches) setTimeout(() => document.getElementById("step_seen")?.focus());
}

// What the text becomes by each act on a step. A variant names the step that it stands behind; what
// it takes over it removes by name.
function acts_on(name: string, at: number, names: string[], text: string, based_on: string) {
  const block = block_named(text, name);
  const behind = (anchor: string | undefined) => (anchor === undefined ? undefined : with_placed_block(text, name, anchor));
  if (based_on) {
    const is_new = block !== undefined && /(^|[\s{,])what:/.test(block_text(text, block)) && /(^|[\s{,])after:/.test(block_text(text, block));
    const stripped = block ? without_block(text, block) : text;
    return {
      up: behind(names[at - 2]),
      down: behind(names[at + 1]),
      removed: is_new ? stripped : with_new_block(stripped, `- name: ${scalar(name)}\n  remove: true`),
    };
  }
  const is_at = (i: number) => names[i] !== undefined && section_of(text)?.blocks.some((one) => same_name(one.name, names[i] ?? ""));
  return {
    up: is_at(at - 1) ? moved_block(text, name, -1) : undefined,
    down: is_at(at + 1) ? moved_block(text, name, 1) : undefined,
    removed: block ? without_block(text, block) : text,
  };
}
