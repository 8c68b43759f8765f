// SPDX-License-Identifier: Apache-2.0
// The list of parts of a case, a box opened, and sets against engines.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, too_small, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const at = `${server.url}#/practice/case/vessgarth-bay-3/work?see=parts`;

async function opened(size, to = at, ready = ".parts_table") {
  const page = await opened_page(browser, size, { serviceWorkers: "block" });
  await page.goto(to);
  await page.waitForSelector(ready);
  return page;
}

async function boxes() {
  const { case: one } = await call(server, "GET", "/practice/api/cases/vessgarth-bay-3");
  return one.entries.filter((entry) => entry.action === "in the box");
}

test("each row says how many, of which bank, from which set and why", async () => {
  const page = await opened(sizes.desk);
  const row = page.getByRole("row").filter({ hasText: "phaser bolt" }).first();
  await holds(async () => assert.match(await row.innerText(), /1\s+phaser bolt\s+to order\s+1\s+in no set: order apart\s+The chain or the bolt was off/));
  await holds(async () => assert.match(await page.getByRole("row").filter({ hasText: "tensioner of bank 2 with gasket" }).first().innerText(), /bank 2 chain set/));
  await holds(async () => assert.match(await page.locator(".parts_lines").filter({ hasText: "oil pump" }).innerText(), /pressure at the main gallery/));
  assert.deepEqual(await axe_violations(page), []);
  await page.context().close();
});

test("a box is ticked piece by piece, old beside new, and one entry is made", async () => {
  const page = await opened(sizes.phone);
  const box = page.locator(".set_box").filter({ hasText: "bank 2 chain set" });
  await box.getByRole("button", { name: "The box is opened" }).click();
  assert.ok(await box.getByRole("button", { name: "Enter what was found" }).isDisabled());
  await box.getByRole("checkbox", { name: "chain of 124 links" }).check();
  await box.getByRole("checkbox", { name: "fixed guide" }).check();
  await box.getByRole("textbox", { name: "Edition on the box" }).fill("B");
  await box.getByLabel("Date on the box").fill("2026-01-15");
  await box.getByRole("group", { name: "Links" }).getByRole("button", { name: "alike" }).click();
  await box.getByRole("group", { name: "Plunger side" }).getByRole("button", { name: "differs" }).click();
  assert.deepEqual([await overflowing(page), await too_small(page)], [[], []]);
  await page.reload(); // what is ticked and not entered stays on the device
  await page.waitForSelector(".set_box");
  await box.getByRole("button", { name: "The box is opened" }).click();
  await box.getByRole("button", { name: "Enter what was found" }).click();
  await until(async () => (await boxes()).length === 1, "entered");
  const [entry] = await boxes();
  assert.deepEqual(
    [entry.part, entry.bank, entry.edition, entry.date, entry.found, entry.beside_old, entry.differs],
    ["bank 2 chain set", 2, "B", "2026-01-15", ["chain of 124 links", "fixed guide"], ["links"], ["plunger side"]]);
  await page.getByText("New and old differ: plunger side").waitFor();
  await page.getByText("Not in the box: tensioner of bank 2 with gasket, tensioner arm").waitFor();
  await page.context().close();
});

test("old beside new is pressed upright too, in the table and in the box", async () => {
  const page = await opened(sizes.upright);
  await page.getByText("Lay old beside new").first().click();
  await page.locator(".set_box").getByRole("button", { name: "The box is opened" }).last().click();
  assert.deepEqual([await overflowing(page), await too_small(page)], [[], []]);
  const wide = await page.getByRole("button", { name: "Enter what was found" }).evaluateAll((all) => all.map((one) => one.getBoundingClientRect()).filter((box) => box.height > 0).map((box) => box.width));
  assert.ok(wide.length === 2 && wide.every((one) => one > 150), String(wide));
  await page.context().close();
});

test("on paper it is the list, not the procedure", async () => {
  const page = await opened(sizes.desk);
  await page.emulateMedia({ media: "print" });
  await holds(async () => assert.ok(await page.locator(".parts_table").isVisible()));
  await holds(async () => assert.ok(!(await page.locator(".paper").isVisible())));
  await page.context().close();
});

test("sets against engines are reached from the drives, with their gaps", async () => {
  const page = await opened(sizes.upright, `${server.url}#/drives`, ".library");
  await page.getByRole("link", { name: /Sets against engines/ }).click();
  await page.waitForSelector(".coverage");
  const row = page.getByRole("row").filter({ hasText: "chain of 126 links" }).first();
  await holds(async () => assert.match(await row.innerText(), /bank 1 chain set/));
  await page.getByRole("button", { name: "Only parts with gaps" }).click();
  await holds(async () => assert.equal(await page.getByRole("row").filter({ hasText: "chain of 126 links" }).count(), 0));
  await holds(async () => assert.ok((await page.locator("td.gap").count()) > 3));
  assert.equal(await page.getByText("This may be old").count(), 0);
  await page.context().setOffline(true);
  await page.getByText("This may be old").waitFor();
  await page.context().setOffline(false);
  await page.getByText("This may be old").waitFor({ state: "hidden" });
  assert.deepEqual(await axe_violations(page), []);
  await page.context().close();
});
