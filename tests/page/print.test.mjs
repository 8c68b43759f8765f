// SPDX-License-Identifier: Apache-2.0
// On paper: no navigation, nothing to press, cautions and open items whole, nothing beside the sheet.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page } from "./browser.mjs";

const { server, browser } = await in_a_browser();
// The width of A4 less the margins of the page, in CSS pixels.
const paper = { width: Math.round(((210 - 24) / 25.4) * 96), height: 1030 };

async function printed(locale, place, ready) {
  const page = await opened_page(browser, paper, { serviceWorkers: "block", locale, colorScheme: "dark" });
  await page.goto(server.url + place);
  await page.waitForSelector(ready);
  await page.waitForTimeout(300);
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  const told = await page.evaluate(() => ({
    words: document.querySelector("main").innerText,
    whole: document.body.innerText,
    pressed: [...document.querySelectorAll("button, a.button, nav, select, .rail, .back")]
      .filter((e) => e.checkVisibility() && !e.matches("[aria-expanded], .says"))
      .map((e) => e.outerHTML.slice(0, 100)),
    ground: getComputedStyle(document.documentElement).backgroundColor,
    ink: getComputedStyle(document.body).color,
    beside: [...document.querySelectorAll("main *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest("svg *"))
      .map((e) => e.outerHTML.slice(0, 100)),
  }));
  assert.deepEqual(told.pressed, [], "to be pressed on paper");
  assert.deepEqual(told.beside, [], "beside the sheet");
  assert.deepEqual([told.ground, told.ink], ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]);
  assert.ok((await page.pdf({ format: "A4" })).length > 10000);
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  assert.equal(await page.locator("details.prints[open]").count(), 0, "stays unfolded after printing");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
  return told;
}

for (const [locale, maker, practice] of [
  ["en-GB", "The engine maker's current data come first.", "Practice: an invented engine"],
  ["de-DE", "Die aktuellen Angaben des Motorherstellers gehen vor.", "Übung: ein erfundener Motor"],
]) {
  test(`printed, ${locale}`, { timeout: 90000 }, async () => {
    // What the program says is printed in the language of the page. Of German sentences the measures
    // must stand, and none may stand in English.
    const stands = (sheet, texts) => {
      for (const text of texts) {
        const is_sentence = /[a-z]{3,} [a-z]{2,} [a-z]{2,}/.test(text);
        if (locale === "en-GB") assert.ok(sheet.words.includes(text), text);
        else if (is_sentence) assert.ok(!sheet.words.includes(text), `English: ${text}`);
        for (const number of text.match(/\d+[.]\d+/g) ?? [])
          assert.ok(sheet.words.replaceAll(",", ".").includes(number), `${number} of ${text}`);
      }
    };
    const findings = await call(server, "GET", "/practice/api/cases/vessgarth-bay-3/findings");
    const measure = await printed(locale, "#/practice/case/vessgarth-bay-3/measure", ".finding");
    assert.match(measure.words, locale === "de-DE" ? /NICHT DREHEN/ : /DO NOT TURN/);
    stands(measure, findings.turning.cautions);
    const open = findings.findings.filter((one) => one.verdict === "open" && /^(bore|journal|guide)-/.test(one.check) && !one.forecast);
    assert.ok(open.length > 0);
    if (locale === "en-GB") for (const one of open) assert.ok(measure.words.includes(one.subject), one.subject);
    assert.ok(measure.whole.includes(practice) && measure.whole.includes(maker));

    const clearance = new URLSearchParams({ limit: "at most 0.110 mm", clearance: "0.108 ± 0.005 mm" });
    const { answer } = await call(server, "POST", "/api/quick/clearance", {
      typed: [...clearance].map(([input, text]) => ({ input, text })),
    });
    const quick = await printed(locale, `#/quick/clearance?${clearance}`, ".answer .caution");
    stands(quick, [...answer.lines, ...answer.cautions, ...answer.assumed, ...answer.steps]);
    assert.ok(quick.words.includes(locale === "en-GB" ? "at most 0.110 mm" : "höchstens 0,110 mm"));
    assert.ok(quick.whole.includes(maker));

    const { answer: never } = await call(server, "POST", "/api/quick/turn", { typed: [] });
    const turn = await printed(locale, "#/quick/turn", ".answer .caution");
    stands(turn, [...never.lines, ...never.cautions]);

    const drive = await printed(locale, "#/drive/vessgarth-v6-12", ".drive svg");
    assert.match(drive.whole, /17[.,]143/);
    await printed(locale, "#/practice/turn/vessgarth-bay-3", ".turned svg");
    await printed(locale, "#/practice/case/vessgarth-bay-3/history", ".entries");
  });
}
