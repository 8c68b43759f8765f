// SPDX-License-Identifier: Apache-2.0
// The phase of one camshaft over time, and beside it how often each phase was there.
import type { Schemas } from "../ask";
import { number_words, said } from "../said/said";
import { t } from "../texts";
import { ticks_of, type Stretch, time_words } from "./window";

type Cam = Schemas["recorded_cam"];
type Cycles = NonNullable<Cam["cycles"]>;

const kWidth = 640;
const kHeight = 200;
const kLeft = 90; // of the course
const kRight = 480;
const kFoot = 172;

// The program's own words where it compared with the drive.
export function phase_words({ window, phase }: Cam): string {
  if (window) return said(window.says);
  return phase?.jitter_deg == null ? "" : t("rec_jitter", { deg: number_words(phase.jitter_deg.toFixed(2)) });
}

export function PhasePlot({ cam, other: laid_over, whole }: { cam: Cam; other: Cam | undefined; whole: Stretch }) {
  const cycles = cam.cycles;
  // Phases against a recording's own mean say nothing of each other.
  const is_same_zero = cam.phase?.against === "reference" && laid_over?.phase?.against === "reference";
  const other = is_same_zero ? laid_over : undefined;
  if (!cycles || cycles.psi_deg.length === 0) return null;
  const range = range_of_all([cycles, ...(other?.cycles ? [other.cycles] : [])]);
  const y = (psi: number) => kFoot - 8 - ((psi - range.from) / (range.to - range.from)) * (kFoot - 24);
  const x = (time: number) => kLeft + ((time - whole.from) / (whole.to - whole.from || 1)) * (kRight - kLeft);
  const name = cam.cam ? said(cam.cam) : t("rec_channel", { n: cam.channel });
  const mean = phase_words(cam);
  const against = cam.phase?.against === "reference" ? t("rec_against_drive") : t("rec_against_self");
  return (
    <figure class="phase">
      <figcaption>
        <b>{name}</b> {mean}{" "}
        <span class="faint">{cam.window?.open_because ? said(cam.window.open_because) : against}</span>
      </figcaption>
      <svg viewBox={`0 0 ${kWidth} ${kHeight}`} role="img" aria-label={`${name}: ${mean}, ${against}`}>
        {ticks_of(range, 4).map((tick) => (
          <g key={tick}>
            <path class="help" d={`M${kLeft} ${y(tick)}H${kRight}`} />
            <text x={kLeft - 6} y={y(tick) + 4} text-anchor="end">{axis_words(tick)}</text>
          </g>
        ))}
        <path class="axis" d={`M${kLeft} 8V${kFoot}H${kRight}M${kRight + 16} 8V${kFoot}`} />
        {ticks_of(whole, 4).map((tick) => (
          <text key={tick} x={x(tick)} y={kHeight - 10} text-anchor="middle">{time_words(tick, whole.to - whole.from)}</text>
        ))}
        {other?.cycles ? <Course cycles={other.cycles} x={(_, i, n) => kLeft + (i / n) * (kRight - kLeft)} y={y} pale /> : null}
        <Course cycles={cycles} x={x} y={y} />
        <Histogram cycles={cycles} y={y} />
      </svg>
    </figure>
  );
}

function axis_words(degrees: number): string {
  const words = `${number_words(String(Number(Math.abs(degrees).toFixed(2))))}°`;
  return Math.abs(degrees) < 1e-9 ? words : `${words} ${t(degrees > 0 ? "rec_early_short" : "rec_late_short")}`;
}

function range_of_all(all: Cycles[]): Stretch {
  const ends = all.flatMap(({ psi_deg, U_deg, histogram: bars }) => [
    ...psi_deg.flatMap((psi, i) => [psi - (U_deg[i] ?? 0), psi + (U_deg[i] ?? 0)]),
    ...(bars ? [bars.from_deg, bars.from_deg + bars.counts.length * bars.step_deg] : []),
  ]);
  const [from, to] = [ends.reduce((a, b) => Math.min(a, b), 0), ends.reduce((a, b) => Math.max(a, b), 0)];
  return to - from < 0.2 ? { from: from - 0.1, to: to + 0.1 } : { from, to };
}

// Every cycle is the bar of its interval.
function Course({ cycles, x, y, pale = false }: { cycles: Cycles; x: (time: number, i: number, n: number) => number; y: (psi: number) => number; pale?: boolean }) {
  let bars = "";
  let dots = "";
  cycles.psi_deg.forEach((psi, i) => {
    const at = x(cycles.time_s[i] ?? 0, i, cycles.psi_deg.length).toFixed(1);
    const U = cycles.U_deg[i] ?? 0;
    bars += `M${at} ${y(psi - U).toFixed(1)}V${y(psi + U).toFixed(1)}`;
    dots += `M${at} ${y(psi).toFixed(1)}h.01`;
  });
  return (
    <g class={pale ? "course pale" : "course"}>
      <path class="bars" d={bars} />
      <path class="dots" d={dots} />
    </g>
  );
}

function Histogram({ cycles, y }: { cycles: Cycles; y: (psi: number) => number }) {
  const found = cycles.histogram;
  if (!found) return null;
  const most = Math.max(...found.counts, 1);
  return (
    <g class="histogram">
      {found.counts.map((count, i) => {
        const [low, high] = [y(found.from_deg + i * found.step_deg), y(found.from_deg + (i + 1) * found.step_deg)];
        return count ? <path key={i} d={`M${kRight + 16} ${low}h${(count / most) * 110}V${high}H${kRight + 16}`} /> : null;
      })}
      <text x={kRight + 32} y={kHeight - 10}>{t("rec_cycles", { n: found.counts.reduce((a, b) => a + b, 0) })}</text>
    </g>
  );
}
