// SPDX-License-Identifier: Apache-2.0
// A recorded tightening comes into a case: one that must come out, one that is no trace, one that
// shows nothing and approves nothing. Then as it is seen: drawn, read at the cursor, beside others.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import path from "node:path";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, root, sizes, too_small, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
execFileSync("python3", [path.join(root, "tests/cli/torque_traces.py"), server.folder]);
const file = (name) => path.join(server.folder, `${name}.csv`);
await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });
const step = `${server.url}#/case/bay%203/work?step=${encodeURIComponent("Tighten the phaser bolts")}`;
const bolts = (page) => page.locator(".traces");

async function opened(at, size = sizes.upright, more = {}) {
  const page = await opened_page(browser, size, { serviceWorkers: "block", ...more });
  await page.goto(at);
  return page;
}

async function add(page, name, bolt) {
  await page.waitForSelector(".traces");
  if (!(await bolts(page).getAttribute("open").then((is) => is !== null))) await bolts(page).locator("summary").click();
  await bolts(page).getByLabel("Which one of them").selectOption(String(bolt));
  await bolts(page).locator("input[type=file]").setInputFiles(file(name));
}

async function entries() {
  const { case: one } = await call(server, "GET", "/api/cases/bay%203");
  return (one.entries ?? []).filter((entry) => entry.kind === "torque trace");
}

test("a cross-threaded bolt: fail, and what follows", async () => {
  const page = await opened(step);
  await add(page, "cross", 1);
  await page.waitForSelector(".trace_answer");
  assert.match(page.url(), /\/trace\/e1$/);
  const words = await page.locator(".trace_answer").innerText();
  assert.match(words, /Fail.*The bolt must come out\./is);
  assert.match(words, /cross-threaded/);
  assert.match(words, /take the bolt out and look at both threads/);
  assert.match(words, /nothing is tightened in this thread before it is repaired/);
  assert.match(words, /A trace approves no joint/);
  assert.doesNotMatch(await page.locator(".trace_values").innerText(), /Clamp load/);
  const [entry] = await entries();
  assert.deepEqual([entry.fastener, entry.bolt, entry.file], ["phaser bolt", 1, "traces/cross.csv"]);
  assert.match(entry.sha256, /^[0-9a-f]{64}$/);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a file that is no trace is refused with its place, and nothing is kept", async () => {
  const page = await opened(step);
  await add(page, "torn", 2);
  const wrong = page.getByRole("alert");
  await wrong.waitFor();
  await holds(async () => assert.match(await wrong.innerText(), /was not kept: line 41, column \d+: /));
  // The same when it is let go over the place.
  await page.evaluate((text) => {
    const data = new DataTransfer();
    data.items.add(new File([text], "letter.csv"));
    document.querySelector(".add_trace").dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
  }, "this is a letter");
  await until(async () => /was not kept: no column|was not kept: line 1/.test(await wrong.innerText()), () => wrong.innerText());
  assert.match(page.url(), /\/work\?step=/);
  assert.equal((await entries()).length, 1);
  const { files } = await call(server, "GET", "/api/cases/bay%203/files");
  assert.deepEqual(files.map((one) => one.name), ["traces/cross.csv"]);
  await page.context().close();
});

test("a good trace finds no damage, approves nothing, and stands beside the other", async () => {
  const page = await opened(step);
  await add(page, "right", 2);
  await page.waitForSelector(".trace_answer");
  const words = await page.locator(".trace_answer").innerText();
  assert.match(words, /^\s*open/i);
  assert.match(words, /No sign of damage found/);
  assert.doesNotMatch(words, /\bpass\b|must come out/);
  assert.match(words, /A trace approves no joint/);
  await until(async () => (await page.locator(".trace_plot .other").count()) === 1, "the other bolt drawn");
  await page.getByRole("link", { name: "number 1" }).click();
  await until(async () => /must come out/.test(await page.locator(".trace_answer").innerText()), "the other one");
  await page.goBack();
  await page.goto(step);
  await until(async () => (await bolts(page).locator("li").count()) === 2, "both in the list");
  await until(async () => /open.*fail|fail.*open/is.test(await bolts(page).locator("ul").innerText()), "their verdicts");
  await page.context().close();
});

