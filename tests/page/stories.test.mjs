// SPDX-License-Identifier: Apache-2.0
// The two whole stories, from an empty store to the findings: a case is begun on the page, every
// entry of the demonstration case is typed into it field by field, and the program then says the
// same of it as of the demonstration case.
import assert from "node:assert/strict";
import path from "node:path";
import { test } from "node:test";

import { call, in_a_browser, opened_page, root, sizes } from "./browser.mjs";
import { typed, typed_head } from "./typing.mjs";

const { server, browser } = await in_a_browser();

// What a finding says, without the numbers of entries and the names of files in its words.
const said = (finding) =>
  [finding.check, finding.subject, finding.verdict, finding.value?.shown ?? "", finding.limit?.shown ?? "",
   finding.forecast ? "forecast" : ""].join(" | ");

async function begun(page, drive) {
  await page.goto(server.url);
  await page.click('a[href="#/cases"]');
  await page.click("main button.main");
  await page.check(`input[name="drive"][value="${drive}"]`);
  await page.fill('input[name="name"]', `story ${drive}`);
  await page.click("form.new_case button.main");
  await page.waitForFunction(() => location.hash.endsWith("/complaint"));
}

for (const [demo, drive, folder] of [
  ["vessgarth-bay-3", "vessgarth-v6-12", "vessgarth"],
  ["quellmere-coast-road", "quellmere-i4-16", "quellmere"],
]) {
  if ((process.env.TAUTMARK_PAGE_STORY || folder) !== folder) continue; // run.py shares them out
  test(`the whole story of ${demo}`, { timeout: 400000 }, async () => {
    const name = `story ${drive}`;
    const page = await opened_page(browser, sizes.tablet, { serviceWorkers: "block" });
    await begun(page, drive);
    const model = (await call(server, "GET", `/practice/api/cases/${demo}`)).case;
    const head = Object.fromEntries(
      ["engine", "instruments", "decimal_sign", "invented"].filter((key) => key in model).map((key) => [key, model[key]]));
    await typed_head(page, server, name, head);
    // What an entry rests on has another number here: they are numbered as they come in.
    const id_here = (id) => `e${1 + model.entries.findIndex((one) => one.id === id)}`;
    for (const entry of model.entries) {
      const here = entry.shown_by ? { ...entry, shown_by: entry.shown_by.map(id_here) } : entry;
      await typed(page, server, name, here, path.join(root, "demo", folder));
    }

    const made = (await call(server, "GET", `/api/cases/${encodeURIComponent(name)}`)).case;
    assert.deepEqual(made.entries.map((entry) => entry.kind), model.entries.map((entry) => entry.kind));
    const findings = await call(server, "GET", `/api/cases/${encodeURIComponent(name)}/findings`);
    const wanted = await call(server, "GET", `/practice/api/cases/${demo}/findings`);
    assert.ok(wanted.findings.length > 20);
    assert.deepEqual(findings.findings.map(said).sort(), wanted.findings.map(said).sort());
    assert.equal(findings.turning.answer, wanted.turning.answer);

    // Every stage shows it: the counts along the strand, the turning answer on top.
    await page.goto(`${server.url}#/case/${encodeURIComponent(name)}/measure`);
    await page.waitForSelector(".verdict.fail");
    assert.match(await page.textContent("main"), /DO NOT TURN/);
    const page_says = await page.locator("main").textContent();
    const measured = /^(bore|journal|tensioner|chain|guide)-/;
    const failed = findings.findings.filter((one) => one.verdict === "fail" && one.value && measured.test(one.check));
    assert.ok(failed.length > 0);
    for (const one of failed) assert.ok(page_says.includes(one.value.shown), `${one.check}: ${one.value.shown}`);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  });
}
