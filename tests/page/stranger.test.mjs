// SPDX-License-Identifier: Apache-2.0
// A stranger with a page of a service manual: the engine is not listed. Counts what the hands do.
// A tap at two seconds and a letter at half a second are slow hands; reading the page of the manual
// is given a minute a step. From memory, no source; the issue allows ten minutes.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();

function hand_on(page) {
  const hand = { taps: 0, letters: 0, steps: 0 };
  hand.tap = async (name) => {
    ++hand.taps;
    await page.getByRole("button", { name, exact: true }).first().click();
  };
  hand.type = async (label, text) => {
    ++hand.taps;
    hand.letters += text.length;
    await page.getByLabel(label, { exact: true }).fill(text);
  };
  hand.next = async () => {
    ++hand.taps;
    ++hand.steps;
    await page.getByRole("link", { name: /^(Next|Not in the manual: next)/ }).or(
      page.getByRole("button", { name: /^(Next|Not in the manual: next)/ })).first().click();
  };
  hand.seconds = () => 2 * hand.taps + 0.5 * hand.letters + 60 * hand.steps;
  return hand;
}

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
  await hand.next();
  await hand.next();
  await hand.type("Bearing clearance, limit for used parts", "at most 0.004 in");
  for (let i = 0; i < 3; ++i) await hand.next();
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
