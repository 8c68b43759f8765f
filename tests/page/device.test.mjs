// SPDX-License-Identifier: Apache-2.0
// What the page wants of the device: a lit screen, a voice, a bell, a place among the installed
// programs, its inks and its own colors.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import path from "node:path";
import { test } from "node:test";

import { call, holds, in_a_browser, opened_page, root, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });
const blocked = { serviceWorkers: "block" };

test("the screen stays lit while something is entered, and no longer", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, blocked);
  await page.addInitScript(() => {
    globalThis.locks = [];
    const wakeLock = {
      request: async (kind) => {
        const lock = { kind, held: true, release: async () => void (lock.held = false) };
        globalThis.locks.push(lock);
        return lock;
      },
    };
    Object.defineProperty(Navigator.prototype, "wakeLock", { value: wakeLock, configurable: true });
    globalThis.seen = (state) => {
      Object.defineProperty(document, "visibilityState", { value: state, configurable: true });
      // As the standard has it: what is not seen loses its lock.
      if (state === "hidden") for (const lock of globalThis.locks) lock.held = false;
      document.dispatchEvent(new Event("visibilitychange"));
    };
  });
  const held = () => page.evaluate(() => globalThis.locks.filter((lock) => lock.held && lock.kind === "screen").length);
  await page.goto(`${server.url}#/cases`);
  await page.waitForSelector("main input");
  assert.equal(await held(), 0, "lit without a step");
  for (const step of ["#/enter/bay%203/reading", "#/case/bay%203/measure"]) {
    await page.goto(server.url + step);
    await until(async () => (await held()) === 1, `${step}: not lit`);
    await page.evaluate(() => globalThis.seen("hidden"));
    assert.equal(await held(), 0);
    await page.evaluate(() => globalThis.seen("visible"));
    await until(async () => (await held()) === 1, `${step}: not lit again`);
  }
  await page.goto(`${server.url}#/cases`);
  await until(async () => (await held()) === 0, "still lit after the step");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a reading is read back in the page's language, its decimals too", { timeout: 60000 }, async () => {
  for (const [locale, number, lang] of [["en-GB", "28.069", "en"], ["de-DE", "28,069", "de"]]) {
    const page = await opened_page(browser, sizes.upright, { ...blocked, locale });
    await page.addInitScript(() => {
      globalThis.said = [];
      const voice = { cancel() {}, speak: (one) => globalThis.said.push({ text: one.text, lang: one.lang }) };
      Object.defineProperty(globalThis, "speechSynthesis", { value: voice, configurable: true });
      localStorage.setItem("tautmark.speak", "yes");
    });
    await page.goto(`${server.url}#/enter/bay%203/reading?quantity=journal%20diameter`);
    await page.waitForSelector(".reading .pad");
    await page.locator(".with select").filter({ hasText: /micrometer|messschraube|Mikrometer/i }).first().selectOption({ index: 1 }).catch(() => undefined);
    for (const digit of "28069") await page.locator(".pad").getByRole("button", { name: digit, exact: true }).click();
    await page.locator(".go button").first().click();
    await until(async () => (await page.evaluate(() => globalThis.said.length)) > 0, "nothing said");
    const [said] = await page.evaluate(() => globalThis.said);
    assert.deepEqual(said, { text: number, lang });
    await page.context().close();
  }
});

