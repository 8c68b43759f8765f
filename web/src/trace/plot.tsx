// SPDX-License-Identifier: Apache-2.0
// Torque over angle: the points as recorded, the line without their noise, the straight part in
// color, where the parts close, the bolt yields and the record ends; other bolts of the set pale.
// Zoomed and moved as recordings are; a cursor reads torque and angle in both systems of units.
import { useEffect, useRef, useState } from "preact/hooks";

import { useFingers } from "../see/fingers";
import { kept_inside, moved, type Stretch, ticks_of, zoomed } from "../see/window";
import { said } from "../said/said";
import { useWidth } from "../see/use_width";
import { t } from "../texts";
import { angle_words, fixed, newton_meters, torque_at, torque_words, type TraceSaid } from "./says";

const kLeft = 58;
const kRight = 12;
const kTop = 26;
const kFoot = 40;
const kRoom = 1.12;

interface Frame {
  width: number;
  height: number;
  x: (deg: number) => number;
  y: (torque: number) => number;
  stretch: Stretch;
  most: number;
}

interface Props {
  trace: TraceSaid;
  others: readonly TraceSaid[];
}

export function TracePlot({ trace, others }: Props) {
  const { points } = trace.drawn;
  const angles = points.map(([angle = 0]) => angle);
  const whole: Stretch = { from: least(angles), to: Math.max(most_of(angles), least(angles) + 1) };
  const box = useRef<HTMLDivElement>(null);
  const width = useWidth(box);
  const [stretch, set_stretch] = useState(whole);
  const [cursor, set_cursor] = useState<number>();
  const now = useRef(stretch);
  now.current = stretch;
  const act = (next: Stretch) => set_stretch((now.current = kept_inside(next, whole)));
  const fingers = useFingers(() => now.current, act, whole);
  const frame = frame_of(trace, stretch, width);
  const at = cursor ?? trace.values?.end?.angle_deg ?? whole.to;
  const keys = (event: KeyboardEvent) => {
    if (event.target instanceof HTMLInputElement) return;
    const next = { ArrowLeft: moved(stretch, -0.1, whole), ArrowRight: moved(stretch, 0.1, whole), "+": zoomed(stretch, 2, 0.5, whole), "-": zoomed(stretch, 0.5, 0.5, whole), Home: whole }[event.key];
    if (!next) return;
    event.preventDefault();
    act(next);
  };
  const touch = (event: MouseEvent) => {
    const left = (event.currentTarget as Element).getBoundingClientRect().left;
    const share = (event.clientX - left - kLeft) / (width - kLeft - kRight);
    set_cursor(Math.min(Math.max(stretch.from + share * (stretch.to - stretch.from), whole.from), whole.to));
  };
  return (
    <figure class="trace_plot" tabIndex={0} aria-label={t("tr_keys")} onKeyDown={keys}>
      <div ref={box}>
        <svg width={width} height={frame.height} viewBox={`0 0 ${width} ${frame.height}`} role="img" aria-label={about(trace)} data-from={stretch.from} data-to={stretch.to} onClick={touch} {...fingers}>
          <clipPath id="trace_inside"><rect x={kLeft} y={kTop} width={width - kLeft - kRight} height={frame.height - kTop - kFoot} /></clipPath>
          <Axes frame={frame} />
          <g clip-path="url(#trace_inside)">
            {others.map((other) => <path key={other.entry} class="other" d={path_of(other.drawn.curve.length ? other.drawn.curve : other.drawn.points, frame, shift(trace, other))} />)}
            <Curves trace={trace} frame={frame} />
            <path class="cursor" d={`M${frame.x(at)} ${kTop}V${frame.height - kFoot}`} />
          </g>
          <Marks trace={trace} frame={frame} />
        </svg>
      </div>
      <p class="trace_read" role="status">{reading(trace, at)}</p>
      <label class="trace_cursor">
        {t("tr_cursor")}
        <input type="range" min={whole.from} max={whole.to} step="0.1" value={at} aria-valuetext={reading(trace, at)} onInput={(event) => set_cursor(Number(event.currentTarget.value))} />
      </label>
      <figcaption class="row">
        <button onClick={() => act(zoomed(stretch, 2, place_in(at, stretch), whole))}>{t("rec_closer")}</button>
        <button onClick={() => act(zoomed(stretch, 0.5, 0.5, whole))}>{t("rec_wider")}</button>
        <button class="quiet" onClick={() => act(moved(stretch, -0.5, whole))}>{t("tr_left")}</button>
        <button class="quiet" onClick={() => act(moved(stretch, 0.5, whole))}>{t("tr_right")}</button>
        <button class="quiet" onClick={() => act(whole)}>{t("rec_whole")}</button>
      </figcaption>
      <p class="faint">{t("tr_legend")}{others.length > 0 ? ` ${t("tr_legend_others", { n: others.length })}` : ""}</p>
    </figure>
  );
}

const least = (all: readonly number[]) => all.reduce((a, b) => Math.min(a, b), all[0] ?? 0);
const most_of = (all: readonly number[]) => all.reduce((a, b) => Math.max(a, b), all[0] ?? 1);

// The cursor stays where it is if it is in sight.
function place_in(at: number, { from, to }: Stretch): number {
  const place = (at - from) / (to - from);
  return place >= 0 && place <= 1 ? place : 0.5;
}

