// SPDX-License-Identifier: Apache-2.0
// Tightening on the phone: questions 12 to 15 of the trade, from their tiles, in both languages.
import assert from "node:assert/strict";
import { test } from "node:test";

import { in_a_browser, opened_page, overflowing, sizes, too_small, until, words_at } from "./browser.mjs";

const { server, browser } = await in_a_browser();

async function opened(at = "", more = {}) {
  const page = await opened_page(browser, sizes.phone, { serviceWorkers: "block", ...more });
  await page.goto(`${server.url}#/quick${at}`);
  return page;
}
const answer = (page) => page.locator(".answer-first").first();
const say = async (page, text) => {
  await page.locator("input.field").fill(text);
  await page.getByRole("button", { name: "Say it so" }).click();
};
// On to the next question, or to the answer without one. The old one may go at any moment.
const press = async (page, said) => {
  const question = await page.locator(".question").innerText();
  await page.locator(".choices").getByRole("button", { name: said, exact: true }).click();
  await until(async () => (await words_at(page, ".question")) !== question, `a question after ${question}`);
};
const told = (page, pattern) => until(async () => pattern.test(await page.locator("main").innerText()), async () => `${pattern}: ${await page.locator("main").innerText()}`);

test("question 14: a bare 106, and then its unit, its bolt and the wrench in hand", async () => {
  const page = await opened();
  await page.getByRole("link", { name: /A torque off the sheet/ }).click();
  await say(page, "106");
  await say(page, "M6");
  await told(page, /106 (of what|could|is)|144 N·m/);
  assert.doesNotMatch(await page.locator("main").innerText(), /The sheet says/);
  await say(page, "106 lbf·in");
  await told(page, /The sheet says 12\.0 N·m \(8\.83 lbf·ft, 106 lbf·in\)/);
  await told(page, /can belong to M6/);
  await told(page, /which wrench is in hand/);
  await page.getByRole("button", { name: /From where to where does the wrench/ }).click();
  await say(page, "40..200 N·m");
  await told(page, /Not with that wrench: too large/);
  assert.deepEqual([await overflowing(page), await too_small(page)], [[], []]);
  await page.context().close();
});

test("question 14: as foot-pounds it is more than the bolt bears", async () => {
  const page = await opened(`/torque?${new URLSearchParams({ torque: "106 lbf·ft", thread: "M6" })}`);
  await told(page, /more than the bolt bears for M6/);
  await told(page, /same figure in .*lbf·in.* would be usual/);
  await page.context().close();
});

test("question 15: it looks perfect, and does not go in again", async () => {
  const page = await opened();
  await page.getByRole("link", { name: /May the bolt go in again/ }).click();
  await page.getByRole("button", { name: "unknown" }).click();
  await told(page, /No, take a new bolt/);
  await told(page, /How it looks proves nothing/);
  await page.context().close();
});

test("question 13: the pin stays in until everything is done", async () => {
  const page = await opened();
  await page.getByRole("link", { name: /May the pin be pulled/ }).click();
  for (const said of ["no", "yes", "yes", "yes", "unknown", "yes"]) {
    await press(page, said);
  }
  await told(page, /Not yet\. First tighten the phaser bolts to the end/);
  await page.context().close();
});

test("question 12: the tensioner of the other bank bolts on, and does not go there", async () => {
  const page = await opened();
  await page.getByRole("link", { name: /tensioner of the other bank bolts on/ }).click();
  for (const said of ["1", "2", "it bolts on"]) {
    await press(page, said);
  }
  await told(page, /No: the tensioner of bank 1 does not go on bank 2/);
  await told(page, /not mirrored/);
  await page.context().close();
});

test("in German nothing stays English", async () => {
  const asked = [
    ["torque", { torque: "106 lbf·ft", thread: "M6", class: "8.8", wrench: "40..200 N·m" }],
    ["bolt", { single_use: "unknown" }],
    ["pin", { pulled: "unknown", chain: "no", slack: "yes", marks: "no", bolts: "yes", guides: "no" }],
    ["tensioner", { hand: "1", engine: "2", known_by: "looks" }],
  ];
  for (const [question, inputs] of asked) {
    const page = await opened(`/${question}?${new URLSearchParams(inputs)}`, { locale: "de-DE" });
    await page.waitForSelector(".answer");
    await until(async () => (await page.locator("main [lang=en]").count()) === 0, async () => `${question}: ${(await page.locator("main [lang=en]").allInnerTexts()).join(" | ")}`, 8000);
    assert.deepEqual(await overflowing(page), []);
    await page.context().close();
  }
});
