// SPDX-License-Identifier: Apache-2.0
// From the first sheet to a finding without mouse or finger: Tab, Enter, arrows and digits. What has
// the focus is always seen, and after every step it is where the work goes on.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, holds, in_a_browser, opened_page, sizes, until, words_at } from "./browser.mjs";

const { server, browser } = await in_a_browser();

// What has the focus, and how it is drawn.
const focused = (page) => page.evaluate(() => {
  const at = document.activeElement;
  const { outlineStyle, outlineWidth } = getComputedStyle(at);
  const box = at.getBoundingClientRect();
  return {
    tag: at.tagName, id: at.id, words: (at.getAttribute("aria-label") ?? at.textContent ?? "").trim().slice(0, 80),
    href: at.getAttribute("href") ?? "", value: at.value ?? "",
    is_seen: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2 && box.bottom > 0 && box.top < innerHeight,
  };
});

function keys_on(page) {
  const hand = { tabs: 0 };
  // Tab until the focus is on it; never through nowhere, never unseen.
  hand.to = async (is_it, what, most = 60) => {
    for (let i = 0; i < most; ++i) {
      let at = await focused(page);
      // The page scrolls to it in the next picture; under load that takes its time.
      for (let n = 0; n < 40 && at.tag !== "BODY" && !at.is_seen; ++n) {
        await page.waitForTimeout(50);
        at = await focused(page);
      }
      if (at.tag !== "BODY") assert.ok(at.is_seen, `not seen: ${JSON.stringify(at)}`);
      if (is_it(at)) return at;
      ++hand.tabs;
      await page.keyboard.press("Tab");
    }
    throw new Error(`never came to ${what}`);
  };
  hand.enter = () => page.keyboard.press("Enter");
  return hand;
}

async function focus_is(page, tag, what) {
  const is_there = async () => {
    const at = await focused(page);
    return at.tag === tag && at.is_seen;
  };
  await until(is_there, async () => `${what}: ${JSON.stringify(await focused(page))}`, 8000);
}