function frame_of({ drawn }: TraceSaid, stretch: Stretch, width: number): Frame {
  const height = Math.round(Math.min(Math.max(width * 0.55, 280), 480));
  const inside = drawn.points.filter(([angle = 0]) => angle >= stretch.from && angle <= stretch.to);
  const most = kRoom * Math.max(most_of((inside.length ? inside : drawn.points).map(([, torque = 0]) => torque)), 0.1);
  return {
    width, height, stretch, most,
    x: (deg) => kLeft + ((deg - stretch.from) / (stretch.to - stretch.from)) * (width - kLeft - kRight),
    y: (torque) => height - kFoot - (Math.max(torque, 0) / most) * (height - kTop - kFoot),
  };
}

function Axes({ frame }: { frame: Frame }) {
  const { width, height, x, y, stretch, most } = frame;
  const across = ticks_of(stretch, Math.max(2, Math.floor(width / 110)));
  const up = ticks_of({ from: 0, to: most }, 6);
  const decimals = (ticks: number[]) => ((ticks[1] ?? 1) - (ticks[0] ?? 0) < 1 ? 1 : 0);
  return (
    <g class="axes">
      {up.map((tick) => (
        <g key={tick}>
          <path d={`M${kLeft} ${y(tick)}H${width - kRight}`} />
          <text x={kLeft - 8} y={y(tick) + 5} text-anchor="end">{fixed(tick, decimals(up))}</text>
        </g>
      ))}
      {across.map((tick) => <text key={tick} x={x(tick)} y={height - kFoot + 18} text-anchor="middle">{angle_words(tick, decimals(across))}</text>)}
      <path class="axis" d={`M${kLeft} ${kTop}V${height - kFoot}H${width - kRight}`} />
      <text x={4} y={16}>{t("tr_axis_torque")}</text>
      <text x={width - kRight} y={height - 4} text-anchor="end">{t("tr_axis_angle")}</text>
    </g>
  );
}

function path_of(points: readonly number[][], { x, y }: Frame, by = 0): string {
  return points.map(([angle = 0, torque = 0], i) => `${i ? "L" : "M"}${x(angle + by).toFixed(1)} ${y(torque).toFixed(1)}`).join("");
}

// Records begin anywhere: they are laid so that the straight parts begin together.
function shift(trace: TraceSaid, other: TraceSaid): number {
  const [here, there] = [trace.values?.origin_deg, other.values?.origin_deg];
  return here == null || there == null ? 0 : here - there;
}

function Curves({ trace, frame }: { trace: TraceSaid; frame: Frame }) {
  const { points, curve, line, target_Nm, snug_Nm } = trace.drawn;
  const { x, y, width } = frame;
  const [a, b] = line ?? [];
  return (
    <>
      {[target_Nm, snug_Nm].map((torque) => (torque === null ? null : <path key={torque} class="wanted_torque" d={`M${kLeft} ${y(torque)}H${width - kRight}`} />))}
      <path class="dots" d={points.map(([angle = 0, torque = 0]) => `M${x(angle).toFixed(1)} ${y(torque).toFixed(1)}h.01`).join("")} />
      <path class="curve" d={path_of(curve, frame)} />
      {a && b ? <path class="straight" d={path_of([a, b], frame)} /> : null}
    </>
  );
}

function Marks({ trace, frame }: { trace: TraceSaid; frame: Frame }) {
  const { values } = trace;
  const { x, y, width, stretch } = frame;
  const spots = [
    { at: values?.closed, says: t("tr_closed") },
    { at: values?.yield, says: t("tr_yield") },
    { at: values?.end, says: t("tr_end") },
  ];
  return (
    <g class="spots">
      {spots.map(({ at, says }) => {
        if (!at || at.angle_deg < stretch.from || at.angle_deg > stretch.to) return null;
        const is_left = x(at.angle_deg) > width * 0.6;
        return (
          <g key={says}>
            <circle cx={x(at.angle_deg)} cy={y(at.torque_Nm)} r="5" />
            <text x={x(at.angle_deg) + (is_left ? -10 : 10)} y={y(at.torque_Nm) + (says === t("tr_end") || y(at.torque_Nm) > frame.height - kFoot - 24 ? -12 : 18)} text-anchor={is_left ? "end" : "start"}>{says}</text>
          </g>
        );
      })}
      {[[trace.drawn.target_Nm, "tr_target"], [trace.drawn.snug_Nm, "tr_snug"]].map(([torque, key]) =>
        typeof torque === "number" && torque < frame.most ? <text key={key} class="wanted_words" x={kLeft + 6} y={y(torque) - 6}>{`${t(key as "tr_target")} ${newton_meters(torque)}`}</text> : null)}
    </g>
  );
}

// "124.5° of the record: 43.2 N·m (31.9 lbf·ft, 382 lbf·in), 62.3° after the parts closed"
function reading(trace: TraceSaid, at: number): string {
  const { curve, points } = trace.drawn;
  const torque = torque_at(curve, at) ?? torque_at(points, at);
  const closed = trace.values?.origin_deg;
  const after = closed != null && at >= closed ? `, ${t("tr_after_closed", { deg: angle_words(at - closed) })}` : "";
  return `${t("tr_at", { deg: angle_words(at) })}: ${torque === undefined ? t("tr_no_point") : torque_words(torque)}${after}`;
}

function about(trace: TraceSaid): string {
  return `${t("tr_title")}: ${said(trace.fastener)}${trace.bolt === null ? "" : `, ${t("tr_bolt", { n: trace.bolt })}`}. ${(trace.sentences ?? []).map(said).join("; ")}`;
}
