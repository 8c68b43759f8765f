// SPDX-License-Identifier: Apache-2.0
// A whole engine with two banks, typed as from a service manual in the guided steps: marks, link
// counts, limits of single journals, sensors, torques. Counts taps and letters; what comes of it goes
// through `drive check`. Then it is opened again and one figure is changed.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { test } from "node:test";

import { axe_violations, in_a_browser, opened_page, overflowing, root, sizes, too_small, until } from "./browser.mjs";
import { hand_on } from "./hand.mjs";

const { server, browser } = await in_a_browser();
const kName = "birkholm-v6";

async function text_of(name) {
  const answer = await fetch(new URL(`/api/drives/${name}/text`, server.url));
  const text = await answer.text();
  return text.startsWith("{") ? JSON.parse(text).text : text;
}

// One chain: the counts from mark to mark, and the marks themselves.
async function typed_marks(hand, bank, cam_links, crank_links) {
  const cam = `bank ${bank} / camshaft`;
  if (bank === 1) {
    await hand.tap("+ crank");
    await hand.tap(`+ ${cam}`);
    await hand.tap("pitches, tooth to tooth");
    for (const [at, links, sits, look] of [["crank", "1", "on a tooth", "dot"], [cam, "2", "in a gap", "line"]]) {
      const row = at === "crank" ? 0 : 1;
      await hand.tap_in("How many links side by side are marked?", links, row);
      await hand.tap_by("Color of these links", "copper", row);
      await hand.tap_in("The sprocket's mark is", sits, row);
      await hand.tap_by("How the sprocket's mark looks", look, row);
    }
  } else {
    await hand.tap("Same marks as on bank 1 chain");
  }
  await hand.type(`Links from crank to ${cam}`, cam_links);
  await hand.type(`Links from ${cam} to crank`, crank_links);
}

