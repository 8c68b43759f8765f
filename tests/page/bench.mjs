// SPDX-License-Identifier: Apache-2.0
// What the page costs, measured by the browser's own clock: ./bench page [SAMPLES]
// Budgets of the first load 300 kB and 1 s, of a turned frame 8 ms, of a recording of 50 million
// samples 2 s from the end of its upload to the drawing, of a zoom 100 ms.
import { createWriteStream } from "node:fs";
import { rm } from "node:fs/promises";
import path from "node:path";

import { call, opened_browser, opened_page, sizes, started } from "./browser.mjs";

const samples = Number(process.argv[2] ?? 50e6);
const server = await started();
const browser = await opened_browser();
const say = (what, value, budget) => console.log(`${what.padEnd(52)} ${String(value).padStart(10)}   (budget ${budget})`);
try {
  await first_load();
  await turning();
  await recording();
} finally {
  await browser.close();
  await server.end();
}

async function first_load() {
  const times = [];
  let bytes = 0;
  for (let round = 0; round < 5; ++round) {
    const page = await opened_page(browser, sizes.tablet, { serviceWorkers: "block" });
    await page.goto(server.url);
    await page.waitForSelector("main h2, main legend");
    const took = await page.evaluate(() => ({
      ms: performance.now(),
      bytes: performance.getEntries().reduce((sum, one) => sum + (one.transferSize ?? 0), 0),
    }));
    times.push(took.ms);
    bytes = took.bytes;
    await page.context().close();
  }
  say("first load, kB over the wire", (bytes / 1000).toFixed(1), "300");
  say("first load, ms, middle of 5", times.sort((a, b) => a - b)[2].toFixed(0), "1000");
}

async function turning() {
  for (const drive of ["vessgarth-v6-12", "skarnmoor-i4-16"]) {
    const page = await opened_page(browser, sizes.tablet, { serviceWorkers: "block" });
    await page.goto(`${server.url}#/turn?drive=${drive}`);
    await page.waitForSelector(".turned svg");
    await page.getByRole("button", { name: "Frame rate" }).click();
    const told = page.locator("output", { hasText: "frames a second" });
    await told.waitFor({ timeout: 60000 });
    const [, ms, rate] = (await told.textContent()).match(/([\d.]+) ms.*?(\d+) frames/);
    say(`${drive} turned, ms a frame (95th of 120)`, ms, "8");
    say(`${drive} turned, frames a second`, rate, "none");
    await page.context().close();
  }
}

// 16-bit, one channel: a wheel of 60-2 teeth as a sine that misses two of sixty.
async function written_wav(file) {
  const head = Buffer.alloc(44);
  head.write("RIFF", 0); head.writeUInt32LE(36 + 2 * samples, 4); head.write("WAVEfmt ", 8);
  head.writeUInt32LE(16, 16); head.writeUInt16LE(1, 20); head.writeUInt16LE(1, 22);
  head.writeUInt32LE(1000000, 24); head.writeUInt32LE(2000000, 28); head.writeUInt16LE(2, 32); head.writeUInt16LE(16, 34);
  head.write("data", 36); head.writeUInt32LE(2 * samples, 40);
  const turn = new Int16Array(72000); // 1 000 000 a second at 833 1/min
  for (let i = 0; i < turn.length; ++i) {
    const tooth = Math.floor(i / 1200);
    turn[i] = tooth < 58 ? 12000 * Math.sin((2 * Math.PI * i) / 1200) : 0;
  }
  const out = createWriteStream(file);
  out.write(head);
  const whole = Buffer.from(turn.buffer);
  for (let left = 2 * samples; left > 0; left -= whole.length)
    if (!out.write(left < whole.length ? whole.subarray(0, left) : whole)) await new Promise((go) => out.once("drain", go));
  await new Promise((done) => out.end(done));
}

async function recording() {
  const file = path.join(server.folder, "long.wav");
  await written_wav(file);
  await call(server, "POST", "/api/cases", { name: "long", drive: "vessgarth-v6-12" });
  const page = await opened_page(browser, sizes.desk, { serviceWorkers: "block" });
  await page.goto(`${server.url}#/recording/long`);
  await page.waitForSelector('input[type="file"]');
  await page.evaluate(() => {
    globalThis.longest = 0;
    new PerformanceObserver((list) => {
      for (const one of list.getEntries()) globalThis.longest = Math.max(globalThis.longest, one.duration);
    }).observe({ type: "longtask" });
    const send = XMLHttpRequest.prototype.send;
    XMLHttpRequest.prototype.send = function (...given) {
      this.upload.addEventListener("load", () => (globalThis.uploaded = performance.now()));
      return send.apply(this, given);
    };
  });
  await page.setInputFiles('input[type="file"]', file);
  await page.waitForSelector("figure.waves canvas", { timeout: 120000 });
  await page.waitForFunction(() => {
    const canvas = document.querySelector("figure.waves canvas");
    const pixels = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
    const seen = new Set();
    for (let i = 0; i < pixels.length; i += 4004) seen.add(pixels[i + 3] + 1000 * pixels[i]);
    if (seen.size < 3) return false;
    globalThis.drawn ??= performance.now();
    return true;
  }, null, { timeout: 120000, polling: 30 });
  const took = await page.evaluate(() => globalThis.drawn - globalThis.uploaded);
  say(`${samples / 1e6} million samples, ms from uploaded to drawn`, took.toFixed(0), "2000");
  await page.evaluate(() => (globalThis.longest = 0));
  await page.focus("figure.waves");
  for (let i = 0; i < 12; ++i) {
    await page.keyboard.press("+");
    await page.waitForTimeout(60);
  }
  for (let i = 0; i < 12; ++i) {
    await page.keyboard.press("-");
    await page.waitForTimeout(60);
  }
  say("zoomed in and out 12 steps, longest pause, ms", (await page.evaluate(() => globalThis.longest)).toFixed(0), "100");
  await rm(file);
}
