// SPDX-License-Identifier: Apache-2.0
// Where a pin stands on the way of its chain. The way itself, its pitches and how fast it is run
// through come from the program; here a number of pitches is only looked up.
import type { Schemas } from "../ask";

export interface Spot {
  x: number; // mm, seen from the front, y up
  y: number;
}

export interface Way {
  links: number;
  pieces: Schemas["motion_piece"][];
  starts: number[]; // pitches before each piece
}

export function way_of(chain: Pick<Schemas["motion_chain"], "links" | "way">): Way {
  const starts: number[] = [];
  let start = 0;
  for (const piece of chain.way) {
    starts.push(start);
    start += piece.pitches;
  }
  return { links: chain.links, pieces: chain.way, starts };
}

export function folded(at: number, round: number): number {
  return at - round * Math.floor(at / round);
}

export function spot_on(way: Way, at: number): Spot {
  const inside = folded(at, way.links);
  let k = way.starts.length - 1;
  while (k > 0 && (way.starts[k] ?? 0) > inside) --k;
  const piece = way.pieces[k];
  if (!piece) return { x: 0, y: 0 };
  const part = piece.pitches > 0 ? (inside - (way.starts[k] ?? 0)) / piece.pitches : 0;
  return on_piece(piece, Math.min(part, 1));
}

export function on_piece(piece: Schemas["motion_piece"], part: number): Spot {
  const { x1_mm, y1_mm, x2_mm, y2_mm } = piece;
  if (piece.radius_mm === 0)
    return { x: x1_mm + (x2_mm - x1_mm) * part, y: y1_mm + (y2_mm - y1_mm) * part };
  const turned = (-piece.clockwise_deg * part * Math.PI) / 180;
  const [x, y] = [x1_mm - piece.center_x_mm, y1_mm - piece.center_y_mm];
  const [c, s] = [Math.cos(turned), Math.sin(turned)];
  return { x: piece.center_x_mm + c * x - s * y, y: piece.center_y_mm + s * x + c * y };
}

// +1: the outside of the loop lies left of travel (it runs clockwise), -1: right of it.
export function outside_of(way: Way): number {
  let area = 0;
  for (const { x1_mm, y1_mm, x2_mm, y2_mm } of way.pieces) area += x1_mm * y2_mm - x2_mm * y1_mm;
  return area <= 0 ? 1 : -1;
}

// Moves the dashes of a piece so that one begins at every pin; `round` links are one period.
export function dash_offset(way: Way, piece: number, pin: number, round: number): number {
  return folded((way.starts[piece] ?? 0) - pin, round);
}
