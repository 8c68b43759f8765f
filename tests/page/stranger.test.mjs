// SPDX-License-Identifier: Apache-2.0
// A stranger with a page of a service manual: the engine is not listed. Counts what the hands do.
// The issue allows ten minutes.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page, sizes, until } from "./browser.mjs";
import { hand_on } from "./hand.mjs";

const { server, browser } = await in_a_browser();

test("an engine that is not listed, from the manual to the first right answers", { timeout: 120000 }, async () => {
  const page = await opened_page(browser, sizes.upright, { serviceWorkers: "block" });
  const hand = hand_on(page);
  await page.goto(server.url);
  ++hand.taps;
  await page.click('a[href="#/new-engine"]');
  await hand.type("Name of the engine, as it is spoken", "Thornholm 1.6");
  await hand.tap("the engine maker's");
  await hand.type("Title of the document", "engine manual, volume 2");
  await hand.next();
  await hand.tap("in line");
  await hand.tap("one");
  await hand.tap("roller chain");
  await hand.tap("the front (timing end)");
  await hand.tap("clockwise");
  await hand.next();
  await hand.type("Teeth of the crank sprocket", "22");
  await hand.type("Teeth of the sprocket: camshaft", "44");
  await page.getByLabel(/^Links all round/).fill("116");
  hand.taps += 1;
  hand.letters += 3;
  // The first right answer stands beside the fields: 360 degrees of crank over 22 teeth.
  await until(async () => (await page.textContent("aside")).includes("16.36"), () => page.textContent("aside"));
  const first = hand.seconds();
  assert.ok(first < 600, `${first} s to the first answer`);
  await hand.type("Pitch of the chain", "9.525 mm");
  await hand.type("Journals of a camshaft", "4");
  ++hand.taps;
  ++hand.steps;
  await page.getByRole("link", { name: /Bearings$/ }).click();
  await hand.type("Bearing clearance, limit for used parts", "at most 0.004 in");
  ++hand.taps;
  await page.getByRole("link", { name: "That is all: save" }).click();
  await hand.tap("Save this engine");
  await hand.tap("New case with it");
  await page.waitForFunction(() => location.hash.startsWith("#/case/"));
  await page.waitForSelector("text=DO NOT TURN");
  console.log(`# new engine: ${hand.taps} taps, ${hand.letters} letters, ${hand.steps} steps; about ` +
              `${Math.round(hand.seconds())} s of slow hands, ${Math.round(first)} s to the first answer`);
  assert.ok(hand.seconds() < 600, `${hand.seconds()} s`);

  // Questions of a phone call on the thin engine: nothing unsafe, and the sums are right.
  const name = decodeURIComponent(page.url().split("#/case/")[1].split("/")[0]);
  const findings = await call(server, "GET", `/api/cases/${encodeURIComponent(name)}/findings`);
  assert.equal(findings.turning.answer, "DO NOT TURN");
  assert.equal(findings.summary.pass, 0, "nothing was measured");
  const asked = async (question, typed) =>
    (await call(server, "POST", `/api/quick/${question}`, {
      typed: Object.entries(typed).map(([input, text]) => ({ input, text })),
    })).answer;
  // 1 of trade.md section 7: two teeth off, may it be turned.
  assert.match((await asked("turn", {})).lines[0], /^DO NOT TURN/);
  // 2: the marked links return after lcm(116, 44) / 22 turns.
  const lcm = (a, b) => { let n = a; while (n % b) n += a; return n; };
  const returns = await asked("returns", { links: "116", crank: "22", cam: "44" });
  assert.ok(returns.lines.join(" ").includes(String(lcm(116, 44) / 22)), returns.lines.join(" "));
  // 4: 21.4 degrees late where a tooth is 18.95: one tooth and a remainder.
  const teeth = await asked("teeth", { angle: "21.4 deg crank late", teeth: "38" });
  assert.match(teeth.lines.join(" "), /1 tooth/);
  // 10: 0.108 against 0.110 with 0.005 is open. 14: 106 in inch-pounds.
  const close = await asked("clearance", { limit: "at most 0.110 mm", clearance: "0.108 ± 0.005 mm", source: "engine manual, page 41", origin: "maker" });
  assert.equal(close.verdict, "open");
  const torque = await asked("convert", { value: "12 N·m" });
  assert.match(torque.lines.join(" "), /106 lbf·in/);
  await page.context().close();
});