test("of four head bolts the one that differs is named, the others drawn beside it", async () => {
  for (const [bolt, name] of ["right", "right", "right", "soft"].entries()) {
    const at = `traces/head-${bolt + 1}.csv`;
    await fetch(new URL(`/api/cases/bay%203/files?name=${at}&as=trace`, server.url), { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: readFileSync(file(name)) });
    await call(server, "POST", "/api/cases/bay%203/entries", { entry: { kind: "torque trace", fastener: "cylinder head bolts", bolt: bolt + 1, step: 1, file: at, by: "A." } });
  }
  const { case: one } = await call(server, "GET", "/api/cases/bay%203");
  const page = await opened(`${server.url}#/case/bay%203/trace/${one.entries.at(-1).id}`, sizes.tablet);
  await until(async () => (await page.locator(".trace_plot .other").count()) === 3, "three others");
  await holds(async () => assert.match(await page.locator(".trace_answer").innerText(), /softer than its brothers/));
  await page.context().close();
});

test("torque and angle are read at the cursor in both systems of units, closer and whole", async () => {
  const page = await opened(`${server.url}#/case/bay%203/trace/e2`);
  await page.waitForSelector(".trace_plot");
  const read = page.locator(".trace_read");
  // 150° is where the parts close, 1.9 N·m per degree from there (tests/cli/torque_traces.py).
  await page.getByLabel("Read torque and angle").fill("180");
  await until(async () => /^180\.0° of the record: 5[67]\.\d+ N·m \(4[12]\.\d+ lbf·ft, \d{3}\.?\d* lbf·in\), 30\.\d° after the parts closed/.test(await read.innerText()), () => read.innerText());
  const plot = page.locator(".trace_plot svg");
  const stretch = async () => Number(await plot.getAttribute("data-to")) - Number(await plot.getAttribute("data-from"));
  const whole = await stretch();
  await page.getByRole("button", { name: "Closer" }).click();
  await until(async () => Math.abs((await stretch()) - whole / 2) < 1e-6, "closer");
  await page.locator(".trace_plot").press("Home");
  await until(async () => Math.abs((await stretch()) - whole) < 1e-6, "whole");
  const box = await plot.boundingBox();
  await plot.click({ position: { x: box.width / 2, y: box.height / 2 } });
  await until(async () => !/^180\.0/.test(await read.innerText()), "the cursor follows the finger");
  const table = await page.locator(".trace_values").innerText();
  assert.match(table, /Gain in the straight part\s+1\.\d+ N·m\/°\s+1\.\d+ lbf·ft\/°\s+± 0\.\d+ N·m\/°/);
  assert.match(table, /Clamp load by torque\s+\d+\.\d – \d+\.\d kN/);
  // Through a lost link it says that it may be old.
  assert.equal(await page.getByText("This may be old").count(), 0);
  await page.context().setOffline(true);
  await page.getByText("This may be old").waitFor();
  assert.match(await page.locator(".trace_plot svg").getAttribute("data-to"), /\d/);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("from the stage of the case the finding leads to its trace", async () => {
  const page = await opened(`${server.url}#/case/bay%203/assemble`);
  const finding = page.locator(".finding.fail", { hasText: "phaser bolt, no. 1" });
  await finding.getByRole("link", { name: "See the trace" }).click();
  await page.waitForSelector(".trace_answer");
  assert.match(page.url(), /\/trace\/e1$/);
  await page.context().close();
});

test("without a fastener's data it is asked, and without a procedure there is a place too", async () => {
  const page = await opened(`${server.url}#/case/bay%203/trace`, sizes.phone);
  const guide = page.locator(".tighten", { hasText: "guide bolts" });
  await guide.locator("summary").click();
  await guide.locator("input[type=file]").setInputFiles(file("right"));
  await page.waitForSelector(".trace_answer");
  const words = await page.locator(".trace_answer").innerText();
  assert.match(words, /open\s+Not judged/i);
  assert.match(words, /Asked before it can be judged/);
  assert.deepEqual([await overflowing(page), await too_small(page)], [[], []]);
  await page.context().close();
});

test("fits every size, light and dark, German", async () => {
  for (const [size, more] of [[sizes.phone, { colorScheme: "dark" }], [sizes.upright, {}], [sizes.desk, { colorScheme: "dark" }], [sizes.phone, { locale: "de-DE" }]]) {
    for (const at of ["/trace/e1", "/trace/e2", "/trace"]) {
      const page = await opened(`${server.url}#/case/bay%203${at}`, size, more);
      await page.waitForSelector(".trace_plot, .add_trace", { state: "attached" });
      assert.deepEqual([await overflowing(page), await too_small(page)], [[], []], `${at} ${JSON.stringify([size, more])}`);
      assert.deepEqual(await axe_violations(page), []);
      if (more.locale && at === "/trace/e1") {
        const words = await page.locator(".trace_answer").innerText();
        assert.match(words, /Die Schraube muss heraus/);
        assert.equal(await page.locator(".trace_answer [lang=en]").count(), 0, words);
      }
      assert.deepEqual(page.mistakes, []);
      await page.context().close();
    }
  }
});
