// SPDX-License-Identifier: Apache-2.0
// The work as it is lived, on the real program: the engine that jumped, from its first step to the
// hand-over, with what is refused on the way; the phone that rings in the middle of a bolt; an
// engine whose definition has no procedure. Steps between are entered over the API.
import assert from "node:assert/strict";
import { test } from "node:test";

import { axe_violations, call, holds, in_a_browser, opened_page, overflowing, sizes, too_small, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const kStrands = [["bank 1 / exhaust camshaft", "crank", 61], ["crank", "bank 1 / intake camshaft", 61], ["bank 1 / intake camshaft", "bank 1 / exhaust camshaft", 16]];

async function new_case(name, drive = "quellmere-i4-16") {
  await call(server, "POST", "/api/cases", { name, drive, title: `${name}: no power after a rattle` });
  const add = (entry) => call(server, "POST", `/api/cases/${name}/entries`, { entry: { by: "A.", ...entry } });
  const work = () => call(server, "GET", `/api/cases/${name}/work`);
  const file = async (photo) => {
    await fetch(new URL(`/api/cases/${name}/files?name=${photo}`, server.url), { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: "jpg" });
    return (await add({ kind: "attachment", file: photo })).entry.id;
  };
  const marks = () => add({ kind: "marks", chain: "timing chain", counted: "pitches", strands: kStrands.map(([from, to, links]) => ({ from, to, links })) });
  const pressure = () => add({ kind: "pressure", place: "main gallery", values: "300 kPa", rise: "4 s" });
  const recording = () => add({ kind: "scan", place: "bank 1 / intake camshaft", commanded: "0 deg crank", sd: "0.2 deg crank", count: 10 });
  const extension = () => add({ kind: "reading", quantity: "tensioner extension", place: "timing chain / tensioner", values: "4.1 mm" });
  const is_given = (step, fact) => (step.gives ?? []).some((one) => one.endsWith(fact));
  const read_for = (step) => (is_given(step, "oil primed") ? pressure : is_given(step, "recorded before") || is_given(step, "recorded after") ? recording : is_given(step, "extension read") ? extension : marks);
  const state = (more = {}) => add({ kind: "state", apart: "partly", turned: "no", chain: "on", pin: "out", phaser: "locked", phaser_checked_how: "does not move by hand, both ways", valves: "worked by camshafts", resistance: false, dropped: false, ...more });
  // Every step up to this one, with what its gate wants.
  const up_to = async (last) => {
    for (const step of (await work()).procedure.steps) {
      if (step.name === last) return;
      if (step.status !== "to do") continue;
      if (step.name === "Take the crank sprocket off") await add({ kind: "part", part: "crank sprocket", action: "rejected", reason: "burrs" });
      const shown = step.gate === "photo" ? [await file(`${step.number}.jpg`)] : step.gate === "reading" ? [(await read_for(step)()).entry.id] : undefined;
      await add({ kind: "step", step: step.name, ...(shown ? { shown_by: shown } : {}), ...(step.gate === "second name" ? { second_name: "Will" } : {}) });
    }
  };
  const steps = async () => (await call(server, "GET", `/api/cases/${name}`)).case.entries.filter((one) => one.kind === "step");
  const last = async () => (await steps()).at(-1);
  const at = (step) => `${server.url}#/case/${name}/work${step ? `?step=${encodeURIComponent(step)}` : ""}`;
  return { name, add, work, marks, state, up_to, steps, last, at };
}

async function opened(of, step, size = sizes.phone, more = {}) {
  const page = await opened_page(browser, size, { serviceWorkers: "block", hasTouch: true, ...more });
  await shown(page, of, step);
  return page;
}

async function shown(page, of, step, is_left = false) {
  if (is_left) await page.goto("about:blank");
  await page.goto(of.at(step));
  await in_force(page);
}

const in_force = (page) => page.waitForFunction(() => document.querySelector(".step_head > h2") && !document.querySelector(".strip .wrong"));
const title = (page) => page.locator(".step_head > h2").innerText();
const done = (page) => page.getByRole("button", { name: "Done", exact: true });
const why_not = (page) => page.locator("#why_not").innerText();
async function on_step(page, name) {
  await until(async () => (await title(page)) === name, async () => `${name}, not ${await title(page)}`);
  await in_force(page);
}

test("from the first step to the hand-over, and three things that are refused", { timeout: 120000 }, async () => {
  const of = await new_case("jumped");
  const page = await opened(of);
  await on_step(page, "Identify the engine and read its codes");
  await done(page).tap();
  await on_step(page, "Measure the oil pressure");
  assert.equal(await page.evaluate(() => scrollY), 0);

  // Its gate leads to the form and comes back with the entry that was made there.
  assert.ok(await done(page).isDisabled());
  await page.getByRole("link", { name: "Enter: Oil pressure" }).tap();
  await page.getByRole("button", { name: "main gallery" }).tap();
  for (const key of ["9", "5"]) await page.getByRole("button", { name: key, exact: true }).tap();
  await page.getByRole("button", { name: /^Read back|^Check/ }).tap();
  await page.getByRole("button", { name: "Enter it" }).tap();
  await on_step(page, "Measure the oil pressure");
  await until(() => page.locator(".shows input").first().isChecked(), "the entry is chosen");
  await until(() => done(page).isEnabled(), () => why_not(page));
  await done(page).tap();
  await on_step(page, "Record before");
  const [, pressure] = await of.steps();
  assert.equal(pressure.shown_by?.length, 1);

  // Entered by mistake: what was last is taken back with two taps, and stays on record.
  await page.locator(".last_step button").tap();
  await page.locator(".last_step button").tap();
  await on_step(page, "Measure the oil pressure");
  await holds(async () => assert.equal((await call(server, "GET", "/api/cases/jumped")).case.entries.at(-1).replaces, pressure.id));

  await page.goto("about:blank"); // not asked anew for every entry
  await of.up_to("Record before");
  for (const [step, lacks] of [["Pull the pin", /marks confirmed/], ["Tighten the phaser bolts", /camshaft held/], ["Close the covers", /two turns by hand done/]]) {
    await shown(page, of, step);
    await on_step(page, step);
    assert.ok(await done(page).isDisabled(), step);
    await holds(async () => assert.match(await page.locator(".blocked").innerText(), lacks));
    assert.equal(await page.locator(".bolt:enabled, .ticking").count(), 0); // read, and not begun
  }
  await shown(page, of, "Pull the pin");
  await on_step(page, "Pull the pin");
  await page.getByRole("link", { name: /^Step \d+: Confirm the marks$/ }).tap();
  await on_step(page, "Confirm the marks");
  assert.deepEqual([await overflowing(page), await too_small(page), await axe_violations(page)], [[], [], []]);

  // Through a turn: the program's answer first, what it wants one tap away, and back.
  await page.goto("about:blank");
  await of.up_to("Turn to the reference");
  await shown(page, of);
  await on_step(page, "Turn to the reference");
  assert.equal(await page.locator(".turning .answer").innerText(), "DO NOT TURN");
  assert.ok(await done(page).isDisabled());
  await page.getByRole("link", { name: "1. Enter the state as it is now" }).tap();
  await page.waitForSelector("form.entry");
  assert.equal(await page.locator('[aria-pressed="true"]').count(), 0); // nothing is chosen beforehand
  await page.locator("a.back").tap();
  await on_step(page, "Turn to the reference");
  await of.state();
  await of.marks();
  await page.waitForSelector(".turning.allows");
  await done(page).tap();
  await on_step(page, "Count the links");

  await page.goto("about:blank");
  await of.up_to("Hand over");
  await shown(page, of);
  await on_step(page, "Hand over");
  await page.getByLabel("The second person types their own name").fill("bay 3");
  assert.ok(await done(page).isDisabled());
  await page.getByLabel("The second person types their own name").fill("Will");
  await done(page).tap();
  await page.waitForSelector("text=Every step of the procedure is entered.");
  assert.deepEqual((await of.work()).procedure.open, []);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a phone rings in the middle of a bolt; a second pair of eyes; against a condition; late", { timeout: 90000 }, async () => {
  const of = await new_case("rung");
  await of.up_to("Tighten the phaser bolts");
  const page = await opened(of, undefined, sizes.tablet);
  await on_step(page, "Tighten the phaser bolts");
  const bolt = (n) => page.getByRole("button", { name: `bolt ${n}`, exact: true });
  await holds(async () => assert.match(await page.locator(".targets .leads").innerText(), /35\s*newton meters/));
  await holds(async () => assert.match(await page.locator(".targets").innerText(), /25.8\s*pound-force feet/));
  for (const n of [2, 1]) await bolt(n).tap(); // without a pattern any may be next
  await holds(async () => assert.match(await page.locator(".angle_number").innerText(), /75°/)); // the second pass came by itself
  await bolt(1).tap();
  await holds(async () => assert.match(await page.locator(".ticking [role=status]").innerText(), /1 of 2/));

  // Left and come back to: nothing goes on before it is answered, and what follows is said.
  await shown(page, of, undefined, true);
  await on_step(page, "Tighten the phaser bolts");
  await holds(async () => assert.match(await page.locator(".returned").innerText(), /Done, or interrupted\?[^]*new bolt, from the first step on/));
  assert.equal(await page.locator(".ticking, .does_step").count(), 0);
  assert.deepEqual([await overflowing(page), await too_small(page), await axe_violations(page)], [[], [], []]);
  await page.getByRole("button", { name: "The 1 ticked are done" }).tap();
  // Interrupted while it is in sight: the same question first.
  for (const says of ["Interrupted", "Sure? Press again"]) await page.getByRole("button", { name: says, exact: true }).tap();
  await holds(async () => assert.match(await page.locator(".returned").innerText(), /Which one is interrupted\?[^]*None is begun: 1 ticked/));
  await holds(async () => assert.equal((await of.last()).interrupted, undefined));
  await page.getByRole("button", { name: "Number 2 was begun: interrupted" }).tap();
  await page.waitForSelector(".strip_interrupted");
  await in_force(page);
  await holds(async () => assert.deepEqual([(await of.last()).interrupted, (await of.last()).fasteners], [true, 1]));
  await holds(async () => assert.match(await page.locator(".step_head > .caution").first().innerText(), /take it out and begin with a new one/));
  await holds(async () => assert.match(await page.locator(".passes [aria-pressed=true]").innerText(), /Pass 1 of 2/)); // the new bolt from its beginning
  await bolt(2).tap();
  await bolt(2).tap();

  const second = page.getByLabel("The second person types their own name");
  await second.fill("BAY  3");
  assert.ok(await done(page).isDisabled());
  await holds(async () => assert.match(await page.locator(".gate [role=alert]").innerText(), /A second one must look/));
  await second.fill("Will");
  await until(() => done(page).isEnabled(), () => why_not(page));
  await done(page).tap();
  await on_step(page, "Confirm the marks");
  await holds(async () => assert.deepEqual([(await of.last()).second_name, (await of.last()).fasteners], ["Will", 2]));

  // One step late with one tap; the next one against its gate, by name and reason.
  await page.getByRole("button", { name: "Done earlier: enter late" }).tap();
  await on_step(page, "Let the camshafts go");
  await holds(async () => assert.equal((await of.last()).late, true));
  await done(page).tap();
  await on_step(page, "Pull the pin");
  await page.getByRole("button", { name: "Pass against the gate" }).tap();
  const enter = page.getByRole("button", { name: "Enter it against the gate" });
  await holds(async () => assert.match(await page.locator(".against_gate").innerText(), /On it rests: tensioner released\. Name and reason stand on every print/));
  await page.getByLabel("Reason").fill("the camera is broken");
  assert.ok(await enter.isDisabled());
  await page.getByLabel("Who allows it (name)").fill("Foreman");
  await enter.tap();
  await on_step(page, "Turn two turns by hand");
  await holds(async () => assert.equal((await of.last()).allowed_by, "Foreman"));
  assert.equal(await page.getByRole("button", { name: "Pass against the gate" }).count(), 0);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("the order is tapped on the bolts, by keyboard alone too, in German", { timeout: 60000 }, async () => {
  const of = await new_case("caps");
  await of.up_to("Draw the caps down evenly");
  const page = await opened(of, undefined, sizes.phone, { locale: "de-DE" });
  await on_step(page, "Draw the caps down evenly");
  const bolt = (n) => page.locator(".bolt", { hasText: new RegExp(`^${n}$`) });
  await bolt(4).tap();
  await holds(async () => assert.match(await page.locator(".ticking [role=alert]").innerText(), /kommt Nummer 1/));
  await holds(async () => assert.match(await page.locator(".ticking [role=status]").innerText(), /^0 von 20/));
  await bolt(1).focus();
  for (let i = 0; i < 20; ++i) {
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab"); // they follow each other in the order of tightening
  }
  await holds(async () => assert.match(await page.locator(".ticking [role=status]").innerText(), /^20 von 20/));
  assert.deepEqual([await overflowing(page), await too_small(page), await axe_violations(page)], [[], [], []]);
  const to = async (words) => {
    for (let i = 0; i < 20; ++i) {
      if (await page.evaluate((text) => (document.activeElement.closest("label") ?? document.activeElement).textContent.includes(text), words)) return;
      await page.keyboard.press("Tab");
    }
    assert.fail(`${words}: not reached`);
  };
  await to("Ich habe hingesehen");
  await page.keyboard.press("Space");
  await to("Getan");
  await page.keyboard.press("Enter");
  await on_step(page, "Fit the crank sprocket");
  await holds(async () => assert.equal((await of.last()).fasteners, 20));
  await holds(async () => assert.equal(await page.evaluate(() => document.activeElement.tagName), "H2"));
  await page.context().close();
});

test("without a procedure: said once, steps by name, the fasteners as cards", { timeout: 60000 }, async () => {
  const of = await new_case("few", "thin");
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block", hasTouch: true });
  await page.goto(of.at());
  await page.waitForSelector(".free_work");
  await holds(async () => assert.equal(((await page.locator("main").innerText()).match(/No procedure/g) ?? []).length, 1));
  await holds(async () => assert.ok(await page.getByRole("link", { name: "Write one" }).isVisible()));
  assert.equal(await page.locator(".turning .answer").innerText(), "DO NOT TURN");
  await page.getByLabel("What was done").fill("Chain cover off");
  await done(page).tap();
  await until(async () => /Chain cover off/.test(await page.locator(".step_list").innerText()), "listed");
  const tick = page.getByRole("button", { name: "Tick number 1" });
  await tick.tap();
  await page.getByRole("button", { name: /^Pass 2/ }).tap();
  await tick.tap();
  await page.getByRole("button", { name: "Enter: phaser bolt tightened" }).tap();
  await until(async () => (await of.last())?.step === "Tighten phaser bolt", "entered");
  await holds(async () => assert.equal((await of.last()).fasteners, 1));
  assert.deepEqual([await overflowing(page), await too_small(page), await axe_violations(page), page.mistakes], [[], [], [], []]);
  await page.context().close();
});
