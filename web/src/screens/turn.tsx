// SPDX-License-Identifier: Apache-2.0
// The drive of a case as it stands, or a definition, turned by hand in a picture. Whether the engine
// itself may be turned stands in the case, never here.
import { useMemo, useRef, useState } from "preact/hooks";

import { case_path, type Schemas } from "../ask";
import { type Block, Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, type Route } from "../route";
import { number_words, said } from "../said/said";
import { Told } from "../said/told";
import { type Cost, crank_words, measured_cost } from "../see/crank_words";
import type { Drawing, Options } from "../see/drive_drawing";
import { TurnedByHand } from "../see/turned_by_hand";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./turn.css";

type Motion = Schemas["motion"];

export function TurnScreen({ route }: { route: Route }) {
  const name = route.path[1];
  const drive = route.query.drive;
  const path = name ? case_path(name, "motion") : drive && `/api/drives/${encodeURIComponent(drive)}/motion`;
  const asked = useAsked<Motion>(path || undefined, name ?? "none");
  const motion = asked.told;
  const back = name ? address(["case", name]) : address([]);
  return (
    <Sheet title={t("turn_title")} back={back} wide blocks={motion ? blocks_of(motion, name) : []}>
      {motion && asked.at && !asked.is_present ? (
        <p class="caution" role="status">{t("not_judged_since", { time: time_words(asked.at) })}</p>
      ) : null}
      {motion ? <Turning motion={motion} of_case={name} /> : <p role="status" lang={asked.detail ? "en" : ""}>{asked.detail || t(path ? "loading" : "no_such_place")}</p>}
    </Sheet>
  );
}

function blocks_of(motion: Motion, name: string | undefined): Block[] {
  return [
    { name: t("turn_drive"), says: motion.title },
    ...(name ? [{ name: t("turn_case"), says: name }] : []),
    { name: t("turn_scale"), says: motion.to_scale ? t("turn_to_scale") : t("turn_schematic") },
    ...(motion.invented ? [{ name: t("turn_engine"), says: t("turn_invented") }] : []),
  ];
}

function Turning({ motion, of_case }: { motion: Motion; of_case: string | undefined }) {
  const [turns, set_turns] = useState(0);
  const [options, set_options] = useState<Options>({ mirrored: false, numbers: false, strands: true });
  const drawing = useRef<Drawing>();
  const has_gone_back = useRef(false);
  const turn_to = (next: number) => {
    has_gone_back.current ||= next < turns - 1e-9;
    set_turns(next);
  };
  const tooth = useMemo(() => 1 / (motion.wheels.find((wheel) => wheel.kind === "crankshaft")?.teeth || 24), [motion]);
  const keys = (event: KeyboardEvent) => {
    const step = { ArrowRight: tooth, ArrowUp: tooth, ArrowLeft: -tooth, ArrowDown: -tooth, PageUp: 1, PageDown: -1 }[event.key];
    if (step === undefined && event.key !== "Home") return;
    event.preventDefault();
    turn_to(step === undefined ? 0 : turns + step);
  };
  const view = options.mirrored ? t("turn_from_behind") : t("turn_from_front");
  const about = `${motion.title}, ${view}: ${crank_words(turns)}. ${errors_of(motion).join("; ")}`;
  return (
    <div class="turn_by_hand">
      <figure tabIndex={0} aria-label={t("turn_keys")} onKeyDown={keys}>
        <TurnedByHand
          motion={motion}
          options={options}
          turns={turns}
          about={about}
          on_turn={turn_to}
          on_built={(made) => (drawing.current = made)}
        />
        <figcaption>
          <b>{crank_words(turns)}</b>
          <span>
            {view}; {motion.clockwise !== options.mirrored ? t("turn_clockwise") : t("turn_counterclockwise")}
            {motion.is_direction_known ? "" : ` (${t("turn_direction_unknown")})`}
          </span>
        </figcaption>
      </figure>
      <div class="stack">
        <p class="caution">
          {t("turn_is_picture")} {of_case ? <a href={address(["case", of_case])}>{t("turn_to_case")}</a> : null}
        </p>
        <Buttons turns={turns} tooth={tooth} turn_to={turn_to} />
        {has_gone_back.current ? (
          <p class="caution" role="status">
            {t("turn_backwards")} <q><Told says={motion.backwards} /></q>
          </p>
        ) : null}
        <Switches options={options} set={set_options} />
        <Wheels motion={motion} />
        {motion.marks_return ? <p><Told says={motion.marks_return} /></p> : null}
        <Notes motion={motion} />
        <FrameCost drawing={drawing} after={() => set_turns(0)} />
      </div>
    </div>
  );
}

