// SPDX-License-Identifier: Apache-2.0
// A recording of crank and cam sensors: what was recorded, what was decoded from it, what it can
// mean. Another one may be laid over it.
import { useEffect, useState } from "preact/hooks";

import { ask, case_path, type Schemas, sentence } from "../ask";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { number_words, said } from "../said/said";
import { Told } from "../said/told";
import { phase_words, PhasePlot } from "../see/phase_plot";
import { upload } from "../see/upload";
import { asked_wave, type Wave } from "../see/wave";
import { WaveRows } from "../see/wave_rows";
import type { Stretch } from "../see/window";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import "./recording.css";

type Report = Schemas["recording_report"];

const kFolder = "recordings";
const kNoEnd = /^recordings\/[^.]+$/; // dropped here without an ending
const kEnds = /\.(csv|tsv|txt|wav|vcd|sr|bin|dat)$/i;

export function RecordingScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const { file, other } = route.query;
  return (
    <Sheet
      title={t("rec_title")}
      back={address(["case", name])}
      wide
      blocks={[{ name: t("turn_case"), says: name }, ...(file ? [{ name: t("rec_file"), says: file }] : [])]}
    >
      <div class="stack">
        {file ? <Viewer key={`${file} ${other}`} of_case={name} file={file} other={other} /> : null}
        <Choose of_case={name} file={file} other={other} />
      </div>
    </Sheet>
  );
}

function report_path(of_case: string, file: string): string {
  return `${case_path(of_case, "recording")}?${new URLSearchParams({ name: file })}`;
}

function Viewer({ of_case, file, other }: { of_case: string; file: string; other: string | undefined }) {
  const [first, set_first] = useState<Wave | string>();
  const [other_first, set_other_first] = useState<Wave | string>();
  useEffect(() => {
    void asked_wave(of_case, file, 1, undefined, 64).then(set_first, () => set_first(t("no_answer")));
    if (other) void asked_wave(of_case, other, 1, undefined, 64).then(set_other_first, () => undefined);
  }, [of_case, file, other]);
  const report = useReport(typeof first === "object" ? report_path(of_case, file) : undefined);
  const other_report = useReport(other && report.told ? report_path(of_case, other) : undefined);
  if (typeof first === "string") return <p class="wrong" role="alert" ><Told says={first} whole /></p>;
  if (!first) return <p role="status">{t("rec_reading")}</p>;
  const whole: Stretch = { from: first.first, to: first.last };
  const told = report.told;
  const there = other_report.told;
  const channels = (told?.channels ?? [{ channel: 1, name: "", is_logic: false }]).map((one) => ({
    channel: one.channel,
    name: channel_words(one, told),
    holds: one.is_logic,
  }));
  return (
    <>
      <WaveRows
        of_case={of_case}
        file={file}
        report={told}
        channels={channels}
        whole={whole}
        other={other && typeof other_first === "object" ? { file: other, first: other_first.first, channels: there?.channels.map((one) => one.channel) ?? [1] } : undefined}
        about={told ? summary(told) : file}
      />
      {other ? <p class="faint">{t("rec_laid_over", { other })}</p> : null}
      {told && there && told.crank.wheel.name !== there.crank.wheel.name ? (
        <p class="caution" role="status">{t("rec_other_wheel", { here: told.crank.wheel.name, there: there.crank.wheel.name })}</p>
      ) : null}
      {told ? <Says of_case={of_case} report={told} other={other_report.told} whole={whole} /> : <p role="status" lang={report.detail ? "en" : ""}>{report.detail || t("rec_decoding")}</p>}
    </>
  );
}

// Large files are read one after the other: asked again as long as the program says "not now".
function useReport(path: string | undefined): { told?: Report; detail: string } {
  const [found, set] = useState<{ told?: Report; detail: string }>({ detail: "" });
  useEffect(() => {
    if (!path) return;
    let is_over = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const again = async () => {
      const answer = await ask<Report>("GET", path);
      if (is_over) return;
      if (answer.status === 503) timer = setTimeout(() => void again(), 1000 * (answer.wait || 1));
      else set(answer.told ? { told: answer.told, detail: "" } : { detail: answer.detail });
    };
    void again();
    return () => {
      clearTimeout(timer);
      is_over = true;
    };
  }, [path]);
  return found;
}

function channel_words({ channel, name }: { channel: number; name: string }, report: Report | undefined): string {
  const cam = report?.cams.find((one) => one.channel === channel);
  const role = report?.crank.channel === channel ? `${t("rec_crank")} ${report.crank.wheel.name}` : cam ? (cam.cam ? said(cam.cam) : t("rec_cam")) : "";
  return [t("rec_channel", { n: channel }), name, role].filter(Boolean).join(" · ");
}

function summary(report: Report): string {
  const { speed, crank, cams } = report;
  const words = [said(report.format), t("rec_speed", { min: Math.round(speed.min), max: Math.round(speed.max), n: speed.revolutions }), `${t("rec_crank")}: ${crank.wheel.name}`];
  for (const cam of cams) words.push(`${cam.cam ? said(cam.cam) : t("rec_channel", { n: cam.channel })}: ${phase_words(cam)}`);
  return words.join("; ");
}

