// SPDX-License-Identifier: Apache-2.0
// All channels over one axis of time: drawn at once from what is here, then again from what the
// program sends for the new stretch. Wheel, pinch, drag, keys and buttons zoom and move.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, case_path, type Schemas } from "../ask";
import { t } from "../texts";
import { useFingers } from "./fingers";
import { asked_wave, type Wave } from "./wave";
import { draw_picture, type Row } from "./wave_canvas";
import { kept_inside, type Laid, laid_by_turn, moved, type Stretch, zoomed } from "./window";

type Report = Schemas["recording_report"];
type Marks = Schemas["decoded_marks"];

interface Props {
  of_case: string;
  file: string;
  report: Report | undefined; // comes later than the waves
  channels: { channel: number; name: string; holds: boolean }[];
  whole: Stretch;
  other: { file: string; first: number; channels: number[] } | undefined;
  about: string;
}

const kMostMarks = 1500;

export function WaveRows({ of_case, file, report, channels, whole, other, about }: Props) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [stretch, set_stretch] = useState(whole);
  const rows = useRef<Row[]>([]);
  const marks = useRef<Schemas["decoded_mark"][]>([]);
  const [by_turn, set_by_turn] = useState<Laid>();
  const [missing, set_missing] = useState("");
  const laid = by_turn ?? { begin: whole.from, at: other?.first ?? whole.from, stretch: 1 };
  const now = useRef(stretch);
  now.current = stretch;

  const draw = () => {
    const at = canvas.current;
    if (!at) return;
    const style = getComputedStyle(at);
    const ink = (name: string) => style.getPropertyValue(name).trim();
    draw_picture(at, { rows: rows.current, stretch: now.current, marks: marks.current, laid }, {
      ink: ink("--ink"),
      faint: ink("--faint"),
      paper: ink("--paper"),
    });
  };

  rows.current = channels.map((one, i) => {
    const before = rows.current[i];
    return { ...one, wave: before?.wave, other: before?.other };
  });
  useEffect(draw, [stretch, by_turn]);
  useEffect(() => {
    const again = new ResizeObserver(draw);
    if (canvas.current) again.observe(canvas.current);
    return () => again.disconnect();
  }, [by_turn]);
  useEffect(() => {
    const stop = new AbortController();
    const wait = setTimeout(() => void fill(), 60);
    const fill = async () => {
      const bins = Math.min(Math.ceil((canvas.current?.clientWidth ?? 1000) * (devicePixelRatio || 1)), 4096);
      const { from, to } = stretch;
      const wanted = channels.flatMap((one, i) => [
        { i, file, is_other: false, channel: one.channel, from, to },
        ...(other?.channels.includes(one.channel) ? [{ i, file: other.file, is_other: true, channel: one.channel, from: laid.at + (from - laid.begin) * laid.stretch, to: laid.at + (to - laid.begin) * laid.stretch }] : []),
      ]);
      await Promise.all(wanted.map(async (one) => {
        const wave = await asked_wave(of_case, one.file, one.channel, one, bins, stop.signal).catch(() => undefined);
        if (stop.signal.aborted || wave === undefined) return;
        if (typeof wave === "string") return void (one.is_other || set_missing(wave));
        const row = rows.current[one.i];
        if (row) row[one.is_other ? "other" : "wave"] = wave as Wave;
        draw();
      }));
      if (!report) return;
      const found = await asked_marks(of_case, file, stretch);
      if (stop.signal.aborted) return;
      marks.current = found?.marks ?? [];
      draw();
    };
    return () => {
      clearTimeout(wait);
      stop.abort();
    };
  }, [stretch, file, other?.file, other?.channels.length, report, by_turn, channels.length]);

  const act = (next: Stretch) => set_stretch((now.current = kept_inside(next, whole)));
  const keys = (event: KeyboardEvent) => {
    const next = { ArrowLeft: moved(stretch, -0.1, whole), ArrowRight: moved(stretch, 0.1, whole), "+": zoomed(stretch, 2, 0.5, whole), "-": zoomed(stretch, 0.5, 0.5, whole), Home: whole }[event.key];
    if (!next) return;
    event.preventDefault();
    act(next);
  };
  const lay = async () => {
    if (by_turn || !other || !report) return set_by_turn(undefined);
    const zeros = await zeros_of(of_case, file, report.crank.channel, stretch);
    const others = await zeros_of(of_case, other.file, report.crank.channel, undefined);
    const found = laid_by_turn(zeros, others);
    set_missing(found ? "" : t("rec_no_turn"));
    set_by_turn(found);
  };
  return (
    <figure class="waves" tabIndex={0} aria-label={t("rec_keys")} onKeyDown={keys}>
      <canvas ref={canvas} role="img" aria-label={about} data-from={stretch.from} data-to={stretch.to} style={{ height: `${Math.max(channels.length, 1) * 136 + 34}px` }} {...useFingers(() => now.current, act, whole)} />
      {missing ? <p role="status">{missing}</p> : null}
      <figcaption class="row">
        <button onClick={() => act(zoomed(stretch, 4, 0.5, whole))}>{t("rec_closer")}</button>
        <button onClick={() => act(zoomed(stretch, 0.25, 0.5, whole))}>{t("rec_wider")}</button>
        <button class="quiet" onClick={() => act(moved(stretch, -0.5, whole))}>{t("rec_left")}</button>
        <button class="quiet" onClick={() => act(moved(stretch, 0.5, whole))}>{t("rec_right")}</button>
        <button class="quiet" onClick={() => act(whole)}>{t("rec_whole")}</button>
        {other && report ? <button class="quiet" aria-pressed={!!by_turn} onClick={() => void lay()}>{t("rec_by_turn")}</button> : null}
      </figcaption>
    </figure>
  );
}

async function asked_marks(of_case: string, file: string, stretch: Stretch | undefined, most = kMostMarks): Promise<Marks | undefined> {
  const query = new URLSearchParams({ name: file, most: String(most) });
  if (stretch) {
    query.set("from", String(stretch.from));
    query.set("to", String(stretch.to));
  }
  return (await ask<Marks>("GET", `${case_path(of_case, "recording", "marks")}?${query}`)).told;
}

async function zeros_of(of_case: string, file: string, channel: number, stretch: Stretch | undefined): Promise<number[]> {
  const found = await asked_marks(of_case, file, stretch, 20000);
  return (found?.marks ?? []).filter((mark) => mark.channel === channel && mark.place === 0).map((mark) => mark.time_s);
}