function errors_of(motion: Motion): string[] {
  return motion.wheels.flatMap(({ name, error }) => (error ? [`${said(name)}: ${said(error)}`] : []));
}

function Buttons({ turns, tooth, turn_to }: { turns: number; tooth: number; turn_to: (to: number) => void }) {
  return (
    <div class="row turn_steps">
      <button class="main" onClick={() => turn_to(turns + tooth)}>{t("turn_tooth")}</button>
      <button onClick={() => turn_to(turns + 1)}>{t("turn_one")}</button>
      <button onClick={() => turn_to(turns + 2)}>{t("turn_two")}</button>
      <button class="quiet" onClick={() => turn_to(turns - tooth)}>{t("turn_tooth_back")}</button>
      <button class="quiet" onClick={() => turn_to(0)}>{t("turn_reset")}</button>
    </div>
  );
}

function Switches({ options, set }: { options: Options; set: (options: Options) => void }) {
  const one = (key: keyof Options, words: string) => (
    <button class="quiet" aria-pressed={options[key]} onClick={() => set({ ...options, [key]: !options[key] })}>
      {words}
    </button>
  );
  return (
    <div class="row">
      {one("mirrored", t("turn_mirror"))}
      {one("numbers", t("turn_numbers"))}
      {one("strands", t("turn_strands"))}
    </div>
  );
}

function Wheels({ motion }: { motion: Motion }) {
  return (
    <table class="wheels">
      <caption>{t("turn_wheels")}</caption>
      <thead>
        <tr>
          <th scope="col">{t("turn_wheel")}</th>
          <th scope="col">{t("turn_teeth")}</th>
          <th scope="col">{t("turn_found")}</th>
        </tr>
      </thead>
      <tbody>
        {motion.wheels.filter((wheel, i) => wheel.teeth > 0 && i === motion.wheels.findIndex((one) => is_same_row(one, wheel))).map((wheel, i) => (
          <tr key={i}>
            <th scope="row"><Told says={wheel.name} /></th>
            <td>{wheel.teeth}</td>
            <td>{wheel.error ? <b><Told says={wheel.error} /></b> : t("turn_nothing_found")}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

// A crank with a sprocket for each bank: one row, unless they stand differently.
function is_same_row(one: Motion["wheels"][number], other: Motion["wheels"][number]): boolean {
  return one.name === other.name && one.teeth === other.teeth && one.error === other.error;
}

function Notes({ motion }: { motion: Motion }) {
  if (motion.notes.length === 0) return null;
  return (
    <details class="prints">
      <summary>{t("turn_notes")}</summary>
      <ul>{motion.notes.map((note) => <li key={note}><Told says={note} /></li>)}</ul>
    </details>
  );
}

function FrameCost({ drawing, after }: { drawing: { current: Drawing | undefined }; after: () => void }) {
  const [cost, set] = useState<Cost>();
  const measure = async () => {
    const made = drawing.current;
    if (!made) return;
    set(await measured_cost(made.turn, () => void made.svg.getBoundingClientRect()));
    made.turn(0);
    after();
  };
  return (
    <p class="row faint">
      <button class="quiet" onClick={() => void measure()}>{t("turn_measure")}</button>
      <output>{cost ? t("turn_cost", { ms: number_words(cost.ms.toFixed(1)), rate: Math.round(cost.rate) }) : ""}</output>
    </p>
  );
}
