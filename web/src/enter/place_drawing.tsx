// SPDX-License-Identifier: Apache-2.0
// A line drawing of the part with the place to measure marked: thick lines are contours, thin ones
// help, chain lines are axes; the accent is where the gauge goes. Schematic, not to scale.
import type { ComponentChildren } from "preact";

import { t } from "../texts";

interface Props {
  quantity: string;
  place: string;
  direction?: string | undefined;
  section?: string | undefined;
  links?: string | undefined;
  journals?: number | undefined;
}

export function PlaceDrawing(props: Props) {
  const draw = kDrawn[props.quantity];
  if (!draw) return null;
  return (
    <figure class="place">
      <svg viewBox="0 0 240 110" role="img" aria-label={`${props.quantity}, ${props.place}`}>
        {draw(props)}
      </svg>
      <figcaption class="faint">{t(kSeen[props.quantity] ?? "in_seen_side")}</figcaption>
    </figure>
  );
}

const kSeen: Record<string, "in_seen_side" | "in_seen_side_end" | "in_seen_front"> = {
  "journal diameter": "in_seen_side_end",
  "bore diameter": "in_seen_side_end",
  "journal clearance": "in_seen_side_end",
  "lock play": "in_seen_front",
};

const kDrawn: Record<string, (props: Props) => ComponentChildren> = {
  "journal diameter": journal,
  "bore diameter": bore,
  "journal clearance": bore,
  "end play": end_play,
  "lock play": lock_play,
  "chain length": chain,
  "groove depth": groove,
  "tensioner extension": plunger,
  "sink time": plunger,
};

function number_in(place: string): number {
  return Number(/journal (\d+)$/.exec(place)?.[1] ?? 1);
}

// An arrow with heads at both ends.
function Span({ x1, y1, x2, y2 }: { x1: number; y1: number; x2: number; y2: number }) {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const head = (x: number, y: number, s: number) =>
    `M${x + s * (7 * ux - 3.5 * uy)} ${y + s * (7 * uy + 3.5 * ux)}L${x} ${y}L${x + s * (7 * ux + 3.5 * uy)} ${y + s * (7 * uy - 3.5 * ux)}`;
  return <path class="mark" d={`M${x1} ${y1}L${x2} ${y2}${head(x1, y1, 1)}${head(x2, y2, -1)}`} />;
}

// Where along the journal: front, middle, rear from left to right.
function plane(section: string | undefined): number {
  return section === "front" ? -0.3 : section === "rear" ? 0.3 : 0;
}

function shaft(props: Props, wide: number) {
  const n = Math.max(props.journals ?? 0, number_in(props.place), 1);
  const pitch = 132 / n;
  const width = Math.min(22, pitch * wide);
  return { n, width, at: (i: number) => 12 + pitch * (i + 0.5) };
}

function journal(props: Props): ComponentChildren {
  const { n, width, at } = shaft(props, 0.45);
  const here = at(number_in(props.place) - 1);
  const x = here + plane(props.section) * width;
  return (
    <>
      <path class="contour" d="M8 47H148M8 63H148M8 47V63M148 47V63" />
      {Array.from({ length: n }, (_, i) => (
        <rect class="contour fill" x={at(i) - width / 2} y="39" width={width} height="32" key={i} />
      ))}
      <path class="axis" d="M2 55H154M186 25V85M158 55H216" />
      <rect class="mark" x={here - width / 2} y="39" width={width} height="32" />
      <path class="mark" d={`M${x} 30V80`} />
      <text x={here} y="100">{number_in(props.place)}</text>
      <circle class="contour" cx="187" cy="55" r="24" />
      {across(props.direction, 187, 55, 24)}
    </>
  );
}

