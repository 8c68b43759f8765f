// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { count_query, is_turned_round, missing_of } from "../src/see/photo_marks";
import { file_name_of } from "../src/see/upload";
import { parsed_wave, range_of, time_of } from "../src/see/wave";
import { dash_offset, outside_of, spot_on, way_of } from "../src/see/way";
import { kept_inside, laid_by_turn, moved, ticks_of, zoomed } from "../src/see/window";

// A stadium: two half circles of radius 10 a distance of 30 apart, run through clockwise seen from
// the front; 10 pitches on each of its four pieces.
const none = { center_x_mm: 0, center_y_mm: 0, radius_mm: 0, clockwise_deg: 0 };
const stadium = {
  links: 40,
  way: [
    { ...none, x1_mm: 10, y1_mm: 0, x2_mm: -10, y2_mm: 0, radius_mm: 10, clockwise_deg: 180, pitches: 10 },
    { ...none, x1_mm: -10, y1_mm: 0, x2_mm: -10, y2_mm: 30, pitches: 10 },
    { ...none, x1_mm: -10, y1_mm: 30, x2_mm: 10, y2_mm: 30, radius_mm: 10, center_y_mm: 30, clockwise_deg: 180, pitches: 10 },
    { ...none, x1_mm: 10, y1_mm: 30, x2_mm: 10, y2_mm: 0, pitches: 10 },
  ],
};

describe("a pin on its way", () => {
  const way = way_of(stadium);
  it("stands on arcs and straight pieces, round and round", () => {
    for (const round of [0, 40, -40, 400]) {
      expect(spot_on(way, round + 5).x).toBeCloseTo(0);
      expect(spot_on(way, round + 5).y).toBeCloseTo(-10);
      expect(spot_on(way, round + 15)).toEqual({ x: -10, y: 15 });
      expect(spot_on(way, round + 25).y).toBeCloseTo(40);
    }
  });
  it("has its outside left of travel when it runs clockwise", () => {
    expect(outside_of(way)).toBe(1);
  });
  it("moves its dashes with the pins", () => {
    // A dash begins at the piece's own 0.25 when the pin stands a quarter pitch behind its start.
    expect(dash_offset(way, 1, 10.25, 1)).toBeCloseTo(0.75);
    expect(dash_offset(way, 1, 11.25, 1)).toBeCloseTo(0.75);
    expect(dash_offset(way, 1, 11.25, 2)).toBeCloseTo(0.75);
    expect(dash_offset(way, 1, 10.25, 2)).toBeCloseTo(1.75);
  });
});

describe("a wave", () => {
  const bytes = (flags: number, count: number, size: number) => {
    const view = new DataView(new ArrayBuffer(56 + size));
    [..."TMWAVE1\n"].forEach((c, i) => view.setUint8(i, c.charCodeAt(0)));
    view.setUint32(8, flags, true);
    view.setUint32(12, count, true);
    [0, 2, 0, 2, 1e6].forEach((n, i) => view.setFloat64(16 + 8 * i, n, true));
    return view;
  };
  it("is read as bins", () => {
    const view = bytes(2, 2, 16);
    [-1, 3, 0, NaN].forEach((n, i) => view.setFloat32(56 + 4 * i, n, true));
    const wave = parsed_wave(view.buffer as ArrayBuffer);
    expect(wave?.holds).toBe(true);
    expect(wave && [wave.lows[0], wave.highs[0], time_of(wave, 1), wave.total]).toEqual([-1, 3, 1.5, 1e6]);
    expect(wave && range_of(wave)).toEqual([-1, 3]);
  });
  it("is read as samples, and nothing cut off is read", () => {
    const view = bytes(1, 2, 24);
    [0.5, 1.5].forEach((n, i) => view.setFloat64(56 + 8 * i, n, true));
    [7, 8].forEach((n, i) => view.setFloat32(72 + 4 * i, n, true));
    const wave = parsed_wave(view.buffer as ArrayBuffer);
    expect(wave && [time_of(wave, 1), wave.lows[1]]).toEqual([1.5, 8]);
    expect(parsed_wave(bytes(1, 3, 24).buffer as ArrayBuffer)).toBeUndefined();
    expect(parsed_wave(new ArrayBuffer(56))).toBeUndefined();
  });
});

describe("the stretch looked at", () => {
  const whole = { from: 10, to: 20 };
  it("keeps the place under the finger, and stays inside", () => {
    const near = zoomed(whole, 4, 0.25, whole);
    expect(near.from + 0.25 * (near.to - near.from)).toBeCloseTo(12.5);
    expect(near.to - near.from).toBeCloseTo(2.5);
    expect(zoomed(near, 1e-9, 0.5, whole)).toEqual(whole);
    expect(moved(near, -100, whole).from).toBe(10);
    expect(moved(near, 100, whole).to).toBeCloseTo(20);
    expect(kept_inside({ from: 19, to: 22 }, whole)).toEqual({ from: 17, to: 20 });
  });
  it("has round numbers on its axis", () => {
    expect(ticks_of({ from: 0, to: 1 }, 5).map((n) => n.toFixed(1))).toEqual(["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
  });
  it("lays a turn over a turn", () => {
    const laid = laid_by_turn([1, 2, 3], [10, 10.5, 11]);
    expect(laid).toEqual({ begin: 1, at: 10, stretch: 0.5 });
    expect(laid_by_turn([1], [2, 3])).toBeUndefined();
  });
});

describe("a count on a photo", () => {
  const asked = { counted: "links", bank: " 1 ", end: "flywheel", mirrored: "no", crank: "at its mark" } as const;
  const taps = [{ x: 0, y: 0 }, { x: 1, y: 1 }];
  it("is offered only when everything was asked", () => {
    expect(missing_of(asked, taps)).toEqual([]);
    expect(missing_of({ ...asked, bank: " ", end: "", mirrored: "", crank: "" }, [])).toEqual(["taps", "bank", "end", "mirrored", "crank"]);
    expect(count_query(asked, "61 links")).toEqual({ seen_from: "flywheel end", remark: "61 links" });
  });
  it("knows when left and right are swapped", () => {
    expect(is_turned_round(asked)).toBe(true);
    expect(is_turned_round({ ...asked, mirrored: "yes" })).toBe(false);
  });
});

it("files get names that may stand beside a case", () => {
  expect(file_name_of("recordings", "Idle warm (2).CSV")).toBe("recordings/idle-warm-2.csv");
  expect(file_name_of("recordings", "../../x")).toMatch(/^recordings\/[a-z0-9-]+(\.[a-z0-9]+)?$/);
  expect(file_name_of("photos", "Kühlmittel.jpg")).toBe("photos/kuhlmittel.jpg");
});
