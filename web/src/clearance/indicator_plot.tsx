// SPDX-License-Identifier: Apache-2.0
// Readings of lift over crank angle as points, what the program fits through them as a line, and the
// center line of the pairs beside the one that the definition wants.
import { useRef } from "preact/hooks";

import { useWidth } from "../see/use_width";
import { t } from "../texts";
import { degrees, fixed, type IndicatorRead } from "./says";

type Found = NonNullable<IndicatorRead["found"]>;
export interface Spot {
  at: number;
  lift: number;
}

const [kLeft, kRight, kTop, kFoot] = [52, 14, 26, 44];

interface Props {
  spots: readonly Spot[];
  found: Found | undefined;
  unit: string; // of the lift
}

export function IndicatorPlot({ spots, found, unit }: Props) {
  const box = useRef<HTMLDivElement>(null);
  const width = useWidth(box);
  return <div ref={box}>{spots.length === 0 ? null : <Plot spots={spots} found={found} unit={unit} width={width} />}</div>;
}

function Plot({ spots, found, unit, width }: Props & { width: number }) {
  const height = Math.round(Math.min(Math.max(width * 0.55, 240), 420));
  const per_mm = unit === "in" ? 1 / 25.4 : 1;
  const centers = [found?.center_deg, found?.nominal_center_deg].filter((one): one is number => one != null);
  const angles = [...spots.map((one) => one.at), ...centers];
  const fitted = [...(found?.fitted ?? [])].sort((a, b) => a.at_deg - b.at_deg).map((one) => ({ at: one.at_deg, lift: one.fitted_mm * per_mm }));
  const [from, to] = widened(Math.min(...angles), Math.max(...angles));
  const most = 1.1 * Math.max(...spots.map((one) => one.lift), ...fitted.map((one) => one.lift), 0.1 * per_mm);
  const x = (at: number) => kLeft + ((at - from) / (to - from)) * (width - kLeft - kRight);
  const y = (lift: number) => height - kFoot - (Math.max(lift, 0) / most) * (height - kTop - kFoot);
  const up = ticks(0, most, 5);
  const across = ticks(from, to, Math.max(3, Math.floor(width / 90)));
  return (
    <svg class="cl_plot" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={t("cl_plot", { n: spots.length })}>
      {up.map((lift) => (
        <g key={lift}>
          <path class="grid" d={`M${kLeft} ${y(lift)}H${width - kRight}`} />
          <text x={kLeft - 8} y={y(lift) + 5} text-anchor="end">{fixed(lift, most < 1 ? 2 : most < 5 ? 1 : 0)}</text>
        </g>
      ))}
      {across.map((at) => <text key={at} x={x(at)} y={height - kFoot + 20} text-anchor="middle">{at < 0 ? `${fixed(-at, 0)} ${t("cl_short_before")}` : fixed(at, 0)}</text>)}
      <path class="axis" d={`M${kLeft} ${kTop}V${height - kFoot}H${width - kRight}`} />
      <text x={4} y={16}>{t("cl_axis_lift", { unit })}</text>
      <text x={width - kRight} y={height - 4} text-anchor="end">{t(width < 420 ? "cl_axis_angle_short" : "cl_axis_angle")}</text>
      {found?.nominal_center_deg != null ? <path class="nominal" d={`M${x(found.nominal_center_deg)} ${kTop}V${height - kFoot}`} /> : null}
      {found?.center_deg != null ? <path class="center" d={`M${x(found.center_deg)} ${kTop}V${height - kFoot}`} /> : null}
      {fitted.length > 1 ? <path class="fitted" d={fitted.map((one, i) => `${i ? "L" : "M"}${x(one.at).toFixed(1)} ${y(one.lift).toFixed(1)}`).join("")} /> : null}
      {spots.map((one, i) => <circle key={i} cx={x(one.at)} cy={y(one.lift)} r="5" />)}
      {found?.center_deg != null ? <text class="center_words" x={x(found.center_deg) + 8} y={height - kFoot - 10}>{degrees(found.center_deg)}</text> : null}
    </svg>
  );
}

function widened(from: number, to: number): [number, number] {
  const aside = Math.max(0.06 * (to - from), 5);
  return [from - aside, to + aside];
}

// Round numbers, about so many.
function ticks(from: number, to: number, wanted: number): number[] {
  const raw = (to - from) / wanted;
  const ten = 10 ** Math.floor(Math.log10(raw));
  const step = ten * ([1, 2, 5, 10].find((one) => one * ten >= raw) ?? 10);
  const all: number[] = [];
  for (let i = Math.ceil(from / step); i * step <= to; ++i) all.push(i * step);
  return all;
}
