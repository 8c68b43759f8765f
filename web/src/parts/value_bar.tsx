// SPDX-License-Identifier: Apache-2.0
// A value as a bar of its interval on the limit's scale: limits are thick lines, hatched outside as
// material is in a section. What is written beside it is the program's own text.
import type { Schemas } from "../ask";
import { type BarGeometry, bar_geometry } from "../see/bar_geometry";
import { said as told } from "../said/said";
import { t } from "../texts";
import "./value_bar.css";

const kWidth = 320;
const kHeight = 44;
const kAxis = 32;

export function ValueBar({ finding }: { finding: Schemas["finding"] }) {
  const { value, limit } = finding;
  if (!value && !limit) return null;
  const found = bar_geometry(finding);
  const has_scale = found.bar || found.lower !== undefined || found.upper !== undefined;
  return (
    <figure class="value_bar">
      {has_scale ? <Scale found={found} text={said(finding, found)} /> : null}
      <figcaption>
        <b>{value ? told(value.shown) : t("bar_no_value")}</b>
        <span>{limit ? told(limit.shown) : t("bar_no_limit")}</span>
      </figcaption>
    </figure>
  );
}

function said({ value, limit }: Schemas["finding"], found: BarGeometry): string {
  const words = [value ? told(value.shown) : t("bar_no_value"), limit ? told(limit.shown) : t("bar_no_limit")];
  if (found.far) words.push(t(found.far === "left" ? "bar_far_below" : "bar_far_above"));
  return words.join("; ");
}

function Scale({ found, text }: { found: BarGeometry; text: string }) {
  const { bar, far, lower, upper } = found;
  const x = (place: number) => 2 + place * (kWidth - 4);
  return (
    <svg viewBox={`0 0 ${kWidth} ${kHeight}`} role="img" aria-label={text}>
      <path class="axis" d={axis(far)} />
      {lower === undefined ? null : <path class="hatch" d={hatch(far === "left" ? x(0.1) : 2, x(lower))} />}
      {upper === undefined ? null : (
        <path class="hatch" d={hatch(x(upper), far === "right" ? x(0.9) : kWidth - 2)} />
      )}
      {[lower, upper].map((at) => (at === undefined ? null : <path class="limit" d={`M${x(at)} 2V${kAxis + 8}`} />))}
      {bar ? (
        <g class="interval">
          <path d={interval(x(bar.from), x(bar.to), bar.opens)} />
          <path class="value" d={`M${x(bar.value)} 4V26`} />
        </g>
      ) : null}
    </svg>
  );
}

// A break in the axis is a zigzag, as on a drawing of a part too long for the sheet.
function axis(far: "left" | "right" | undefined): string {
  const at = far === "left" ? 0.1 * kWidth : 0.9 * kWidth;
  if (!far) return `M2 ${kAxis}H${kWidth - 2}`;
  return `M2 ${kAxis}H${at - 6}l4-7 4 14 4-7H${kWidth - 2}`;
}

function hatch(from: number, to: number): string {
  let path = "";
  for (let x = from; x < to - 1; x += 7) {
    const run = Math.min(8, to - x);
    path += `M${x} ${kAxis + 8}l${run}-${run}`;
  }
  return path;
}

// Ends that go on past the axis stay open.
function interval(from: number, to: number, opens: ("left" | "right")[]): string {
  const width = Math.max(to - from, 1);
  const ends = `${opens.includes("left") ? "" : `M${from} 9v12`}${opens.includes("right") ? "" : `M${from + width} 9v12`}`;
  return `M${from} 9h${width}M${from} 21h${width}${ends}`;
}
