// SPDX-License-Identifier: Apache-2.0
// What a gate wants to see, and the way to it: a tick, a reading or a photo of this case, the name of
// a second person, who types it alone.
import { entry_words } from "../case/entry_words";
import type { Entry } from "../case/stages";
import { kind_word } from "../enter/words";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import type { Key } from "../texts";
import { useHeard } from "../state/heard";
import { waiting_of } from "../state/outbox";
import { t } from "../texts";
import type { GateWants, StepSaid } from "./says";
import { is_second, type Shown, showing, shown_elsewhere } from "./steps";

export const kGateSays: Record<GateWants, Key> = {
  tick: "work_gate_tick",
  reading: "work_gate_reading",
  photo: "work_gate_photo",
  "second name": "work_gate_second",
};

const kEnters: Partial<Record<GateWants, string[]>> = {
  reading: ["reading", "marks", "pressure", "recording"],
  photo: ["photo"],
};

const kOffered = 6;

interface Props {
  name: string;
  step: StepSaid;
  in_force: readonly Entry[];
  first: readonly (string | undefined)[]; // who works here
  shown: Shown;
  on_shown: (shown: Shown) => void;
  on_leave: () => void; // to a form that will show it
}

export function Gate({ name, step, in_force, first, shown, on_shown, on_leave }: Props) {
  useHeard("outbox");
  const { gate } = step;
  if (!gate) return null;
  return (
    <section class="gate" aria-labelledby="gate">
      <h3 id="gate">{t("work_gate")}: {t(kGateSays[gate])}</h3>
      {step.status === "done" && step.gate_open ? <p class="wrong">{t("work_gate_still")}</p> : null}
      {gate === "tick" ? (
        <label class="gate_tick">
          <input type="checkbox" checked={shown.tick ?? false} onChange={(event) => on_shown({ ...shown, tick: event.currentTarget.checked })} />
          {t("work_gate_looked")}
        </label>
      ) : null}
      {gate === "second name" ? <Second first={first} shown={shown} on_shown={on_shown} /> : null}
      {kEnters[gate] ? (
        <>
          <Entries entries={showing(gate, in_force)} used={shown_elsewhere(in_force, step.name)} shown={shown} on_shown={on_shown} />
          {showing(gate, waiting_of(name).map((one) => one.entry)).length > 0 ? <p class="link" role="status">{t("work_gate_waits")}</p> : null}
          <div class="row gate_ways">
            {(kEnters[gate] ?? []).map((kind) => (
              <a key={kind} class="button work_big" onClick={on_leave} href={address(["enter", name, kind], { for_step: step.name })}>
                {gate === "photo" ? t("work_gate_take") : t("work_gate_enter", { kind: kind_word(kind) })}
              </a>
            ))}
          </div>
        </>
      ) : null}
    </section>
  );
}

function Second({ first, shown, on_shown }: Pick<Props, "first" | "shown" | "on_shown">) {
  const name = shown.second ?? "";
  const is_same = name.trim() !== "" && !is_second(name, first);
  return (
    <label>
      {t("work_gate_second_types")}
      <input value={name} autocomplete="off" aria-invalid={is_same} onInput={(event) => on_shown({ ...shown, second: event.currentTarget.value })} />
      {is_same ? <span class="wrong" role="alert">{t("work_gate_same")}</span> : null}
    </label>
  );
}

interface EntriesProps extends Pick<Props, "shown" | "on_shown"> {
  entries: readonly Entry[];
  used: ReadonlySet<string>; // by which another step is shown
}

function Entries({ entries, used, shown, on_shown }: EntriesProps) {
  const chosen = shown.shown_by ?? [];
  const turn = (id: string) =>
    on_shown({ ...shown, shown_by: chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id] });
  const is_near = (entry: Entry) => chosen.includes(entry.id) || !used.has(entry.id);
  const near = entries.filter(is_near).slice(0, kOffered);
  const others = entries.filter((entry) => !near.includes(entry));
  const row = (entry: Entry) => {
    const words = entry_words(entry);
    return (
      <label key={entry.id}>
        <input type="checkbox" checked={chosen.includes(entry.id)} onChange={() => turn(entry.id)} />
        <span>
          {[entry.id, kind_word(entry.kind), words.about, words.says].filter(Boolean).join(", ")}{" "}
          <small>{time_words(entry.at)}</small>
        </span>
      </label>
    );
  };
  return (
    <>
      {near.length === 0 ? (
        <p>{t("work_gate_none")}</p>
      ) : (
        <fieldset class="shows">
          <legend>{t("work_gate_which")}</legend>
          {near.map(row)}
        </fieldset>
      )}
      {others.length > 0 ? (
        <details class="prints">
          <summary>{t("work_gate_others", { n: others.length })}</summary>
          <div class="shows">{others.map(row)}</div>
        </details>
      ) : null}
    </>
  );
}
