// SPDX-License-Identifier: Apache-2.0
// Who writes a procedure: a step is taken out, the lint says so, it is put back; a wrong unit is
// caught in its step; a step is added, moved and saved; two of a family lie side by side.
import assert from "node:assert/strict";
import { copyFileSync } from "node:fs";
import path from "node:path";
import { test } from "node:test";

import { axe_violations, holds, in_a_browser, opened_page, overflowing, root, sizes, too_small, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const kBase = "vessgarth-v6-12", kTall = "vessgarth-v6-12-tall";
for (const name of [kBase, kTall]) copyFileSync(path.join(root, `drives/${name}.drive.yaml`), path.join(server.folder, `drives/${name}.drive.yaml`));

const row = (page, name) => page.locator(".author_order button", { has: page.locator(".order_name", { hasText: new RegExp(`^${name}$`) }) });
const found = (page) => page.locator(".block").innerText();
const text_of = async (name) => {
  const text = await (await fetch(new URL(`/api/drives/${name}/text`, server.url))).text();
  return text.startsWith("{") ? JSON.parse(text).text : text;
};

async function opened(name, size = sizes.desk, more = {}) {
  const page = await opened_page(browser, size, { serviceWorkers: "block", ...more });
  await page.goto(`${server.url}#/drive/${name}/author`);
  await page.waitForSelector(".author_order button");
  return page;
}

test("a step is taken out, the lint says what it was for, and it is put back", async () => {
  const page = await opened(kBase);
  const before = await found(page);
  await row(page, "Confirm the marks").click();
  await holds(async () => assert.match(await page.locator(".author_states").innerText(), /new: bank 1: marks confirmed/i));
  await page.getByRole("button", { name: "Remove this step" }).click();
  await until(async () => (await row(page, "Confirm the marks").count()) === 0, "taken out");
  await until(async () => /mistake/.test(await row(page, "Let the camshafts go").innerText()), "found");
  await row(page, "Let the camshafts go").click();
  await holds(async () => assert.match(await page.locator(".step_seen .findings").innerText(), /needs “?"?bank 1: marks confirmed/));
  assert.deepEqual(await axe_violations(page), []);
  await page.getByRole("button", { name: "Put the last change back" }).click();
  await until(async () => (await row(page, "Confirm the marks").count()) === 1, "put back");
  await until(async () => (await found(page)) === before, "nothing more is found than before");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a wrong unit is caught in its step, a text that cannot be read too", async () => {
  const page = await opened(kBase);
  await row(page, "Draw the caps down evenly").click();
  const lines = page.getByLabel("Lines of this step");
  const right = await lines.inputValue();
  await lines.fill(right.replace("torque: 12 N·m", "torque: 12 lbf·ft"));
  await until(async () => /mistake/.test(await row(page, "Draw the caps down evenly").innerText()), "the other unit is found");
  await holds(async () => assert.match(await page.locator(".step_seen .findings").innerText(), /its own figures say 12 N·m/));
  await lines.fill(right.replace("torque: 12 N·m", "torque: 12 Nmm"));
  await until(async () => /cannot be read/.test(await page.locator("main").innerText()), "unreadable");
  await holds(async () => assert.match(await row(page, "Draw the caps down evenly").innerText(), /1 mistake/));
  assert.ok(await page.getByRole("button", { name: "Save", exact: true }).isDisabled());
  await lines.fill(right);
  await until(async () => !/mistake/.test(await row(page, "Draw the caps down evenly").innerText()), "right again");
  await page.context().close();
});

test("a step is moved, and the order that breaks is said", async () => {
  const page = await opened(kBase);
  await row(page, "Confirm the marks").click();
  await page.getByRole("button", { name: "Move down" }).click();
  await until(async () => /mistake/.test(await row(page, "Let the camshafts go").innerText()), "it stands too early now");
  await page.getByRole("button", { name: "Move up" }).click();
  await until(async () => !/mistake/.test(await row(page, "Let the camshafts go").innerText()), "in order again");
  await page.context().close();
});

test("a step is added to a variant and saved with it", async () => {
  const page = await opened(kTall);
  await holds(async () => assert.match(await row(page, "Hand over").innerText(), /taken over/));
  await row(page, "Prove the marks").click();
  await page.getByText("Add a step").click();
  await page.getByLabel("Name of the step").fill("Look at the deflector");
  await page.getByLabel("What is done, in one or two sentences").fill("Nothing touches it.");
  await page.getByRole("combobox", { name: "Must hold before" }).selectOption("marks proven");
  await page.getByLabel("In words of your own").fill("deflector seen");
  await page.getByRole("button", { name: "Take it" }).click();
  await page.getByRole("button", { name: "Add this step" }).click();
  await until(async () => (await row(page, "Look at the deflector").count()) === 1, "added");
  const names = await page.locator(".order_name").allInnerTexts();
  assert.equal(names.indexOf("Look at the deflector"), names.indexOf("Prove the marks") + 1);
  await until(async () => /warning/.test(await row(page, "Look at the deflector").innerText()), "nobody would miss it, and that is said");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByRole("button", { name: /Press again/ }).click();
  await until(async () => (await text_of(kTall)).includes("name: Look at the deflector"), "saved");
  await holds(async () => assert.match(await text_of(kTall), /after: Prove the marks/));
  await page.context().close();
});

test("what a variant takes over is changed here, or removed by its name", async () => {
  const page = await opened(kTall);
  await row(page, "Hand over").click();
  await page.getByRole("button", { name: "Change something of it here" }).click();
  await until(async () => (await page.getByLabel("Lines of this step").inputValue()).includes("- name: Hand over"), "its lines");
  await page.getByRole("button", { name: "Put the last change back" }).click();
  await row(page, "Record before").click();
  await page.getByRole("button", { name: "Remove this step" }).click();
  await until(async () => (await row(page, "Record before").count()) === 0, "removed");
  await page.getByRole("button", { name: "Put the last change back" }).click();
  await until(async () => (await row(page, "Record before").count()) === 1, "put back");
  await page.context().close();
});

test("two of a family lie side by side; what differs is said in words", async () => {
  const page = await opened_page(browser, sizes.desk, { serviceWorkers: "block" });
  await page.goto(`${server.url}#/drive/${kBase}`);
  await page.getByRole("link", { name: "Beside another drive" }).click();
  await page.getByRole("combobox", { name: "Beside" }).selectOption(kTall);
  await page.waitForSelector(".beside");
  const family = await page.locator('optgroup[label="Of the same family"] option').allInnerTexts();
  assert.deepEqual(family.length, 1);
  const links = page.getByRole("row", { name: /bank 1 chain: links all round/ });
  await holds(async () => assert.match(await links.innerText(), /124[\s\S]*126[\s\S]*differs/));
  await holds(async () => assert.match(await page.getByRole("row", { name: /^Fit the oil deflector/ }).innerText(), /not in the definition/));
  await holds(async () => assert.equal(await page.getByRole("row", { name: /phaser bolt: thread/ }).count(), 0));
  await page.getByRole("checkbox").check();
  await page.getByRole("row", { name: /phaser bolt: thread/ }).waitFor();
  assert.deepEqual(await axe_violations(page), []);
  await page.context().close();
});

test("both fit every screen, in German too", async () => {
  for (const [size, locale] of [[sizes.phone, "de-DE"], [sizes.upright, "en-GB"], [sizes.desk, "de-DE"]]) {
    const page = await opened(kTall, size, { locale });
    await row(page, locale === "de-DE" ? "Hand over|Übergeben" : "Hand over").first().click().catch(() => undefined);
    await page.locator("details.card summary").click();
    assert.deepEqual(await overflowing(page), []);
    assert.deepEqual(await too_small(page), []);
    await page.goto(`${server.url}#/drive/${kBase}/beside?with=${kTall}`);
    await page.waitForSelector(".beside");
    assert.deepEqual(await overflowing(page), []);
    assert.deepEqual(await too_small(page), []);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  }
});