function Says({ of_case, report, other, whole }: { of_case: string; report: Report; other: Report | undefined; whole: Stretch }) {
  return (
    <>
      <p>{summary(report)}</p>
      <p class="caution">
        {t("rec_alone")} <a href={address(["case", of_case])}>{t("turn_to_case")}</a>
      </p>
      <div class="phases">
        {report.cams.map((cam) => (
          <PhasePlot key={cam.channel} cam={cam} other={other?.cams.find((one) => one.cam && one.cam === cam.cam)} whole={whole} />
        ))}
      </div>
      <Meanings report={report} />
      <Details report={report} />
    </>
  );
}

function Meanings({ report }: { report: Report }) {
  return (
    <section>
      <h2>{t("rec_meaning")}</h2>
      {report.sentence ? <p><Told says={report.sentence} whole /></p> : null}
      <ol class="meanings">
        {report.hypotheses.map((one) => (
          <li key={one.name}>
            <b><Told says={one.name} /></b>
            <span>{number_words(one.probability < 0.005 ? "< 0.01" : one.probability.toFixed(2))}</span>
            <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><path d={`M0 5H${100 * one.probability}`} /></svg>
            <span><Told says={one.says} /></span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Details({ report }: { report: Report }) {
  const notes = [...(report.signals ?? []).map((one) => (one.channel ? t("rec_signal", { n: one.channel, says: said(one.says) }) : one.says)), ...(report.contradictions ?? []), ...(report.not_compared ? [report.not_compared] : []), ...report.notes];
  return (
    <>
      {notes.length ? <ul>{notes.map((note) => <li key={note}><Told says={note} /></li>)}</ul> : null}
      <details class="prints">
        <summary>{t("rec_table")}</summary>
        <table class="wheels">
          <thead>
            <tr>{(["rec_camshaft", "rec_edge", "rec_angle", "rec_scatter", "rec_count"] as const).map((key) => <th scope="col" key={key}>{t(key)}</th>)}</tr>
          </thead>
          <tbody>
            {report.cams.flatMap((cam) => cam.edges.map((edge, i) => (
              <tr key={`${cam.channel} ${i}`}>
                <th scope="row">{cam.cam ? said(cam.cam) : t("rec_channel", { n: cam.channel })}</th>
                <td>{edge.polarity > 0 ? t("rec_rising") : t("rec_falling")}</td>
                <td>{number_words(edge.angle_deg.toFixed(2))}°</td>
                <td>{edge.sd_deg === null ? "" : `${number_words(edge.sd_deg.toFixed(2))}°`}</td>
                <td>{edge.count}</td>
              </tr>
            )))}
          </tbody>
        </table>
      </details>
    </>
  );
}

function size_words(bytes: number): string {
  if (bytes < 1e3) return `${bytes} B`;
  return number_words(bytes < 1e5 ? `${(bytes / 1e3).toFixed(1)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);
}

// Recordings that are there, and a place to drop another one.
function Choose({ of_case, file, other }: { of_case: string; file: string | undefined; other: string | undefined }) {
  const files = useAsked<Schemas["file_list"]>(case_path(of_case, "files"), of_case);
  const [part, set_part] = useState<number>();
  const [wrong, set_wrong] = useState("");
  const there = (files.told?.files ?? []).filter((one) => kEnds.test(one.name) || kNoEnd.test(one.name));
  const take = async (dropped: File | undefined) => {
    if (!dropped) return;
    set_wrong("");
    set_part(0);
    const { name, problem } = await upload(of_case, kFolder, dropped, set_part, "recording");
    set_part(undefined);
    set_wrong(problem);
    if (!problem) go(["recording", of_case], { file: name });
  };
  if (files.status === 404) return <p role="status"><Told says={files.detail} /></p>;
  const drop = (event: DragEvent) => {
    event.preventDefault();
    void take(event.dataTransfer?.files[0]);
  };
  return (
    <section class="stack" onDragOver={(event) => event.preventDefault()} onDrop={drop}>
      <label class="drop_here">
        <span>{part === undefined ? t("rec_drop") : t("rec_sending", { n: Math.round(100 * part) })}</span>
        <input type="file" disabled={part !== undefined} onChange={(event) => void take(event.currentTarget.files?.[0])} />
        {part === undefined ? null : <progress value={part} aria-label={t("rec_drop")} />}
      </label>
      {wrong ? <p class="wrong" role="alert"><Told says={wrong} /></p> : null}
      {there.length ? <h2>{t("rec_there")}</h2> : null}
      {there.map((one) => (
        <p key={one.name} class="row">
          <a class="button" href={address(["recording", of_case], { file: one.name })} aria-current={one.name === file}>{one.name}</a>
          <span class="faint">{size_words(one.bytes)}</span>
          {file && one.name !== file && one.name !== other ? <a class="button" href={address(["recording", of_case], { file, other: one.name })}>{t("rec_lay_over")}</a> : null}
          {one.name === other ? <a class="button" href={address(["recording", of_case], { file: file ?? "" })}>{t("rec_take_off")}</a> : null}
        </p>
      ))}
    </section>
  );
}
