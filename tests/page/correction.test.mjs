// SPDX-License-Identifier: Apache-2.0
// A reading is corrected on the number pad it was entered with; two drives of a family are told apart.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, too_small, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const kPlace = "bank 1 / camshaft / journal 2";

async function new_case(name, ...entries) {
  await call(server, "POST", "/api/cases", { name, drive: "vessgarth-v6-12" });
  for (const entry of entries) await call(server, "POST", `/api/cases/${name}/entries`, { key: crypto.randomUUID(), entry: { kind: "reading", ...entry } });
  return (await call(server, "GET", `/api/cases/${name}`)).case.entries;
}

const entries_of = async (name) => (await call(server, "GET", `/api/cases/${name}`)).case.entries;

test("a reading is corrected on the number pad, with all that was told of it", { timeout: 60000 }, async () => {
  const [first, many, blades] = await new_case(
    "corrected",
    { quantity: "journal diameter", place: kPlace, direction: "horizontal", values: "27.69 mm", instrument: "micrometer 0.001", remark: "oily" },
    { quantity: "bore diameter", place: kPlace, values: "28.031 28.310 28.032 mm", instrument: "bore gauge", cap: "torqued" },
    { quantity: "end play", place: "bank 1 / camshaft", passes: "0.10 mm", stops: "0.15 mm", instrument: "feeler blades" },
  );
  const page = await opened_page(browser, sizes.phone, { serviceWorkers: "block" });
  await page.goto(`${server.url}#/enter/corrected/reading?correct=${first.id}`);
  await page.waitForSelector("text=It was 27.69 mm.");
  assert.deepEqual(await overflowing(page), []);
  assert.deepEqual(await too_small(page), []);
  assert.deepEqual(await axe_violations(page), []);
  for (const digit of "27969") await page.keyboard.press(digit);
  await page.getByRole("button", { name: "Enter it", exact: true }).click();
  await until(async () => (await entries_of("corrected")).length === 4, () => page.textContent("main"));
  const { id: _id, at: _at, by: _by, ...now } = (await entries_of("corrected")).at(-1);
  assert.deepEqual(now, {
    kind: "reading", quantity: "journal diameter", place: kPlace, direction: "horizontal", values: "27.969 mm", instrument: "micrometer 0.001",
    remark: "oily", replaces: first.id,
  });
  // Of several values the wrong one is taken away.
  await page.goto(`${server.url}#/enter/corrected/reading?correct=${many.id}`);
  await page.waitForSelector("text=It was 28.031 28.310 28.032 mm.");
  await page.getByRole("button", { name: /28\.310/ }).click();
  await page.getByRole("button", { name: "Enter it", exact: true }).click();
  await until(async () => (await entries_of("corrected")).length === 5, () => page.textContent("main"));
  const bore = (await entries_of("corrected")).at(-1);
  assert.equal(bore.values, "28.031 28.032 mm");
  assert.equal(bore.cap, "torqued");
  // Blades have no place on the pad: their form.
  await page.goto(`${server.url}#/enter/corrected/reading?correct=${blades.id}`);
  await page.waitForSelector("form.entry");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

for (const size of ["phone", "desk"])
  test(`two drives of a family are told apart: ${size}`, { timeout: 60000 }, async () => {
    const page = await opened_page(browser, sizes[size], { serviceWorkers: "block" });
    await page.goto(`${server.url}#/drive/vessgarth-v6-12?with=vessgarth-v6-12-tall`);
    await page.waitForSelector(".compared .drawing >> nth=1");
    await page.waitForSelector("text=The same in both");
    const rows = await page.locator(".differences tbody tr").allTextContents();
    const bites = await page.locator(".differences tbody tr.bites").count();
    assert.ok(bites > 0 && rows.slice(0, bites).every((row) => /off|fit|how to see/.test(row)), rows.slice(0, bites).join("\n"));
    assert.match(rows[0], /^told by/, "how to see which of the two it is comes first");
    assert.ok(rows.some((row) => row.includes("124 links") && row.includes("126 links")));
    const drawn = () => page.evaluate(() => [...document.querySelectorAll(".compared .drawing")].filter((one) => one.shadowRoot?.querySelector("svg")).length);
    await until(async () => (await drawn()) === 2, "both drawings");
    await holds(async () => assert.match(await page.textContent("main"), /bank 1 chain: tensioner stands outboard/));
    assert.deepEqual(await overflowing(page), []);
    assert.deepEqual(await too_small(page), []);
    assert.deepEqual(await axe_violations(page), []);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  });