test("a whole engine with two banks, from the manual", { timeout: 240000 }, async () => {
  const page = await opened_page(browser, sizes.phone, { serviceWorkers: "block" });
  const hand = hand_on(page);
  await page.goto(server.url);
  ++hand.taps;
  await page.click('a[href="#/new-engine"]');
  await hand.type("Name of the engine, as it is spoken", "Birkholm V6");
  await hand.tap("the engine maker's");
  await hand.type("Title of the document", "Birkholm workshop manual");
  await hand.next();

  await hand.tap("in a V");
  await hand.type("Number of cylinders", "6");
  await hand.tap("one");
  await hand.tap("bush chain");
  await hand.tap("one per bank");
  await hand.tap("the front (timing end)");
  await hand.tap("clockwise");
  await hand.tap("yes");
  await hand.type("Angle between the banks", "60 deg");
  await hand.next("Teeth and links");

  await hand.type("Teeth of the crank sprocket", "21");
  await hand.type("Teeth of the sprocket: camshaft", "42");
  await hand.type("Links all round: bank 1 chain", "124");
  await hand.type("Links all round: bank 2 chain", "124");
  await hand.type("Pitch of the chain", "8.00 mm");
  await hand.type("Journals of a camshaft", "5");
  await hand.next("Gears");
  await hand.next("Crankshaft");
  await hand.type("Crank angle at which every mark stands right", "0");
  await hand.next("Marks: bank 1 chain");
  await typed_marks(hand, 1, "64", "60");
  assert.deepEqual(await overflowing(page), []);
  assert.deepEqual(await too_small(page), []);
  assert.deepEqual(await axe_violations(page), []);
  await hand.next("Marks: bank 2 chain");
  await typed_marks(hand, 2, "61", "63");
  await hand.next("Crank sensor");
  await hand.tap("36-1");
  await hand.tap("Hall");
  await hand.tap("falling");
  await hand.tap("low");
  await hand.type("Crank angle of the first tooth after the gap", "60");
  await hand.next("Cam sensors");
  for (const [bank, edges] of [[1, "52; 232; 412; 592"], [2, "97; 277; 457; 637"]]) {
    await hand.type(`bank ${bank} / camshaft: where its edges lie`, edges);
    await hand.tap_in(`bank ${bank} / camshaft: these edges are`, "rising");
    await hand.type(`bank ${bank} / camshaft: how far off an edge may be, to either side`, "3");
  }
  await hand.next("Bearings");
  await hand.tap("mm");
  await hand.type("Journal diameter, new", "27.960..27.980");
  await hand.type("Journal diameter, limit for used parts", "at least 27.950");
  await hand.tap("the mean of all readings");
  await hand.type("Bearing clearance, limit for used parts", "at most 0.110");
  await hand.next("Journals that differ");
  await hand.tap("+ Journal diameter");
  await hand.tap_in("Of which bank only?", "2");
  await hand.type("Which journals?", "1");
  await hand.type("Journal diameter, new", "31.960..31.980");
  await hand.type("Journal diameter, limit for used parts", "at least 1 1/4 in");
  await hand.next("Chain and guides");
  await hand.type("Chain elongation, limit for used parts", "at most 0.35");
  await hand.next("Tensioner");
  await hand.type("Full stroke of the tensioner", "15");
  await hand.type("bank 1 chain: the tensioner stands", "outboard");
  await hand.type("bank 2 chain: the tensioner stands", "in the valley");
  await hand.next("Phasers");
  await hand.tap("full advance");
  await hand.type("camshaft: full travel of the phaser", "50 deg crank");
  await hand.next("Oil");
  await hand.type("Specified oil", "5W-30");
  await hand.tap("psi");
  await hand.tap("+ main gallery");
  await hand.type("Limit of the pressure", "at least 20");
  await hand.next("Tightening");
  await hand.tap("lbf·ft");
  await hand.tap("+ phaser bolt");
  await hand.type("Tightening, step by step", "26 lbf·ft; 75 deg");
  await hand.tap("yes");
  await hand.next("Sets of parts");
  await hand.next("Save");
  await hand.tap("Save this engine");
  await page.waitForSelector(`text=${kName} is saved.`);
  console.log(`# whole engine: ${hand.taps} taps, ${hand.letters} letters, ${hand.steps} steps`);
  assert.ok(hand.taps < 110, `${hand.taps} taps`);
  assert.ok(hand.letters < 420, `${hand.letters} letters`);
  await until(() => page.evaluate(() => document.querySelector("aside .drawing")?.shadowRoot?.querySelector("svg") !== null), "a drawing");
  assert.deepEqual(page.mistakes, []);

  const file = path.join(server.folder, `${kName}.drive.yaml`);
  const text = await text_of(kName);
  writeFileSync(file, text);
  const said = execFileSync(process.env.TAUTMARK_PROGRAM, ["drive", "check", file], { encoding: "utf8" });
  assert.match(said, /64 \+ 60 = 124 \(bank 1 chain\); 61 \+ 63 = 124 \(bank 2 chain\)/);
  assert.match(said, /can +Do the marks stand right/);
  assert.match(said, /can +Is each camshaft on time, by a recording/);
  assert.match(text, /at: bank 2 \/ camshaft \/ journal 1\n.*\n +service: at least 1.25 in {2}# printed: at least 1 1\/4 in/);
  await page.context().close();
});

test("an engine that exists is opened again, and nothing of it is lost", { timeout: 120000 }, async () => {
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  const before = readFileSync(path.join(root, "drives/vessgarth-v6-12.drive.yaml"), "utf8");
  await page.goto(`${server.url}#/drive/vessgarth-v6-12`);
  await page.getByRole("link", { name: "Change it step by step" }).click();
  await page.getByRole("link", { name: /Bearings$/ }).click();
  await page.getByLabel("Journal diameter, limit for used parts", { exact: true }).fill("at least 27.945 mm");
  await page.goto(`${server.url}#/new-engine?of=vessgarth-v6-12&step=1`);
  await page.getByLabel("Short name", { exact: true }).fill("vessgarth-shop");
  await page.getByRole("link", { name: /Save$/ }).first().click();
  await page.getByRole("button", { name: "Save this engine" }).click();
  await page.waitForSelector("text=vessgarth-shop is saved.");
  const after = await text_of("vessgarth-shop");
  const expected = before.replace("name: vessgarth-v6-12\n", "name: vessgarth-shop\n").replace("at least 27.950 mm", "at least 27.945 mm");
  assert.equal(after, expected);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});
