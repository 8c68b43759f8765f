// SPDX-License-Identifier: Apache-2.0
// #/new-engine: a definition typed in from a service manual, step by step; nothing is needed but a
// name. At every step it says what it can answer already. #/new-engine?of=NAME: one that exists.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";

import { type Answers, drive_name, said } from "../drives/answers";
import { AnswersNow, Unlocks } from "../drives/can_answer";
import { useDraft } from "../state/draft";
import { Drawing } from "../drives/drawing";
import { Fields, Forward, StepList, step_query } from "../drives/engine_step";
import { Pages, usePages } from "../drives/photo";
import { SaveEngine, type Stored } from "../drives/saved";
import { answered } from "../drives/says";
import { steps_of } from "../drives/steps";
import { type Reopened, useReopened } from "../drives/use_reopened";
import { type Checking, useCheck } from "../drives/use_check";
import { yaml_of_answers } from "../drives/yaml_of_answers";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { Told } from "../said/told";
import { t } from "../texts";
import "../drives/drives.css";
import "../drives/new_engine.css";

export function NewEngineScreen({ route }: { route: Route }) {
  const of = route.query["of"] ?? "";
  return of ? <Reopening key={of} of={of} route={route} /> : <Engine key="" of="" route={route} />;
}

function Reopening({ of, route }: { of: string; route: Route }) {
  const { opened, why, base } = useReopened(of);
  if (opened) return <Engine of={of} route={route} opened={opened} />;
  return (
    <Sheet title={of} back={address(["drive", of])}>
      <p role="status">{base ? t("manual_again_variant", { name: of, base }) : why || t("loading")}</p>
      {base ? <a class="button" href={address(["drive", of], { edit: "1" })}>{t("drives_edit")}</a> : null}
    </Sheet>
  );
}

interface Draft {
  answers: Answers;
  sha256?: string | undefined; // of the definition that it was begun from
  text?: string | undefined; // that definition
  begun?: Answers | undefined; // its answers
  saved?: string | undefined; // as this drive, and nothing typed since
}

interface Props {
  of: string;
  route: Route;
  opened?: Reopened;
}

function Engine({ of, route, opened }: Props) {
  const [draft, set_draft] = useDraft<Draft>(of ? `engine/${of}` : "engine");
  const [pages, set_pages] = usePages(of);
  const [stored, set_stored] = useState<Stored | undefined>();
  // A draft keeps what it was begun from: somebody may have saved another text since.
  const from = draft?.text === undefined || !opened ? opened : { ...opened, text: draft.text, begun: draft.begun ?? {}, sha256: draft.sha256 };
  const answers = draft?.answers ?? from?.begun ?? {};
  const written = useMemo(() => {
    if (!from) return yaml_of_answers(answers, route.practice);
    return from.merged(from.text, yaml_of_answers(from.begun, false, true), yaml_of_answers(answers, false, true));
  }, [draft, route.practice, from?.text]);
  const checking = useCheck(draft || from ? written.text : "", drive_name(answers));
  const steps = steps_of(answers);
  const at = Math.min(Math.max(Number(route.query["step"] ?? 1) || 1, 1), steps.length);
  const step = steps[at - 1];
  const change = (next: Answers) =>
    set_draft({ answers: next, ...(from ? { text: from.text, begun: from.begun, sha256: from.sha256 } : {}) });
  const forget = () => {
    set_draft(undefined);
    set_pages([]);
  };
  const keep_stored = (next: Stored) => {
    set_stored(next);
    if (draft) set_draft({ ...draft, saved: next.name });
  };
  const fresh = useFresh(checking, at);
  const heading = useHeading(at);
  const begin_anew = () => {
    forget();
    heading.current?.focus();
  };
  if (!step) return null;
  const replaced = from?.sha256 && drive_name(answers) === of ? { name: of, text: from.text, sha256: from.sha256 } : undefined;
  return (
    <Sheet title={of ? t("manual_again") : t("manual_engine")} wide blocks={[{ name: t("drives_block"), says: said(answers, "title") || t("manual_unnamed") }]}>
      <p class="faint">{of ? t("manual_again_of", { name: of }) : t("manual_intro")}</p>
      {draft?.saved && !stored && !of ? <SavedBefore name={draft.saved} forget={begin_anew} /> : null}
      <StepList steps={steps} at={at} answers={answers} of={of} />
      <div class="engine">
        <section class="stack">
          <h2 ref={heading} tabIndex={-1}>{step.title}</h2>
          <p class="faint">{step.help}</p>
          <Fields steps={steps} step={step} answers={answers} written={written} checking={checking} change={change} of={of} />
          <Forward step={step} at={at} last={steps.length} answers={answers} checking={checking} of={of} />
          {at === steps.length ? (
            <SaveEngine
              name={drive_name(answers)}
              text={written.text}
              is_empty={!(draft ?? from)}
              is_wrong={(checking.checked?.mistakes.length ?? 0) > 0}
              pages={pages}
              stored={stored ?? replaced}
              set_stored={keep_stored}
              forget={forget}
            />
          ) : null}
        </section>
        <aside class="stack">
          <Pages pages={pages} change={set_pages} />
          <Now checking={checking} fresh={fresh} />
          <details>
            <summary>{t("drives_text")}</summary>
            <pre class="text">{written.text}</pre>
          </details>
          {draft ? <StartAnew forget={forget} of={of} /> : null}
        </aside>
      </div>
    </Sheet>
  );
}

