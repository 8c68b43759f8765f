// SPDX-License-Identifier: Apache-2.0
// May I turn it: the card of the stages, where it stands, the positive stop and the dial indicator,
// typed on the page's own pad; and the gaps of a definition.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, sized, too_small, until, words_at } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const kCam = "bank 1 / intake camshaft";

async function new_case(name, drive) {
  await call(server, "POST", "/api/cases", { name, ...(drive ? { drive } : {}) });
}

async function opened(at, size = sizes.desk) {
  const page = await opened_page(browser, size, { serviceWorkers: "block" });
  await page.goto(`${server.url}${at}`);
  return page;
}

// Key by key, as a glove does it.
async function tap(page, number) {
  const pad = page.getByRole("group", { name: "Number pad" });
  for (const key of String(number)) await pad.getByRole("button", { name: key === "." ? "Decimal point" : key, exact: true }).click();
}

const press = (page, name) => page.getByRole("button", { name, exact: true }).click();
const pick = (page, group, name) => page.getByRole("group", { name: group }).getByRole("button", { name, exact: true }).click();

async function entered(page, name) {
  await page.click("form.entry button.main[type=submit]");
  await page.click(".read-back button.main");
  await page.waitForFunction(() => location.hash.startsWith("#/case/"));
  let last;
  await until(async () => (last = (await call(server, "GET", `/api/cases/${name}`)).case.entries?.at(-1)), "the entry");
  return last;
}