test("from the first sheet to a finding, by keyboard alone", { timeout: 120000 }, async () => {
  const page = await opened_page(browser, sizes.desk, { serviceWorkers: "block" });
  page.setDefaultTimeout(10000);
  const hand = keys_on(page);
  await page.goto(server.url);
  await page.waitForSelector(".tiles");
  // The first stop leads past the head of the sheet.
  await page.keyboard.press("Tab");
  await holds(async () => assert.equal((await focused(page)).words, "To the content"));
  await hand.enter();
  await focus_is(page, "MAIN", "the content");
  await hand.to((at) => at.words.startsWith("Practise"), "practise");
  await hand.enter();
  await page.waitForSelector("text=/vessgarth/i");
  await focus_is(page, "MAIN", "the cases");
  await hand.to((at) => at.href.includes("/case/vessgarth-bay-3"), "the case");
  await hand.enter();
  await page.waitForSelector(".rail");
  await focus_is(page, "MAIN", "the case");
  await hand.to((at) => /\/measure$/.test(at.href), "its stage");
  await hand.enter();
  await focus_is(page, "H2", "the stage");
  await holds(async () => assert.equal((await focused(page)).words, "Measure"));
  await hand.to((at) => /enter\/vessgarth-bay-3\/reading/.test(at.href), "a reading");
  await hand.enter();
  await page.waitForSelector(".reading .pad");
  await focus_is(page, "MAIN", "the reading");

  // Which quantity: by arrows in the list.
  await hand.to((at) => at.tag === "SELECT", "the quantity");
  const names = await page.locator(".quantity option").evaluateAll((all) => all.map((one) => one.value));
  await page.keyboard.press("Home");
  for (let i = 0; i < names.indexOf("journal diameter"); ++i) await page.keyboard.press("ArrowDown");
  await holds(async () => assert.equal((await focused(page)).value, "journal diameter"));
  await page.keyboard.press("Tab");
  const wait = page.locator(".with select");
  for (let n = 0; n < (await wait.count()); ++n) {
    if (await wait.nth(n).inputValue()) continue;
    await wait.nth(n).focus();
    await page.keyboard.press("ArrowDown");
  }
  const before = (await call(server, "GET", "/practice/api/cases/vessgarth-bay-3")).case.entries.length;
  await hand.to((at) => at.tag !== "SELECT" && at.tag !== "INPUT", "beside the fields");
  await page.keyboard.type("28031", { delay: 20 });
  await holds(async () => assert.match(await page.textContent(".display output"), /28\.031/));
  await hand.to((at) => at.words === "Enter, next", "enter");
  await hand.enter();
  await until(async () => (await call(server, "GET", "/practice/api/cases/vessgarth-bay-3")).case.entries.length === before + 1,
              () => page.textContent("main"));
  await page.waitForSelector(".last_entered .verdict");
  assert.notEqual((await focused(page)).tag, "BODY", "nowhere after the reading");

  // Back to the case, and its finding opened.
  await hand.to((at) => /case\/vessgarth-bay-3$/.test(at.href), "the case again", 120);
  await hand.enter();
  await page.waitForSelector(".rail");
  await hand.to((at) => /\/measure$/.test(at.href), "its stage");
  await hand.enter();
  await focus_is(page, "H2", "the stage");
  await page.waitForSelector(".finding");
  await hand.to((at) => at.tag === "BUTTON" && /fail.*journal|journal.*fail/i.test(at.words), "the finding", 120);
  await hand.enter();
  await page.waitForSelector('.finding [aria-expanded="true"]');
  await holds(async () => assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-expanded")), "true"));
  assert.deepEqual(page.mistakes, []);
  console.log(`# first sheet to finding: ${hand.tabs} times Tab`);
  await page.context().close();
});

test("a quick answer by keyboard: every question takes the focus, none loses it", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  const hand = keys_on(page);
  await page.goto(`${server.url}#/quick`);
  await page.waitForSelector(".tile.first");
  await hand.to((at) => at.href === "#/quick/turn", "the first tile");
  await hand.enter();
  await page.waitForSelector(".asked");
  for (let i = 0; i < 3; ++i) {
    const asked = await page.innerText(".asked .question");
    await hand.to((at) => at.tag === "BUTTON" || at.tag === "INPUT", "a choice");
    if ((await focused(page)).tag === "INPUT") await page.keyboard.type("2");
    await hand.enter();
    await until(async () => (await words_at(page, ".asked .question")) !== asked, "the same question", 8000);
    await page.waitForTimeout(200);
    if ((await page.locator(".asked").count()) === 0) break;
    const at = await focused(page);
    assert.ok(["H2", "INPUT"].includes(at.tag) && at.is_seen, JSON.stringify(at));
  }
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a new case by keyboard", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  page.setDefaultTimeout(10000);
  const hand = keys_on(page);
  await page.goto(`${server.url}#/cases`);
  await hand.to((at) => at.words === "New case", "new case");
  await hand.enter();
  await focus_is(page, "H2", "the form");
  await page.waitForSelector('input[type="radio"] >> nth=2');
  await hand.to((at) => at.tag === "INPUT", "the drives");
  await page.keyboard.press("ArrowDown");
  await hand.to((at) => at.tag === "BUTTON" && /^Begin|^New|^Open/i.test(at.words), "begin");
  await hand.enter();
  await page.waitForFunction(() => location.hash.startsWith("#/case/"));
  await focus_is(page, "MAIN", "the new case");
  await page.context().close();
});

test("what has the focus stays seen when an answer above it comes late", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  const hand = keys_on(page);
  const grow = (pixels) => page.evaluate((height) => {
    const late = document.createElement("div");
    late.style.height = `${height}px`;
    document.querySelector("main").prepend(late);
  }, pixels);
  await page.goto(server.url);
  await page.waitForSelector(".tiles");
  await hand.to((at) => at.words.startsWith("Practise"), "practise");
  await grow(3000);
  await holds(async () => assert.ok((await focused(page)).is_seen, "pushed out of sight"));
  // Whoever scrolled away from it is left where he is.
  await page.mouse.wheel(0, -5000);
  await until(() => page.evaluate(() => scrollY === 0), "the top");
  await grow(200);
  await page.waitForTimeout(300);
  assert.equal(await page.evaluate(() => scrollY), 0);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});
