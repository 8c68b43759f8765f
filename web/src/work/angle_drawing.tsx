// SPDX-License-Identifier: Apache-2.0
// An angle of tightening as it is seen from the wrench: from the line that was drawn, clockwise.
import { number_words } from "../said/said";
import { t } from "../texts";

const kFlat = 60; // degrees from one flat of a hexagon to the next

export function on_circle(deg: number, radius: number): [x: number, y: number] {
  const angle = (deg * Math.PI) / 180;
  return [Math.round(1000 * radius * Math.sin(angle)) / 1000, Math.round(-1000 * radius * Math.cos(angle)) / 1000];
}

// Clockwise from the top; what is more than a full turn is drawn as the rest of it.
export function arc(deg: number, radius: number): string {
  const [x, y] = on_circle(deg, radius);
  return `M0 ${-radius}A${radius} ${radius} 0 ${deg > 180 ? 1 : 0} 1 ${x} ${y}`;
}

export function flats(deg: number): string {
  return String(Math.round((100 * deg) / kFlat) / 100);
}

export function shown_deg(deg: number): string {
  return number_words(String(Math.round(100 * deg) / 100));
}

export function AngleDrawing({ deg }: { deg: number }) {
  const turns = Math.floor(deg / 360);
  const rest = deg - 360 * turns;
  const shown = shown_deg(deg);
  const says = t("work_angle", { deg: shown, flats: number_words(flats(deg)) });
  return (
    <figure class="angle">
      <svg viewBox="-110 -110 220 220" role="img" aria-label={says}>
        <path class="nut" d={`M${[0, 60, 120, 180, 240, 300].map((at) => on_circle(at, 56).join(" ")).join("L")}Z`} />
        <path class="start" d="M0 -40V-106" />
        {turns > 0 ? <circle class="turned" r="72" /> : null}
        {rest > 0 ? <path class="turned" d={arc(rest, 88)} /> : null}
        <g transform={`rotate(${rest})`}>
          <path class="end" d="M0 -40V-106" />
          <path class="head" d="M0 -88l-15 -9v18z" />
        </g>
        <text y="2" text-anchor="middle" dominant-baseline="middle">{shown}°</text>
      </svg>
      <figcaption>{turns > 0 ? `${says} ${t("work_angle_turns", { n: turns })}` : says}</figcaption>
    </figure>
  );
}