function bore(props: Props): ComponentChildren {
  const { n, width, at } = shaft(props, 0.55);
  const here = at(number_in(props.place) - 1);
  const x = here + plane(props.section) * width;
  return (
    <>
      {Array.from({ length: n }, (_, i) => (
        <path
          class="contour"
          key={i}
          d={`M${at(i) - width / 2} 55V28H${at(i) + width / 2}V55M${at(i) - width / 2} 55V90H${at(i) + width / 2}V55M${at(i) - width / 2} 40H${at(i) + width / 2}M${at(i) - width / 2} 70H${at(i) + width / 2}`}
        />
      ))}
      <path class="axis" d="M2 55H154M187 18V96M156 55H218" />
      <path class="mark" d={`M${here - width / 2} 40V70M${here + width / 2} 40V70`} />
      <path class="mark" d={`M${x} 42V68`} />
      <text x={here} y="106">{number_in(props.place)}</text>
      <path class="contour" d="M161 55V22H213V55M161 55V90H213V55M154 55H161M213 55H220" />
      <circle class="contour" cx="187" cy="55" r="20" />
      {props.quantity === "journal clearance" ? (
        <>
          <circle class="contour" cx="187" cy="58" r="16" />
          <path class="mark" d="M187 35V42" />
        </>
      ) : (
        across(props.direction, 187, 55, 20)
      )}
    </>
  );
}

// Where no direction is told, both are shown.
function across(direction: string | undefined, x: number, y: number, r: number): ComponentChildren {
  return (
    <>
      {direction !== "horizontal" ? <Span x1={x} y1={y - r} x2={x} y2={y + r} /> : null}
      {direction !== "vertical" ? <Span x1={x - r} y1={y} x2={x + r} y2={y} /> : null}
    </>
  );
}

function end_play(): ComponentChildren {
  return (
    <>
      <path class="contour" d="M40 45H210V65H40ZM40 30H54V80H40ZM66 22V40M66 70V88M28 22V40M28 70V88" />
      <path class="help" d="M66 22H80V40M66 88H80V70M28 22H14V40M28 88H14V70" />
      <path class="axis" d="M8 55H226" />
      <Span x1={56} y1={98} x2={92} y2={98} />
      <path class="mark" d="M210 55H232" />
    </>
  );
}

function lock_play(): ComponentChildren {
  return (
    <>
      <circle class="contour" cx="100" cy="55" r="44" />
      <circle class="contour" cx="100" cy="55" r="12" />
      {[30, 150, 270].map((a) => (
        <path class="help" key={a} transform={`rotate(${a} 100 55)`} d="M112 50H140V60H112" />
      ))}
      <path class="axis" d="M50 55H150M100 5V105" />
      <path class="mark" d="M100 55L150 26M134 15a52 52 0 0 1 17 27" />
      <text x="122" y="36">r</text>
    </>
  );
}

function chain({ links }: Props): ComponentChildren {
  const n = 9;
  const x = (i: number) => 24 + i * 24;
  return (
    <>
      {Array.from({ length: n - 1 }, (_, i) => (
        <rect class="contour" key={i} x={x(i) - 7} y={i % 2 ? 40 : 43} width="38" height={i % 2 ? 20 : 14} rx="7" />
      ))}
      {Array.from({ length: n }, (_, i) => (
        <circle class="help" key={i} cx={x(i)} cy="50" r="3.5" />
      ))}
      <path class="help" d={`M${x(0)} 54V92M${x(8)} 54V92`} />
      <Span x1={x(0)} y1={86} x2={x(8)} y2={86} />
      <text x="120" y="80">{links ? t("in_over_links", { n: links }) : t("in_over_some_links")}</text>
    </>
  );
}

function groove(): ComponentChildren {
  return (
    <>
      <path class="contour" d="M30 30H90V58Q90 64 100 64H140Q150 64 150 58V30H210V84H30Z" />
      <path class="axis" d="M120 14V98" />
      <path class="help" d="M90 30H150" />
      <Span x1={120} y1={30} x2={120} y2={64} />
    </>
  );
}

function plunger({ quantity }: Props): ComponentChildren {
  return (
    <>
      <path class="contour" d="M20 25H130V85H20ZM130 40H200V70H130ZM200 46Q206 55 200 64" />
      <path class="help" d="M40 40H130M40 70H130M40 40V70" />
      <path class="axis" d="M10 55H222" />
      <path class="help" d="M130 86V104M203 66V104" />
      {quantity === "sink time" ? (
        <path class="mark" d="M236 55H208l8 -5M208 55l8 5" />
      ) : (
        <Span x1={130} y1={98} x2={203} y2={98} />
      )}
    </>
  );
}
