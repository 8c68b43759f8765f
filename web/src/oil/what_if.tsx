// SPDX-License-Identifier: Apache-2.0
// The circuit, large, and beside it the clearances of its journals to slide: the program solves the
// same engine with them, a moment after the last movement.
import { useId, useState } from "preact/hooks";

import { circuit_of_case, type Circuit, clearances_asked, type DriveOil, fixed, type Journal, kStep, type Network, slid_journals, slider_range, stepped } from "./says";
import { paper_now } from "../clearance/drawings";
import { useLive } from "../clearance/use_live";
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { OilDrawing } from "./drawing";

type Set = Record<string, number>;

export function WhatIf({ name, drive, network }: { name: string; drive: DriveOil; network: Network }) {
  const [set, change] = useState<Set>({});
  const asked = clearances_asked(set, network.journals);
  const live = useLive<Circuit>(circuit_of_case(name, paper_now()), asked.length > 0 ? { clearances: asked } : undefined);
  const solved = asked.length > 0 ? live.told : undefined;
  const { first, others } = slid_journals(network);
  const slide = (place: string, mm: number | undefined) =>
    change((now) => {
      const { [place]: _, ...rest } = now;
      return mm === undefined ? rest : { ...rest, [place]: mm };
    });
  const svg = solved?.circuit ?? drive.drawings.circuit;
  return (
    <div class="oil_what_if">
      <section class="oil_circuit" aria-labelledby="oil_circuit">
        <h2 id="oil_circuit">{t("oil_circuit")}</h2>
        {svg ? <OilDrawing svg={svg} says={t(solved ? "oil_circuit_what_if" : "oil_circuit_as_found")} /> : null}
      </section>
      {first.length + others.length > 0 ? (
        <section class="oil_sliders" aria-labelledby="oil_sliders">
          <h2 id="oil_sliders">{t("oil_sliders")}</h2>
          <p class="faint">{t("oil_sliders_how")}</p>
          <Now network={network} solved={solved} />
          {live.detail && asked.length > 0 ? <p class="wrong" role="alert"><Told says={live.detail} whole /></p> : null}
          {first.map((one) => <Slider key={one.place} journal={one} at={set[one.place]} on_slide={slide} />)}
          {others.length > 0 ? (
            <details>
              <summary>{t("oil_sliders_others", { n: others.length })}</summary>
              <div class="stack">{others.map((one) => <Slider key={one.place} journal={one} at={set[one.place]} on_slide={slide} />)}</div>
            </details>
          ) : null}
          <p class="row"><button type="button" disabled={asked.length === 0} onClick={() => change({})}>{t("oil_reset")}</button></p>
        </section>
      ) : null}
    </div>
  );
}

// In sight while a slider is moved.
function Now({ network, solved }: { network: Network; solved: Circuit | undefined }) {
  const { lowest, gallery } = network.gauges;
  const at = (name: string) => network.places.findIndex((one) => one.name === name);
  const [head, main] = [at(lowest), at(gallery.place)];
  const found = network.options[0]?.authority;
  const least = network.places[head]?.least_kPa;
  const pressure = (i: number) => ({ now: solved?.places[i] ?? network.places[i]?.kPa.likely, found: network.places[i]?.kPa.likely });
  const rows = [
    { says: "oil_head_now" as const, name: "head", ...pressure(head), unit: " kPa", decimals: 0 },
    { says: "oil_gallery_now" as const, name: "gallery", ...pressure(main), unit: " kPa", decimals: 0 },
    { says: "oil_phaser_now" as const, name: "phaser", now: solved ? solved.authority?.margin : found?.margin, found: found?.margin, unit: "", decimals: 1 },
  ].filter((one) => one.now !== undefined);
  return (
    <dl class="oil_now" aria-live="polite">
      {rows.map(({ says, name, now, found: was, unit, decimals }) => (
        <div key={name} data-name={name}>
          <dt>{t(says)}</dt>
          <dd>
            <b>{fixed(now ?? 0, decimals)}{unit}</b>{" "}
            {name === "head" && least !== undefined && (now ?? 0) < least ? <small class="oil_is_below">{t("oil_now_below", { kPa: fixed(least) })}</small> : null}
            {name === "phaser" ? <small>{said((solved ? solved.authority?.band : found?.band) ?? "")}</small> : null}
            {solved && was !== undefined ? <small class="faint">{t("oil_was", { was: `${fixed(was, decimals)}${unit}` })}</small> : null}
          </dd>
        </div>
      ))}
    </dl>
  );
}

interface SliderProps {
  journal: Journal;
  at: number | undefined;
  on_slide: (place: string, mm: number | undefined) => void;
}

function Slider({ journal, at, on_slide }: SliderProps) {
  const id = useId();
  const { place, mm, measured } = journal;
  const now = at ?? mm;
  const { min, max } = slider_range(mm);
  const is_set = at !== undefined && Math.abs(at - mm) > 1e-6;
  const to = (value: number) => {
    const next = stepped(value, mm);
    on_slide(place, next === mm ? undefined : next);
  };
  return (
    <div class={is_set ? "oil_slider set" : "oil_slider"} data-place={place}>
      <label for={id}><Told says={place} /></label>
      <output for={id}>{fixed(now, 3)} mm</output>
      <input
        id={id}
        type="range"
        min={min}
        max={max}
        step={kStep / 5}
        value={now}
        aria-valuetext={`${fixed(now, 3)} mm`}
        onInput={(event) => to(event.currentTarget.valueAsNumber)}
        onKeyDown={(event) => {
          const steps = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -4, PageUp: 4 }[event.key];
          if (steps === undefined) return;
          event.preventDefault();
          to(now + steps * kStep);
        }}
      />
      <span class="faint">{t(measured ? "oil_measured" : "oil_stated", { mm: fixed(mm, 3) })}</span>
      <button type="button" class="quiet" disabled={!is_set} onClick={() => on_slide(place, undefined)}>{t(measured ? "oil_as_measured" : "oil_as_stated")}</button>
    </div>
  );
}