test("without data the answer is DO NOT TURN, with the procedure, its cautions and no number", async () => {
  await new_case("thin", "vessgarth-v6-12");
  const page = await opened("#/case/thin/open");
  await holds(async () => assert.match(await words_at(page, ".cl_card"), /every follower out/));
  const words = await words_at(page, ".cl_card");
  assert.match(await words_at(page, ".turning .answer"), /^DO NOT TURN$/);
  assert.match(words, /never on the starter[\s\S]*The engine maker's current data/);
  assert.doesNotMatch(words, /TURN ONLY|\d mm/);
  assert.match(words, /soft clay/);
  for (const stage of ["measure", "assemble", "prove"]) {
    await page.goto(`${server.url}#/case/thin/${stage}`);
    await page.waitForSelector(".cl_card");
    await holds(async () => assert.match(await words_at(page, ".turning .answer"), /^DO NOT TURN$/));
  }
  for (const stage of ["complaint", "decide", "hand-over"]) {
    await page.goto(`${server.url}#/case/thin/${stage}`);
    await page.waitForSelector(".now");
    assert.equal(await page.locator(".cl_card").count(), 0);
  }
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("where it stands begins as unknown, and is an entry", async () => {
  await new_case("stands", "quellmere-i4-16");
  const page = await opened("#/case/stands/open");
  // Before the state is entered that is what the card leads to first.
  await holds(async () => assert.match(await words_at(page, ".cl_card nav a.main"), /^Enter the state/));
  await page.getByRole("link", { name: "Enter where it stands" }).click();
  await page.waitForSelector("form.entry");
  assert.equal(await page.locator('form.entry fieldset [aria-pressed="true"]').count(), 0);
  await tap(page, "75");
  await press(page, "Next: how sure");
  await tap(page, "1");
  await press(page, "Done");
  const choose = (field, value) => page.locator(`fieldset[name="entry/${field}"] button[value="${value}"]`).click();
  await choose("after", "firing");
  await choose("crank_proof", "positive stop");
  const cam = page.locator(`fieldset[name="${kCam}"]`);
  await cam.getByRole("button", { name: "late", exact: true }).click();
  assert.match(await cam.innerText(), /how many teeth is not said/);
  // Late without teeth is not dropped in silence: it is refused, and it stands again after leaving.
  const wrong = page.locator("form.entry > .wrong");
  await page.click("form.entry button.main[type=submit]");
  assert.match(await wrong.innerText(), /intake camshaft: late, but by how many teeth is not said/);
  await page.reload();
  assert.equal(await cam.getByRole("button", { name: "late", exact: true }).getAttribute("aria-pressed"), "true");
  await cam.getByRole("button", { name: "2", exact: true }).click();
  await page.locator(".cl_box", { hasText: "Should stand" }).click();
  await tap(page, "721");
  await page.click("form.entry button.main[type=submit]");
  const refused = await wrong.allInnerTexts();
  assert.ok(refused.some((says) => /more than two turns/.test(says)) && refused.some((says) => /which top dead center/.test(says)), refused.join("; "));
  await page.getByRole("button", { name: "Clear", exact: true }).click();
  await choose("since_jump", "not turned");
  await choose("surfaced", "no");
  const entry = await entered(page, "stands");
  const { kind, crank, after, crank_proof, camshafts, since_jump, surfaced, adjusters, wanted } = entry;
  assert.deepEqual({ kind, crank, after, crank_proof, camshafts, since_jump, surfaced, adjusters, wanted }, {
    kind: "standing", crank: "75 ± 1 deg crank", after: "firing", crank_proof: "positive stop",
    camshafts: [{ at: kCam, stands: "2 teeth late" }], since_jump: "not turned", surfaced: false, adjusters: undefined, wanted: undefined,
  });
  await page.goto(`${server.url}#/case/stands/open`);
  // Half of it is not known: it forbids.
  await holds(async () => assert.match(await words_at(page, ".turning .answer"), /^DO NOT TURN$/));
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

// trade.md 7, question 16: 24.5 before, 22.1 after.
test("the stop says what the wheel reads at true top and what both sides are set to", async () => {
  await new_case("stop", "quellmere-i4-16");
  const page = await opened("#/enter/stop/stop", sizes.upright);
  await page.waitForSelector("form.entry");
  await tap(page, "24.5");
  await press(page, "Next: after zero");
  await tap(page, "22.1");
  await holds(async () => assert.match(await words_at(page, '[data-name="wheel_reads"]'), /^1\.2° before/));
  assert.match(await words_at(page, '[data-name="set_to"]'), /^23\.3°/);
  assert.match(await page.locator(".cl_dial").getAttribute("aria-label"), /24\.5° before zero and 22\.1° after it\. true top: 1\.2° before/);
  const entry = await entered(page, "stop");
  assert.deepEqual([entry.kind, entry.before, entry.after], ["stop", "24.5 deg crank", "22.1 deg crank"]);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

// trade.md 6.B: pairs at 6.00 mm; center line 122.5.
test("pairs of equal lift are typed on the pad and give the center line at once", async () => {
  await new_case("pairs", "quellmere-i4-16");
  const page = await opened("#/enter/pairs/indicator");
  await page.locator(`fieldset[name="entry/place"] button[value="${kCam}"]`).click();
  for (const [opens, closes] of [["70.6", "174.4"], ["70.4", "174.5"], ["70.7", "174.4"]]) {
    for (const number of ["6.00", opens, closes]) {
      await tap(page, number);
      await page.locator(".cl_next").click();
    }
  }
  await holds(async () => assert.match(await words_at(page, '[data-name="center"]'), /^122\.5° wanted 122\.0°/));
  await holds(async () => assert.match(await words_at(page, '[data-name="early"]'), /^0\.5° late/));
  assert.equal(await page.locator(".cl_plot circle").count(), 6);
  const entry = await entered(page, "pairs");
  assert.deepEqual([entry.kind, entry.place, entry.pairs.length], ["indicator", kCam, 3]);
  assert.equal(entry.half, undefined);
  assert.deepEqual(entry.pairs[0], { lift: "6.00 mm", opens: "70.6 deg crank", closes: "174.4 deg crank" });
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a table needs only its lifts once the angles go in even steps; before top is a word", async () => {
  await new_case("table", "quellmere-i4-16");
  const page = await opened("#/enter/table/indicator");
  await page.locator(`fieldset[name="entry/place"] button[value="${kCam}"]`).click();
  await pick(page, "How it is read", "lift angle by angle");
  for (const [angle, lift] of [["10", "0.05"], ["5", "0.11"]]) {
    await tap(page, angle);
    await press(page, "before top");
    await page.locator(".cl_next").click();
    await tap(page, lift);
    await page.locator(".cl_next").click();
  }
  for (const lift of ["0.23", "0.42", "0.68", "0.99"]) {
    await tap(page, lift);
    await page.locator(".cl_next").click();
  }
  const cells = await page.locator(".cl_rows .cl_cell").allInnerTexts();
  assert.deepEqual(cells.slice(0, 8), ["10° before", "0.05 mm", "5° before", "0.11 mm", "0°", "0.23 mm", "5° after", "0.42 mm"]);
  const entry = await entered(page, "table");
  assert.deepEqual(entry.table.map((one) => one.at), ["-10 deg crank", "-5 deg crank", "0 deg crank", "5 deg crank", "10 deg crank", "15 deg crank"]);
  await page.context().close();
});

// trade.md 6.B: intake right, locked 5.02; one tooth early at full advance -0.64.
test("the gap table shows the figures, contact by its word", async () => {
  await new_case("gaps", "quellmere-i4-16");
  const page = await opened("#/case/gaps/open");
  await page.locator(".cl_figures_of summary").click();
  const row = (name) => page.locator(".cl_gaps").first().locator("tr", { has: page.locator("th", { hasText: new RegExp(`^${name}$`) }) });
  await holds(async () => assert.match(await row("right").innerText(), /5\.02 mm, no contact expected/));
  const early = row("1 tooth early").locator("td");
  assert.equal(await early.nth(1).innerText(), "contact by 0.64 mm");
  assert.equal(await early.nth(1).getAttribute("class"), "touches");
  await early.nth(1).getByRole("button").click();
  await page.locator(".cl_drawing svg").first().waitFor();
  await page.locator("summary", { hasText: "Map of the gaps" }).first().click();
  await until(async () => (await page.locator(".cl_drawing svg").count()) === 2, "section and map");
  const words = await words_at(page, ".cl_card");
  assert.doesNotMatch(words, /\bsafe\b|TURN ONLY| [-−]\d/);
  assert.match(words, /Never on the starter/);
  await page.context().close();
});

// All that src/judge/way_answer.h asks for, of an invented engine.
const kLocked = { phaser: "locked", phaser_checked_how: "does not move by hand, both ways" };
const kWay = [
  { kind: "stop", cylinder: 1, before: "24.5 deg crank", after: "24.5 deg crank", reading: "0.5 deg crank", stop: "0.05 mm", pressed_up: true, wheel_set: true },
  { kind: "state", apart: "partly", turned: "by hand in running direction", chain: "off", pin: "in", ...kLocked, valves: "worked by camshafts", resistance: false, dropped: false },
  {
    kind: "standing", crank: "75 ± 1 deg crank", after: "firing", crank_proof: "positive stop",
    camshafts: [["intake", "1 tooth late"], ["exhaust", "right"]].map(([name, stands]) => ({ at: `bank 1 / ${name} camshaft`, stands, within: "1 deg crank", ...kLocked })),
    wanted: "0 deg crank", wanted_after: "firing", since_jump: "turned by hand", adjusters: "solid", surfaced: false, other_parts: false, in_cylinders: false,
  },
];

test("with everything known the moves stand in their order, each with its gap; anything entered takes them back", async () => {
  await new_case("way", "quellmere-i4-16");
  for (const entry of kWay) await call(server, "POST", "/api/cases/way/entries", { entry });
  const page = await opened("#/case/way/open");
  await holds(async () => assert.match(await words_at(page, ".turning .answer"), /^TURN ONLY by hand, these moves/));
  const moves = await page.locator(".turning .moves li").allInnerTexts();
  assert.ok(moves.length > 1, moves.join("; "));
  for (const move of moves) assert.match(move, /turn .* running direction[\s\S]*no contact expected, at least \d+\.\d\d mm, while .* held/i);
  const answer = await words_at(page, ".turning");
  assert.match(answer, /Never on the starter/);
  assert.doesNotMatch(answer, /\bsafe\b/i);
  // Said once: the card below neither repeats nor contradicts it.
  const card = await words_at(page, ".cl_card");
  assert.doesNotMatch(card, /\bsafe\b|\bpass\b|DO NOT TURN|TURN ONLY|held/i);
  await call(server, "POST", "/api/cases/way/entries", { entry: { kind: "step", step: "chain laid on" } });
  await holds(async () => assert.match(await words_at(page, ".turning .answer"), /^DO NOT TURN$/));
  assert.equal(await page.locator(".turning .moves li").count(), 0);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("lost link: the way is withheld", async () => {
  await new_case("lost", "quellmere-i4-16");
  const page = await opened("#/case/lost/open");
  await page.waitForSelector(".cl_card .cl_figures_of");
  await server.stop();
  await holds(async () => assert.match(await words_at(page, ".cl_card"), /No answer of the program is in force/));
  assert.match(await words_at(page, ".turning .answer"), /^DO NOT TURN$/);
  await server.start();
  await page.context().close();
});

test("every screen fits, can be pressed with a glove and read, in both languages", async () => {
  await new_case("fits", "quellmere-i4-16");
  const opened_up = async (page, at) => {
    await page.waitForSelector(at.includes("case") ? ".cl_figures_of" : at.includes("drive") ? "details" : "form.entry");
    if (at.includes("enter")) return;
    const folded = at.includes("case") ? page.locator(".cl_figures_of > summary") : page.locator("summary", { hasText: /Gaps of the valves|Abstände der Ventile/ });
    await folded.click();
    await page.waitForSelector(".cl_gaps");
  };
  for (const at of ["#/case/fits/open", "#/enter/fits/standing", "#/enter/fits/stop", "#/enter/fits/indicator", "#/drive/quellmere-i4-16"]) {
    const page = await opened(at);
    await opened_up(page, at);
    for (const size of ["phone", "upright", "tablet", "desk"]) {
      await sized(page, size);
      assert.deepEqual(await overflowing(page), [], `${at} ${size}`);
      assert.deepEqual(await too_small(page), [], `${at} ${size}`);
    }
    assert.deepEqual(await axe_violations(page), [], at);
    await page.evaluate(() => localStorage.setItem("tautmark.language", "de"));
    await page.reload();
    await opened_up(page, at);
    await sized(page, "phone", true);
    assert.deepEqual(await overflowing(page), [], `${at} German`);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  }
});
