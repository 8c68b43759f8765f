// SPDX-License-Identifier: Apache-2.0
// Waves in rows over one axis of time, drawn on a canvas: millions of samples are more than a page
// should hold as shapes.
import { number_words } from "../said/said";
import type { Schemas } from "../ask";
import { range_of, time_of, type Wave } from "./wave";
import { type Laid, type Stretch, ticks_of, time_words } from "./window";

export interface Row {
  channel: number;
  name: string;
  holds: boolean; // a level stays until the next one
  wave: Wave | undefined;
  other: Wave | undefined; // of the recording laid over it
}

interface Picture {
  rows: Row[];
  stretch: Stretch;
  marks: Schemas["decoded_mark"][];
  laid: Laid;
}

interface Inks {
  ink: string;
  faint: string;
  paper: string;
}

const kAxis = 34;

export function draw_picture(canvas: HTMLCanvasElement, picture: Picture, inks: Inks): void {
  const ratio = devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(height * ratio)) canvas.height = Math.round(height * ratio);
  const pen = canvas.getContext("2d");
  if (!pen) return;
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  pen.font = "14px system-ui, sans-serif";
  const { from, to } = picture.stretch;
  const x = (time: number) => ((time - from) / (to - from)) * width;
  draw_axis(pen, picture.stretch, x, width, height, inks);
  const each = (height - kAxis) / Math.max(picture.rows.length, 1);
  picture.rows.forEach((row, i) => {
    const [top, bottom] = [i * each + 42, (i + 1) * each - 10];
    draw_marks(pen, picture.marks.filter((mark) => mark.channel === row.channel), x, top, bottom, inks);
    const [low, high] = whole_range(row);
    const y = (value: number) => bottom - 4 - ((value - low) / (high - low || 1)) * (bottom - top - 8);
    const { begin, at, stretch } = picture.laid;
    if (row.other) trace(pen, row.other, row.holds, (time) => x(begin + (time - at) / stretch), y, inks.faint, 1, [5, 3]);
    if (row.wave) trace(pen, row.wave, row.holds, x, y, inks.ink, 1.5, []);
    pen.fillStyle = inks.ink;
    pen.fillText(row.name, 4, top - 24);
    line(pen, 0, (i + 1) * each, width, (i + 1) * each, inks.faint, 0.75);
  });
}

function whole_range(row: Row): [number, number] {
  const ranges = [row.wave, row.other].flatMap((wave) => (wave ? [range_of(wave)] : []));
  return [Math.min(...ranges.map(([low]) => low)), Math.max(...ranges.map(([, high]) => high))];
}

function line(pen: CanvasRenderingContext2D, x1: number, y1: number, x2: number, y2: number, ink: string, width: number): void {
  pen.strokeStyle = ink;
  pen.lineWidth = width;
  pen.setLineDash([]);
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
}

function draw_axis(pen: CanvasRenderingContext2D, stretch: Stretch, x: (time: number) => number, width: number, height: number, inks: Inks): void {
  line(pen, 0, height - kAxis, width, height - kAxis, inks.ink, 1.5);
  pen.fillStyle = inks.faint;
  for (const tick of ticks_of(stretch, Math.max(width / 100, 2))) {
    line(pen, x(tick), height - kAxis, x(tick), height - kAxis + 7, inks.ink, 1);
    const words = time_words(tick, stretch.to - stretch.from);
    const wide = pen.measureText(words).width;
    pen.fillText(words, Math.min(Math.max(x(tick) - wide / 2, 2), width - wide - 2), height - 10);
  }
}

// Bins are strokes from least to greatest, joined; single samples are joined, or held. A bin without
// a sample lies between two samples and is passed over.
function trace(pen: CanvasRenderingContext2D, wave: Wave, holds: boolean, x: (time: number) => number, y: (value: number) => number, ink: string, width: number, dash: number[]): void {
  pen.strokeStyle = ink;
  pen.lineWidth = width;
  pen.setLineDash(wave.times ? dash : []);
  pen.beginPath();
  let before = NaN;
  for (let i = 0; i < wave.lows.length; ++i) {
    const [low = NaN, high = NaN] = [wave.lows[i], wave.highs[i]];
    if (Number.isNaN(low)) continue;
    const at = x(time_of(wave, i));
    if (Number.isNaN(before)) pen.moveTo(at, y(high));
    else {
      if (holds || wave.holds) pen.lineTo(at, y(before));
      pen.lineTo(at, y(high));
    }
    if (low !== high) pen.lineTo(at, y(low));
    before = low;
  }
  if (wave.holds && !Number.isNaN(before)) pen.lineTo(x(wave.times ? Math.min(wave.last, wave.to) : wave.to), y(before));
  pen.stroke();
}

// Decoded teeth stand at the foot of their row, numbered where there is room; tooth 0 runs through
// the row. An edge that fits nowhere is crossed.
function draw_marks(pen: CanvasRenderingContext2D, marks: Schemas["decoded_mark"][], x: (time: number) => number, top: number, bottom: number, inks: Inks): void {
  const [first, last] = [marks[0], marks[marks.length - 1]];
  const apart = first && last ? (x(last.time_s) - x(first.time_s)) / Math.max(marks.length - 1, 1) : 0;
  pen.fillStyle = inks.faint;
  let free = -Infinity; // right of the last words
  for (const mark of marks) {
    const at = x(mark.time_s);
    if (mark.place < 0) {
      line(pen, at - 5, bottom - 5, at + 5, bottom + 5, inks.ink, 2);
      line(pen, at - 5, bottom + 5, at + 5, bottom - 5, inks.ink, 2);
      continue;
    }
    line(pen, at, mark.place === 0 ? top - 14 : bottom - 2, at, bottom + 5, inks.faint, mark.place === 0 ? 1 : 1.5);
    if (at < free || (apart < 46 && mark.place !== 0)) continue;
    const words = `${number_words(mark.angle_deg.toFixed(apart < 46 ? 0 : 1))}°`;
    pen.fillText(words, at + 3, top - 5);
    free = at + pen.measureText(words).width + 10;
  }
}
