// SPDX-License-Identifier: Apache-2.0
// The order of tightening: bolts where they are, numbered as they come; the next one is marked.
import { t } from "../texts";
import { on_circle } from "./angle_drawing";
import type { Order } from "./torque";

const kRadius = 15;
const kPitch = 38;

export function OrderDrawing({ order, done }: { order: Order; done: number }) {
  const next = order.bolts[done];
  const n = order.bolts.length;
  const across = order.shape === "rows" ? n / 2 : n;
  const round = Math.max(70, (n * kPitch) / (2 * Math.PI));
  const [wide, high] = order.shape === "circle" ? [2 * round, 2 * round] : [(across - 1) * kPitch, order.shape === "rows" ? 60 : 0];
  const edge = kRadius + 5;
  const says = next ? t("work_order_next", { turn: next.turn, n }) : t("work_order_over", { n });
  return (
    <figure class="order">
      <svg viewBox={`${-edge} ${-edge} ${wide + 2 * edge} ${high + 2 * edge}`} role="img" aria-label={says}>
        {order.bolts.map((bolt) => (
          <g key={bolt.turn} transform={`translate(${bolt.x * wide} ${bolt.y * high})`} class={bolt.turn <= done ? "did" : bolt === next ? "next" : ""}>
            <path d={`M${[0, 60, 120, 180, 240, 300].map((at) => on_circle(at, kRadius).join(" ")).join("L")}Z`} />
            {bolt === next ? <circle r={kRadius + 3.500} /> : null}
            <text text-anchor="middle" dominant-baseline="central">{bolt.turn}</text>
          </g>
        ))}
      </svg>
      <figcaption>{says}</figcaption>
    </figure>
  );
}
