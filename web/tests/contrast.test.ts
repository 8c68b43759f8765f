// SPDX-License-Identifier: Apache-2.0
// Every ink on every ground of tokens.css, after the formula of WCAG 2.2 (relative luminance, contrast
// ratio): 7 : 1, its level AAA, for a tablet in the sun and one in a dark bay.
import { readFileSync } from "node:fs";

import { expect, it } from "vitest";

const rules = [...readFileSync("src/style/tokens.css", "utf8").matchAll(/([^{}]+)\{([^{}]*--ink:[^{}]*)\}/g)];

function luminance(color: string): number {
  const full = color.length === 4 ? color.replace(/[0-9a-f]/g, "$&$&") : color;
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const c = parseInt(full.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [low = 0, high = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

it("is what the formula says of black on white, and of a gray that is known", () => {
  expect(contrast("#000", "#fff")).toBeCloseTo(21, 6);
  expect(contrast("#767676", "#ffffff")).toBeCloseTo(4.54, 2); // from memory, no source
});

it("is at least 7 : 1 for every ink on every ground, by day, in the dark and when more is asked for", () => {
  let pairs = 0;
  for (const [, where = "", body = ""] of rules) {
    const color = (name: string) => new RegExp(`--${name}:\\s*(#[0-9a-f]+)`).exec(body)?.[1];
    if (!color("ink")) continue; // colors of the device
    for (const ink of ["ink", "faint", "accent"])
      for (const ground of ["paper", "wash"]) {
        const [a, b] = [color(ink), color(ground)];
        expect(a && b, `${where.trim()}: ${ink}, ${ground}`).toBeTruthy();
        expect(contrast(a ?? "", b ?? ""), `${where.trim()}: ${ink} on ${ground}`).toBeGreaterThanOrEqual(7);
        ++pairs;
      }
    expect(contrast(color("paper") ?? "", color("accent") ?? ""), `${where.trim()}: on the accent`).toBeGreaterThanOrEqual(7);
  }
  expect(pairs).toBeGreaterThanOrEqual(30);
});
