// SPDX-License-Identifier: Apache-2.0
// The bolts of one fastener where they are, each with its number in the order of tightening, tapped
// as it is done. Without a pattern they stand in a row, and any may be next.
import { t } from "../texts";
import { on_circle } from "./angle_drawing";
import type { Bolt, Order } from "./torque";

interface Props {
  order: Order | undefined;
  count: number; // where there is no order
  done: readonly number[]; // bolts of this pass
  next: number | undefined;
  on_tap: ((bolt: number) => void) | undefined; // none: only to be read
}

export function Bolts({ order, count, done, next, on_tap }: Props) {
  const all: Bolt[] = order?.bolts ?? Array.from({ length: count }, (_, i) => ({ bolt: i + 1, turn: i + 1, x: 0, y: 0 }));
  const shape = order && order.shape !== "list" ? order.shape : "list";
  const turn = all.find((one) => one.bolt === next)?.turn;
  const n = all.length;
  const says = turn === undefined ? t("work_order_over", { n }) : order ? t("work_order_next", { turn, n }) : t("work_order_any", { n });
  return (
    <figure class="order">
      <div class={`bolts ${shape}`} role="group" aria-label={says} style={shape === "circle" ? { "--n": String(n) } : {}}>
        {all.map((one) => (
          <button
            key={one.bolt}
            type="button"
            class={done.includes(one.bolt) ? "bolt did" : one.bolt === next ? "bolt next" : "bolt"}
            aria-pressed={done.includes(one.bolt)}
            aria-label={order ? t("work_bolt_turn", { n: one.turn, bolt: one.bolt }) : t("work_bolt", { bolt: one.bolt })}
            disabled={on_tap === undefined}
            style={place_of(one, shape, n)}
            onClick={() => on_tap?.(one.bolt)}
          >
            <Head is_next={one.bolt === next} is_done={done.includes(one.bolt)} />
            <b>{one.turn}</b>
          </button>
        ))}
      </div>
      <figcaption>{says}</figcaption>
    </figure>
  );
}

// In two rows the cells are turned by the style where the screen is narrow.
function place_of(one: Bolt, shape: Order["shape"], n: number): Record<string, string> {
  if (shape === "rows") return { "--along": String(((one.bolt - 1) % (n / 2)) + 1), "--row": String(one.y + 1) };
  return shape === "circle" ? { "--x": String(one.x), "--y": String(one.y) } : {};
}

function Head({ is_next, is_done }: { is_next: boolean; is_done: boolean }) {
  return (
    <svg viewBox="-22 -22 44 44" aria-hidden="true">
      <path d={`M${[0, 60, 120, 180, 240, 300].map((at) => on_circle(at, 18).join(" ")).join("L")}Z`} />
      {is_next ? <circle r="21" /> : null}
      {is_done ? <path class="check" d="M8 13l4 4 8-9" /> : null}
    </svg>
  );
}
