// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { angle_of } from "../src/enter/angle";
import { fitted, is_clean, jpeg_markers } from "../src/enter/jpeg";

// A JPEG as far as its segments go: length counts itself (ITU-T T.81, B.1.1.4).
function jpeg(...segments: [marker: number, body: string][]): Uint8Array {
  const bytes = [0xff, 0xd8];
  for (const [marker, body] of [...segments, [0xda, "scan"] as const]) {
    bytes.push(0xff, marker, 0, body.length + 2, ...[...body].map((c) => c.charCodeAt(0)));
  }
  return new Uint8Array([...bytes, 0x12, 0xff, 0xe1, 0x34, 0xff, 0xd9]);
}

describe("a photo's bytes", () => {
  it("are clean only without Exif, XMP, maker's data and comments", () => {
    expect(is_clean(jpeg([0xe0, "JFIF\0"], [0xdb, "tables"]))).toBe(true);
    expect(is_clean(jpeg([0xe0, "JFIF\0"], [0xe2, "ICC_PROFILE\0"]))).toBe(true);
    expect(is_clean(jpeg([0xe0, "JFIF\0"], [0xe1, "Exif\0\0MM"]))).toBe(false);
    expect(is_clean(jpeg([0xe1, "http://ns.adobe.com/xap/1.0/"]))).toBe(false);
    expect(is_clean(jpeg([0xed, "Photoshop 3.0"]))).toBe(false);
    expect(is_clean(jpeg([0xfe, "comment"]))).toBe(false);
    expect(is_clean(new Uint8Array([0x89, 0x50, 0x4e, 0x47]))).toBe(false);
  });
  it("are read up to the image data", () => {
    expect(jpeg_markers(jpeg([0xe0, "JFIF\0"], [0xdb, "q"]))).toEqual([0xe0, 0xdb, 0xda]);
    expect(jpeg_markers(new Uint8Array([0xff, 0xd8, 0x00, 0x01, 0x00, 0x02, 0x00]))).toBeUndefined();
  });
  it("are of a picture that is shrunk, never grown", () => {
    expect(fitted(4032, 3024)).toEqual({ width: 2048, height: 1536 });
    expect(fitted(640, 480)).toEqual({ width: 640, height: 480 });
    expect(fitted(10000, 1)).toEqual({ width: 2048, height: 1 });
  });
});

describe("an angle from three taps", () => {
  it("is what it is", () => {
    expect(angle_of({ x: 0, y: 0 }, { x: 100, y: 0 }, { x: 0, y: 50 }, 1)?.degrees).toBeCloseTo(90, 10);
    expect(angle_of({ x: 5, y: 5 }, { x: 105, y: 5 }, { x: -95, y: 5 }, 1)?.degrees).toBeCloseTo(180, 10);
    expect(angle_of({ x: 0, y: 0 }, { x: 1, y: 0 }, { x: 0, y: 50 }, 1)).toBeUndefined();
  });
  it("is as sure as trials say", () => {
    let seed = 4711;
    const uniform = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    for (const [ax, ay, bx, by] of [[300, 0, 200, 180], [250, 40, -100, 220], [400, 0, 390, 60]] as const) {
      const sd = 3;
      const off = (x: number, y: number) => ({ x: x + sd * normal(), y: y + sd * normal() });
      const all = Array.from({ length: 20000 }, () => angle_of(off(0, 0), off(ax, ay), off(bx, by), sd)?.degrees ?? NaN);
      const mean = all.reduce((sum, one) => sum + one, 0) / all.length;
      const by_trial = Math.sqrt(all.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (all.length - 1));
      const told = angle_of({ x: 0, y: 0 }, { x: ax, y: ay }, { x: bx, y: by }, sd)?.U ?? NaN;
      expect(Math.abs(told / 2 / by_trial - 1)).toBeLessThan(0.03);
    }
  });
});