test("a timer goes on over other screens and a reload, and rings", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, blocked);
  await page.addInitScript(() => {
    globalThis.rings = { shaken: 0, tones: 0 };
    Object.defineProperty(Navigator.prototype, "vibrate", { value: () => ++globalThis.rings.shaken, configurable: true });
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (...at) {
      ++globalThis.rings.tones;
      return start.apply(this, at);
    };
  });
  await page.goto(`${server.url}#/enter/bay%203`);
  await page.locator("summary", { hasText: "Times" }).click();
  await page.getByLabel(/Minutes/i).fill("0.1");
  await page.getByLabel(/Minutes/i).press("Tab");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".timers li");
  await page.evaluate(() => (location.hash = "#/drives"));
  await page.waitForSelector(".library");
  await holds(async () => assert.equal(await page.locator(".timers li").count(), 1, "gone on another screen"));
  await page.waitForSelector(".timers li.over", { timeout: 10000 });
  await until(async () => (await page.evaluate(() => globalThis.rings.tones)) >= 3, "no tone");
  await holds(async () => assert.ok((await page.evaluate(() => globalThis.rings.shaken)) >= 1));
  await page.reload();
  await page.waitForSelector(".timers li.over[role=alert]");
  await until(async () => (await page.evaluate(() => globalThis.rings.shaken)) >= 1, "silent after a reload");
  await page.locator("h1").click(); // touched once, it may sound again
  await until(async () => (await page.evaluate(() => globalThis.rings.tones)) >= 3, "no tone after a reload", 10000);
  await page.locator(".timers li button").click();
  const n = await page.evaluate(() => globalThis.rings.shaken);
  await page.waitForTimeout(5000);
  assert.equal(await page.evaluate(() => globalThis.rings.shaken), n, "rings on");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("the browser finds nothing that keeps it from being installed", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright);
  await page.addInitScript(() => {
    globalThis.asked = 0;
    const persist = StorageManager.prototype.persist;
    StorageManager.prototype.persist = function () {
      ++globalThis.asked;
      return persist.call(this);
    };
  });
  await page.goto(server.url);
  await page.evaluate(async () => (await navigator.serviceWorker.ready) && undefined);
  const hand = await page.context().newCDPSession(page);
  const { errors, data } = await hand.send("Page.getAppManifest");
  assert.deepEqual(errors, []);
  const { installabilityErrors } = await hand.send("Page.getInstallabilityErrors");
  // A window without a trace of its own (as in a test) is never installed from.
  assert.deepEqual(installabilityErrors.filter((one) => one.errorId !== "in-incognito"), []);
  const manifest = JSON.parse(data);
  assert.equal(manifest.id, "/");
  for (const icon of manifest.icons.filter((one) => one.type === "image/png")) {
    const answer = await fetch(new URL(icon.src, server.url));
    assert.equal(answer.headers.get("content-type"), "image/png");
    const bytes = Buffer.from(await answer.arrayBuffer());
    assert.equal(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`, icon.sizes);
  }
  assert.deepEqual(manifest.icons.map((one) => one.purpose).sort(), ["any", "any", "any", "maskable"]);
  for (const { url } of manifest.shortcuts) {
    await page.goto(new URL(url, server.url).href);
    await page.waitForSelector("main .tiles, main .new_case");
  }
  await until(async () => (await page.evaluate(() => globalThis.asked)) > 0, "storage that lasts is not asked for");
  await page.context().close();
});

// A page of another build: the same files, and a worker with one word more.
async function newer_page() {
  const is = { newer: false };
  const proxy = createServer(async (request, answer) => {
    if (request.url.endsWith("/events")) return answer.writeHead(503).end(); // a stream has no end
    const told = await fetch(new URL(request.url, server.url));
    let bytes = Buffer.from(await told.arrayBuffer());
    if (request.url === "/sw.js" && is.newer)
      bytes = Buffer.from(bytes.toString().replace(/(tautmark-page-)/, "$1").replace(/"[0-9a-f]{16}"/, '"0123456789abcdef"'));
    answer.writeHead(told.status, { "Content-Type": told.headers.get("content-type") ?? "" });
    answer.end(bytes);
  });
  await new Promise((ready) => proxy.listen(0, "127.0.0.1", ready));
  return { is, url: `http://127.0.0.1:${proxy.address().port}/`, end: () => new Promise((done) => (proxy.closeAllConnections(), proxy.close(done))) };
}

test("a newer page is offered and never put under a half typed entry", { timeout: 60000 }, async () => {
  const proxy = await newer_page();
  try {
    const page = await opened_page(browser, sizes.upright);
    await page.goto(proxy.url);
    await page.evaluate(async () => (await navigator.serviceWorker.ready) && undefined);
    await until(() => page.evaluate(() => navigator.serviceWorker.controller !== null), "no worker");
    await page.goto(`${proxy.url}#/enter/bay%203/note`);
    await page.fill('[name="entry/words"]', "half a sen");
    const is_offered = () => page.getByText("A newer version of this page is here").isVisible();
    assert.equal(await is_offered(), false);
    proxy.is.newer = true;
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
    await until(is_offered, "not offered", 15000);
    assert.equal(await page.inputValue('[name="entry/words"]'), "half a sen");
    await page.getByRole("button", { name: "Load it now" }).click();
    await page.waitForSelector('[name="entry/words"]');
    assert.equal(await is_offered(), false);
    await page.context().close();
  } finally {
    await proxy.end();
  }
});

test("the device's own colors lose no verdict: a shape, and its word", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.tablet, { ...blocked, forcedColors: "active", colorScheme: "dark" });
  await page.goto(`${server.url}#/practice/case/vessgarth-bay-3/measure`);
  await page.waitForSelector(".verdict.fail");
  const seen = await page.evaluate(() => {
    const ground = getComputedStyle(document.documentElement).backgroundColor;
    return ["fail", "open"].map((verdict) => {
      const link = document.querySelector(`.verdict.${verdict}`);
      const { stroke, strokeWidth, strokeDasharray } = getComputedStyle(link.querySelector(".plate"));
      return { verdict, word: link.textContent, stroke, ground, strokeWidth, strokeDasharray, d: link.querySelector(".plate").getAttribute("d") };
    });
  });
  assert.deepEqual(seen.map((one) => one.word), ["fail", "open"]);
  for (const one of seen) assert.notEqual(one.stroke, one.ground, `${one.verdict} is drawn in the color of its ground`);
  assert.notEqual(seen[0].d, seen[1].d);
  // Drawings too: the contour of the drive is in the ink of the device.
  await page.goto(`${server.url}#/turn?drive=vessgarth-v6-12`);
  await page.waitForSelector(".turned .contour");
  const [stroke, ground] = await page.evaluate(() => [
    getComputedStyle(document.querySelector(".turned .contour")).stroke,
    getComputedStyle(document.documentElement).backgroundColor,
  ]);
  assert.notEqual(stroke, ground);
  await page.context().close();
});

test("more contrast, when the device asks for it, and no motion of the page's own", { timeout: 30000 }, async () => {
  const page = await opened_page(browser, sizes.tablet, { ...blocked, contrast: "more", reducedMotion: "reduce" });
  await page.goto(server.url);
  await page.waitForSelector(".tiles");
  const said = (name) => page.evaluate((one) => getComputedStyle(document.documentElement).getPropertyValue(one).trim(), name);
  assert.equal(await said("--paper"), "#fff");
  assert.equal(await said("--ink"), "#000");
  assert.equal(await page.evaluate(() => document.getAnimations().length), 0);
  const css = readFileSync(path.join(root, "build/page/code/index.css"), "utf8");
  assert.doesNotMatch(css, /transition|animation/);
  await page.context().close();
});
