// SPDX-License-Identifier: Apache-2.0
// The program dies in the middle of the work and comes back: nothing that was entered is lost or
// stored twice, and meanwhile nothing old passes for new.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();

async function note(page, words) {
  await page.goto(`${server.url}#/enter/bay%203/note`);
  await page.waitForSelector("form.entry");
  await page.fill('[name="entry/words"]', words);
  await page.click("form.entry button.main");
  await page.click(".read-back button.main");
  await page.waitForFunction(() => location.hash.startsWith("#/case/"));
}

const words_of = async () =>
  (await call(server, "GET", "/api/cases/bay%203")).case.entries.map((entry) => entry.words);

test("entries made while the program is gone are stored once, in their order", { timeout: 120000 }, async () => {
  await call(server, "POST", "/api/cases", { name: "bay 3", drive: "quellmere-i4-16" });
  const page = await opened_page(browser, sizes.upright);
  await page.goto(`${server.url}#/case/bay%203/measure`);
  await page.waitForSelector("text=/nobody has said whether the chain/i"); // an answer, not its absence
  await page.evaluate(async () => (await navigator.serviceWorker.ready) && undefined);
  // What the forms need is kept once it was seen.
  await note(page, "before");
  await until(async () => (await words_of()).length === 1, "the first entry");

  await server.stop("SIGKILL");
  await note(page, "first without the program");
  await note(page, "second without the program");
  await page.reload();
  await page.waitForSelector(".link");
  await note(page, "third, after the page began anew");
  await page.goto(`${server.url}#/case/bay%203/measure`);
  await page.waitForSelector(".link");
  const shown = () => page.textContent("main");
  await until(async () => /[Nn]ot judged since/.test(await shown()), shown);
  assert.doesNotMatch(await shown(), /TURN ONLY/);

  await server.start();
  await page.evaluate(() => dispatchEvent(new Event("online")));
  await until(async () => (await words_of()).length === 4, words_of, 40000);
  assert.deepEqual(await words_of(), [
    "before", "first without the program", "second without the program", "third, after the page began anew",
  ]);
  await page.reload();
  await page.waitForTimeout(1500);
  assert.equal((await words_of()).length, 4);
  assert.equal((await call(server, "GET", "/api/cases/bay%203/verify")).holds, true);
  await page.context().close();
});