// A new step is read from its top: the button that led to it stands below all fields.
function useHeading(at: number) {
  const heading = useRef<HTMLHeadingElement>(null);
  const shown = useRef(at);
  useEffect(() => {
    if (shown.current !== at) heading.current?.focus();
    shown.current = at;
  }, [at]);
  return heading;
}

// The questions that could be answered when this step was begun.
function useFresh(checking: Checking, at: number): ReadonlySet<string> {
  const begun = useRef<{ at: number; known: Set<string> }>({ at: 0, known: new Set() });
  const now = answered(checking.checked?.check).map((level) => level.question);
  if (begun.current.at !== at && checking.checked) begun.current = { at, known: new Set(now) };
  return begun.current.known;
}

function Now({ checking, fresh }: { checking: Checking; fresh: ReadonlySet<string> }) {
  const { checked, detail } = checking;
  return (
    <div class="now stack" aria-live="polite">
      <h2>{t("manual_now")}</h2>
      {detail ? <p class="caution"><Told says={detail} /></p> : null}
      {checked?.check ? (
        <>
          <AnswersNow check={checked.check} known={fresh} />
          <Unlocks check={checked.check} />
          {checked.drawing ? <Drawing svg={checked.drawing} /> : null}
        </>
      ) : (
        <p class="faint">{t(checked?.mistakes.length ? "manual_after_mistakes" : "manual_nothing_yet")}</p>
      )}
    </div>
  );
}

// Whoever comes back with the next engine must not type it over the last one.
function SavedBefore({ name, forget }: { name: string; forget: () => void }) {
  return (
    <p class="caution row" role="status">
      <strong>{t("manual_saved", { name })}</strong>
      <button type="button" onClick={forget}>
        {t("manual_anew")}
      </button>
      <a class="button" href={address(["new-engine"], { of: name })}>
        {t("manual_again")}
      </a>
    </p>
  );
}

function StartAnew({ forget, of }: { forget: () => void; of: string }) {
  const [is_sure, ask_sure] = useState(false);
  useEffect(() => {
    if (!is_sure) return;
    const timer = setTimeout(() => ask_sure(false), 5000);
    return () => clearTimeout(timer);
  }, [is_sure]);
  const anew = () => {
    forget();
    go(["new-engine"], step_query(1, of));
  };
  return (
    <button type="button" class="quiet" onClick={() => (is_sure ? anew() : ask_sure(true))}>
      {t(is_sure ? "manual_anew_sure" : of ? "drives_drop_draft" : "manual_anew")}
    </button>
  );
}
