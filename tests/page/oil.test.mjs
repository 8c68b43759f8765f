// SPDX-License-Identifier: Apache-2.0
// The oil of an engine: the card of the stages, the circuit, sliding clearances, what each repair would do.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, sized, too_small, until, words_at } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const kDemo = "#/practice/case/vessgarth-bay-3";
const kJournal = '[data-place="bank 2 / camshaft / journal 1"]';

async function opened(at, size = sizes.desk, language = "en") {
  const page = await opened_page(browser, size, { serviceWorkers: "block" });
  await page.goto(server.url);
  await page.evaluate((wanted) => localStorage.setItem("tautmark.language", wanted), language);
  await page.goto(`${server.url}${at}`);
  await page.reload();
  return page;
}

const circuit_words = (page) => page.evaluate(() => document.querySelector(".oil_circuit .drawing")?.shadowRoot?.textContent ?? "");
const number_at = async (page, name) => Number.parseFloat((await words_at(page, `[data-name="${name}"] b`)).replace(",", "."));

test("the card leads to the lowest head, the circuit and the repairs", async () => {
  const page = await opened(`${kDemo}/tests`);
  await holds(async () => assert.match(await words_at(page, ".oil_card"), /Lowest head[\s\S]*bank 2[\s\S]*88\s+± 4 kPa[\s\S]*below its limit of 110 kPa/));
  await page.getByRole("link", { name: "Oil in detail" }).click();
  await page.waitForSelector(".oil_table");
  assert.match(await words_at(page, ".oil_answer"), /this head loses its oil behind the restriction, or too little/);
  await until(async () => /INVENTED/.test(await circuit_words(page)), "the circuit");
  assert.match(await circuit_words(page), /88/);
  const marked = await page.locator(".oil_table").first().locator("tr", { has: page.locator(".oil_best") }).allInnerTexts();
  assert.ok(marked.length > 0 && marked.every((says) => /highest/.test(says)) && /bearings repaired/.test(marked.join()), marked.join("; "));
  assert.equal(await page.locator(".oil_table").first().locator("tbody tr").count(), 5);
  assert.match(await words_at(page, ".oil_said"), /^OPEN: [^.]*gives the highest pressure at the head/);
  const words = await words_at(page, "main");
  assert.match(words, /none is a pass/);
  assert.doesNotMatch(words.replaceAll("none is a pass", ""), /\bpass\b|\bsafe\b/i);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a wider journal lowers the head, by finger and by key; as measured is found again", async () => {
  const page = await opened(`${kDemo}/oil`);
  await page.waitForSelector(kJournal);
  const found = await number_at(page, "head");
  assert.equal(found, 88);
  const before = await circuit_words(page);
  const slider = page.locator(kJournal).getByRole("slider");
  await slider.fill("0.2");
  await holds(async () => assert.ok((await number_at(page, "head")) < found - 3));
  assert.match(await words_at(page, `${kJournal} output`), /^0\.200 mm$/);
  assert.match(await words_at(page, '[data-name="head"]'), /88 kPa as found/);
  await until(async () => /No gauge has read this/.test(await circuit_words(page)), "another drawing");
  assert.notEqual(await circuit_words(page), before);
  const wide = await number_at(page, "head");
  await slider.focus();
  for (let i = 0; i < 20; ++i) await page.keyboard.press("ArrowLeft");
  assert.match(await words_at(page, `${kJournal} output`), /^0\.100 mm$/);
  await holds(async () => assert.ok((await number_at(page, "head")) > wide + 5));
  await page.locator(kJournal).getByRole("button", { name: "as measured" }).click();
  await holds(async () => assert.equal(await number_at(page, "head"), found));
  assert.match(await words_at(page, `${kJournal} output`), /^0\.142 mm$/);
  assert.equal(await circuit_words(page), before);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("an engine with less says what to read, with no empty frame", async () => {
  for (const [name, drive, says] of [["oil-read", "vessgarth-v6-12", /Nothing is predicted without[\s\S]*main gallery[\s\S]*Limits of the definition/], ["oil-gallery", "quellmere-i4-16", /another bank to compare it with/i]]) {
    await call(server, "POST", "/api/cases", { name, drive });
    const page = await opened(`#/case/${name}/oil`);
    await holds(async () => assert.match(await words_at(page, ".oil_answer"), says));
    assert.equal(await page.locator(".oil_circuit, .oil_sliders, .oil_table").count(), 0);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  }
  await call(server, "POST", "/api/cases", { name: "oil-none" });
  const page = await opened("#/case/oil-none/tests");
  await page.waitForSelector(".now");
  assert.equal(await page.locator(".oil_card").count(), 0);
  await page.context().close();
});

test("clearances that do not explain the gauges forecast nothing", async () => {
  await call(server, "POST", "/api/cases", {
    name: "oil-blocked", drive: "vessgarth-v6-12",
    instruments: [{ name: "gauge", type: "pressure gauge", resolution: "1 kPa", uncertainty: "4 kPa" }],
  });
  const gauge = { kind: "pressure", instrument: "gauge", speed: "650 1/min", oil_temperature: "95 degC", oil: "as specified" };
  const entries = [["main gallery", "185 kPa"], ["bank 1 / head port", "140 kPa"], ["bank 2 / head port", "60 kPa"]]
    .map(([place, values]) => ({ ...gauge, place, values }));
  for (const bank of [1, 2])
    for (const journal of [1, 2, 3, 4, 5])
      entries.push({ kind: "reading", quantity: "journal clearance", place: `bank ${bank} / camshaft / journal ${journal}`, value: "0.066 ± 0.004 mm" });
  for (const entry of entries) await call(server, "POST", "/api/cases/oil-blocked/entries", { key: crypto.randomUUID(), entry });
  const page = await opened("#/case/oil-blocked/oil", sizes.upright);
  await holds(async () => assert.match(await words_at(page, "main"), /do not explain what this head reads[\s\S]*no way of repair is forecast/));
  assert.match(await words_at(page, "main"), /Measure or enter next\s+The feed of bank 2: is its passage, gasket hole or screen free\?/);
  assert.equal(await page.locator(".oil_table").count(), 0);
  assert.deepEqual(page.mistakes, []);
  if (process.env.KEEP) await page.screenshot({ path: process.env.KEEP, fullPage: true });
  await page.context().close();
});

test("every screen fits, can be pressed with a glove and read, in both languages", async () => {
  const page = await opened(`${kDemo}/oil`);
  await page.waitForSelector(".oil_table");
  for (const size of ["phone", "upright", "tablet", "desk"]) {
    await sized(page, size);
    assert.deepEqual(await overflowing(page), [], size);
    assert.deepEqual(await too_small(page), [], size);
  }
  assert.deepEqual(await axe_violations(page), []);
  await page.context().close();
  const german = await opened(`${kDemo}/oil`, sizes.upright, "de");
  await holds(async () => assert.match(await words_at(german, ".oil_answer"), /dieser Kopf verliert sein Öl hinter der Drossel/));
  const english = await german.evaluate(() => [...document.querySelectorAll('main [lang="en"]')].map((one) => one.textContent));
  assert.deepEqual(english, []);
  for (const size of ["phone", "upright"]) {
    await sized(german, size);
    assert.deepEqual(await overflowing(german), [], `${size} German`);
  }
  assert.deepEqual(german.mistakes, []);
  await german.context().close();
});
