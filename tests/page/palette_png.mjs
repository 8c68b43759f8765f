// SPDX-License-Identifier: Apache-2.0
// A picture of the browser (PNG, 8 bits, true color) with at most 256 colors: drawings of few inks
// become a third. Formats after the PNG specification, third edition (W3C): chunks 5.3, filters 9.2.
import { deflateSync, inflateSync } from "node:zlib";

const kHead = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);

function* chunks_of(bytes) {
  for (let at = 8; at < bytes.length; ) {
    const length = bytes.readUInt32BE(at);
    yield { name: bytes.toString("latin1", at + 4, at + 8), data: bytes.subarray(at + 8, at + 8 + length) };
    at += 12 + length;
  }
}

function paeth(a, b, c) {
  const [pa, pb, pc] = [Math.abs(b - c), Math.abs(a - c), Math.abs(a + b - 2 * c)];
  return pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
}

// Pixels as 0xRRGGBB; what is clear lies on white.
export function pixels_of(bytes) {
  const all = [...chunks_of(bytes)];
  const head = all.find((one) => one.name === "IHDR").data;
  const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)];
  const each = { 2: 3, 6: 4 }[head[9]];
  if (head[8] !== 8 || !each || head[12] !== 0) throw new Error("no PNG as the browser writes it");
  const raw = inflateSync(Buffer.concat(all.filter((one) => one.name === "IDAT").map((one) => one.data)));
  const row = width * each;
  const at = (y, x) => (y < 0 || x < 0 ? 0 : raw[y * (row + 1) + 1 + x]);
  const pixels = new Uint32Array(width * height);
  for (let y = 0; y < height; ++y) {
    const filter = raw[y * (row + 1)];
    for (let x = 0; x < row && filter > 0; ++x) {
      const [a, b, c] = [at(y, x - each), at(y - 1, x), at(y - 1, x - each)];
      const by = [0, a, b, (a + b) >> 1, paeth(a, b, c)][filter];
      raw[y * (row + 1) + 1 + x] += by;
    }
    for (let x = 0; x < width; ++x) {
      const from = y * (row + 1) + 1 + x * each;
      const clear = each === 4 ? 1 - raw[from + 3] / 255 : 0;
      const on = (value) => Math.round(value + clear * (255 - value));
      pixels[y * width + x] = (on(raw[from]) << 16) | (on(raw[from + 1]) << 8) | on(raw[from + 2]);
    }
  }
  return { width, height, pixels };
}

// The most frequent colors, no two of one small cube; every pixel takes the nearest.
function palette_of(pixels) {
  const counts = new Map();
  for (const color of pixels) counts.set(color, (counts.get(color) ?? 0) + 1);
  const frequent = [...counts].sort((a, b) => b[1] - a[1]).map(([color]) => color);
  if (frequent.length <= 256) return { colors: frequent, index: new Map(frequent.map((color, i) => [color, i])) };
  const cubes = new Map();
  for (const color of frequent) {
    const cube = color & 0xf8f8f8;
    if (!cubes.has(cube)) cubes.set(cube, { color, count: 0 });
    cubes.get(cube).count += counts.get(color);
  }
  const colors = [...cubes.values()].sort((a, b) => b.count - a.count).slice(0, 256).map((one) => one.color);
  const apart = (a, b) => ((a >> 16) - (b >> 16)) ** 2 + (((a >> 8) & 255) - ((b >> 8) & 255)) ** 2 + ((a & 255) - (b & 255)) ** 2;
  const nearest = (color) => colors.reduce((best, one, i) => (apart(one, color) < apart(colors[best], color) ? i : best), 0);
  return { colors, index: new Map(frequent.map((color) => [color, nearest(color)])) };
}

// ISO 3309, as the specification asks in 5.5.
function crc32(bytes) {
  let c = 0xffffffff;
  for (const byte of bytes) {
    c ^= byte;
    for (let bit = 0; bit < 8; ++bit) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  }
  return (c ^ 0xffffffff) >>> 0;
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const whole = Buffer.alloc(12 + data.length);
  whole.writeUInt32BE(data.length, 0);
  body.copy(whole, 4);
  whole.writeUInt32BE(crc32(body), 8 + data.length);
  return whole;
}

export function with_palette(png) {
  const { width, height, pixels } = pixels_of(png);
  const { colors, index } = palette_of(pixels);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 3], 8);
  const lines = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; ++y)
    for (let x = 0; x < width; ++x) lines[y * (width + 1) + 1 + x] = index.get(pixels[y * width + x]);
  const inks = Buffer.from(colors.flatMap((color) => [color >> 16, (color >> 8) & 255, color & 255]));
  return Buffer.concat([kHead, chunk("IHDR", head), chunk("PLTE", inks), chunk("IDAT", deflateSync(lines, { level: 9 })), chunk("IEND", Buffer.alloc(0))]);
}
