// SPDX-License-Identifier: Apache-2.0
// The part of the degree wheel about its zero, to scale: the two stops as read, and where it stands
// when the piston is at its top. Before zero is drawn to the left.
import { t } from "../texts";
import { beside_zero, degrees } from "./says";

interface Props {
  before: number;
  after: number;
  top?: number | undefined; // what the wheel reads at true top; not known yet: left out
}

const kWidth = 440;
const kSide = 50; // for the words beside the stops

export function StopDial({ before, after, top }: Props) {
  const most = Math.max(before, after, 20) + 8; // degrees shown on either side
  const radius = (kWidth / 2 - kSide) / Math.sin((Math.min(most, 90) * Math.PI) / 180);
  const at = (deg: number, r: number) => {
    const angle = (deg * Math.PI) / 180;
    return { x: kWidth / 2 + r * Math.sin(angle), y: 70 + radius - r * Math.cos(angle) };
  };
  const line = (deg: number, from: number, to: number) => {
    const [a, b] = [at(deg, radius + from), at(deg, radius + to)];
    return `M${a.x.toFixed(1)} ${a.y.toFixed(1)}L${b.x.toFixed(1)} ${b.y.toFixed(1)}`;
  };
  const arc = (r: number) => {
    const [a, b] = [at(-most, radius + r), at(most, radius + r)];
    return `M${a.x.toFixed(1)} ${a.y.toFixed(1)}A${radius + r} ${radius + r} 0 0 1 ${b.x.toFixed(1)} ${b.y.toFixed(1)}`;
  };
  const ticks = Array.from({ length: 2 * Math.floor(most) + 1 }, (_, i) => i - Math.floor(most)).filter((deg) => deg % (most > 60 ? 5 : 1) === 0);
  const height = Math.ceil(at(most, radius - 92).y);
  const words = (deg: number, r: number, says: string, classes: string, anchor = "middle") => {
    const spot = at(deg, radius + r);
    return <text class={classes} x={spot.x.toFixed(1)} y={spot.y.toFixed(1)} text-anchor={anchor}>{says}</text>;
  };
  return (
    <svg class="cl_dial" viewBox={`0 0 ${kWidth} ${height}`} role="img" aria-label={about(before, after, top)}>
      <path class="rim" d={arc(0)} />
      <path class="rim_in" d={arc(-74)} />
      {ticks.map((deg) => <path key={deg} class={deg % 10 === 0 ? "tick ten" : "tick"} d={line(deg, 0, deg % 10 === 0 ? -22 : deg % 5 === 0 ? -15 : -9)} />)}
      {ticks.filter((deg) => deg % 10 === 0).map((deg) => <g key={deg}>{words(deg, -40, String(Math.abs(deg)), "figure")}</g>)}
      {[-before, after].map((deg) => <path key={deg} class="stop_line" d={line(deg, 14, -74)} />)}
      {words(-before, 24, degrees(before), "stop_words")}
      {words(after, 24, degrees(after), "stop_words")}
      {top === undefined ? null : (
        <>
          <path class="top_line" d={line(top, 30, -88)} />
          {words(top, 40, t("cl_top_at", { deg: beside_zero(top) }), "top_words")}
        </>
      )}
    </svg>
  );
}

function about(before: number, after: number, top: number | undefined): string {
  const read = t("cl_dial", { before: degrees(before), after: degrees(after) });
  return top === undefined ? read : `${read} ${t("cl_top_at", { deg: beside_zero(top) })}`;
}
