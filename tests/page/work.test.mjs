// SPDX-License-Identifier: Apache-2.0
// The work step by step, over an answer written by hand (work_stub.mjs): what is entered, what is
// withheld, what is on paper.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, too_small, until } from "./browser.mjs";
import { answer_work, work } from "./work_stub.mjs";

const { server, browser } = await in_a_browser();
const at = (step) => `${server.url}#/practice/case/vessgarth-bay-3/work${step ? `?step=${encodeURIComponent(step)}` : ""}`;
const done = (page) => page.getByRole("button", { name: "Done", exact: true });

async function opened(step, size = sizes.upright) {
  const page = await opened_page(browser, size, { serviceWorkers: "block" });
  const told = await answer_work(page);
  await page.goto(at(step));
  await page.waitForSelector(".step_now");
  await until(async () => !/withheld/.test(await page.locator(".strip").innerText()), "in force");
  return { page, told };
}

async function last_step() {
  const { case: one } = await call(server, "GET", "/practice/api/cases/vessgarth-bay-3");
  return one.entries.filter((entry) => entry.kind === "step").at(-1);
}

test("what was interrupted is shown first, with the state of the engine", async () => {
  const { page } = await opened();
  await holds(async () => assert.equal(await page.locator(".step_head > h2").innerText(), "Set the marks"));
  const strip = await page.locator(".strip").innerText();
  assert.match(strip, /Interrupted: Set the marks/);
  assert.match(strip, /bank 2 off/);
  assert.match(strip, /bank 2 not known/);
  assert.deepEqual(await axe_violations(page), []);
  await page.context().close();
});

test("fasteners are ticked one by one, the second person is another, and one entry is made", async () => {
  const { page } = await opened("Tighten the phaser bolts");
  assert.ok(await done(page).isDisabled());
  for (let i = 0; i < 3; ++i) await page.getByRole("button", { name: /^Tick number/ }).click();
  await holds(async () => assert.match(await page.locator(".angle svg").getAttribute("aria-label"), /75° clockwise .* 1.25 flats/));
  await page.getByRole("button", { name: /^Tick number/ }).click();
  const second = page.getByLabel("The second person types their own name");
  await second.fill("bay 3"); // who works here
  assert.ok(await done(page).isDisabled());
  await second.fill("Will");
  await done(page).click();
  await until(async () => (await last_step())?.step === "Tighten the phaser bolts", "entered");
  const entry = await last_step();
  assert.deepEqual([entry.second_name, entry.fasteners, entry.late, entry.against_gate], ["Will", 2, undefined, undefined]);
  await page.context().close();
});

test("a turn shows the turning answer and is not entered against it", async () => {
  const { page } = await opened("Turn two turns by hand", sizes.phone);
  assert.equal(await page.locator(".turning .answer").innerText(), "DO NOT TURN");
  await page.getByRole("checkbox").check();
  assert.ok(await done(page).isDisabled());
  assert.equal(await page.getByRole("button", { name: "Pass against the gate" }).count(), 0);
  assert.deepEqual([await overflowing(page), await too_small(page)], [[], []]);
  await page.context().close();
});

test("against a condition by name and reason, and what stays open is said", async () => {
  const { page } = await opened("Let the camshafts go");
  assert.ok(await done(page).isDisabled());
  await page.getByRole("button", { name: "Pass against the gate" }).click();
  await holds(async () => assert.match(await page.locator(".against_gate").innerText(), /Stays open until it is shown: bank 1: marks confirmed/));
  await page.getByLabel("Reason").fill("the camera is broken");
  await page.getByLabel("Who allows it (name)").fill("Foreman");
  await page.getByRole("button", { name: "Enter it against the gate" }).click();
  await until(async () => (await last_step())?.against_gate === "the camera is broken", "entered");
  await holds(async () => assert.equal((await last_step()).allowed_by, "Foreman"));
  await page.context().close();
});

test("through a lost link gates are withheld, and a plain step is kept here", async () => {
  const { page } = await opened("Draw the caps down evenly");
  await page.context().setOffline(true);
  await page.waitForSelector(".strip .wrong");
  for (let i = 0; i < 20; ++i) await page.getByRole("button", { name: /^Tick number/ }).click();
  await page.getByRole("checkbox").check();
  assert.ok(await done(page).isDisabled());
  await holds(async () => assert.match(await page.locator("#why_not").innerText(), /No gate is passed/));
  // What was done is entered late, and allows nothing; as long as it waits it is simply dropped.
  await page.getByRole("button", { name: "Done earlier: enter late" }).click();
  await page.waitForFunction(() => document.querySelector(".step_head > h2")?.textContent !== "Draw the caps down evenly");
  assert.ok(await done(page).isDisabled(), "the next gate was opened by it");
  for (let i = 0; i < 2; ++i) await page.locator(".last_step button").click();
  await until(async () => !/entr/.test(await page.locator("header .link").innerText()), "dropped");
  await page.evaluate((to) => (location.href = to), at("Close the covers"));
  await page.waitForFunction(() => document.querySelector(".step_head > h2")?.textContent === "Close the covers");
  await done(page).click();
  await until(async () => /entry|entries/i.test(await page.locator("header .link").innerText()), "waits");
  assert.notEqual((await last_step())?.step, "Close the covers");
  await page.context().setOffline(false);
  await until(async () => (await last_step())?.step === "Close the covers", "sent");
  await page.context().close();
});

test("on paper stands the whole procedure, with the same gates", async () => {
  const { page } = await opened();
  await page.emulateMedia({ media: "print" });
  const words = await page.locator("main").innerText();
  for (const step of work.procedure.steps) {
    assert.ok(words.includes(`${step.number}. ${step.name}`), step.name);
    for (const caution of step.cautions) assert.ok(words.includes(caution), caution);
  }
  const gates = work.procedure.steps.filter((one) => one.gate).length;
  assert.equal((words.match(/Gate: /g) ?? []).length, gates);
  assert.equal((words.match(/initials/g) ?? []).length, work.procedure.steps.length + gates);
  await page.context().close();
});
