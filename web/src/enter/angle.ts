// SPDX-License-Identifier: Apache-2.0
// An angle between two arms from three taps on a photo. Supporting only: perspective and lens are
// not in it. Every tap is off by `sd` pixels, each way and by itself, so the standard uncertainty is
// sd·√(1/a² + 1/b² + |n_a/a - n_b/b|²), with arms a and b and their unit normals n (first order).
import { number_words } from "../said/said";

export interface Point {
  x: number;
  y: number;
}

export interface Angle {
  degrees: number; // 0 to 180
  U: number; // degrees, expanded, k = 2
}

export function angle_of(vertex: Point, one: Point, other: Point, sd: number): Angle | undefined {
  const arm = (p: Point) => ({ x: p.x - vertex.x, y: p.y - vertex.y });
  const [a, b] = [arm(one), arm(other)];
  const [la, lb] = [Math.hypot(a.x, a.y), Math.hypot(b.x, b.y)];
  if (la < 2 * sd || lb < 2 * sd) return undefined;
  const radians = Math.abs(Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
  const normal = { x: -a.y / la ** 2 + b.y / lb ** 2, y: a.x / la ** 2 - b.x / lb ** 2 };
  const u = sd * Math.sqrt(1 / la ** 2 + 1 / lb ** 2 + normal.x ** 2 + normal.y ** 2);
  return { degrees: (radians * 180) / Math.PI, U: (2 * u * 180) / Math.PI };
}

export function shown_angle({ degrees, U }: Angle): string {
  return number_words(`${degrees.toFixed(1)}° ± ${U.toFixed(1)}°`);
}
