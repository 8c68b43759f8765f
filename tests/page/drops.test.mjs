// SPDX-License-Identifier: Apache-2.0
// What is let go on the page, on whichever screen: dragged in by the protocol's own drag events, from
// files and folders of this machine.
import assert from "node:assert/strict";
import { cp, mkdir, writeFile } from "node:fs/promises";
import path from "node:path";
import { test } from "node:test";

import { call, holds, in_a_browser, opened_page, root, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const folder = path.join(server.folder, "dropped");
await mkdir(folder);
const kept = async (name, bytes) => {
  await writeFile(path.join(folder, name), bytes);
  return path.join(folder, name);
};

async function let_go(page, ...files) {
  const hand = await page.context().newCDPSession(page);
  const data = { items: [], files, dragOperationsMask: 1 };
  const { width, height } = page.viewportSize();
  for (const type of ["dragEnter", "dragOver"]) await hand.send("Input.dispatchDragEvent", { type, x: width / 2, y: height / 2, data });
  await page.waitForSelector(".let_go, .drop_here, .numbered", { timeout: 5000 });
  // A mouse that holds still goes on saying where it is: the page may have moved below it.
  await hand.send("Input.dispatchDragEvent", { type: "dragOver", x: width / 2, y: height / 2, data });
  await hand.send("Input.dispatchDragEvent", { type: "drop", x: width / 2, y: height / 2, data });
}

const cases = async () => (await call(server, "GET", "/api/cases?limit=50")).cases.map((one) => one.name).sort();
const hash = (page) => page.evaluate(() => location.hash);

async function at(place) {
  const page = await opened_page(browser, sizes.tablet, { serviceWorkers: "block" });
  page.setDefaultTimeout(10000);
  await page.goto(server.url + place);
  await page.waitForSelector("main h2, main form, main .tiles, main nav, main input");
  await page.waitForFunction(() => !/Asking the program/.test(document.body.textContent));
  return page;
}

test("the folder of a case, let go on the first sheet", { timeout: 60000 }, async () => {
  const whole = path.join(folder, "from the stick");
  await cp(path.join(root, "demo/vessgarth"), whole, { recursive: true });
  const page = await at("#/");
  await let_go(page, whole);
  await page.waitForFunction(() => location.hash.startsWith("#/case/"), null, { timeout: 15000 });
  const [name] = await cases();
  assert.ok(name);
  const view = await call(server, "GET", `/api/cases/${encodeURIComponent(name)}`);
  assert.ok(view.case.entries.length > 20);
  const { files } = await call(server, "GET", `/api/cases/${encodeURIComponent(name)}/files`);
  assert.ok(files.some((one) => one.name === "recordings/cold-start.csv"), JSON.stringify(files));
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a packed case, let go on a quick answer", { timeout: 60000 }, async () => {
  const pack = await fetch(`${server.url}practice/api/cases/quellmere-coast-road/pack`);
  const file = await kept("coast road.zip", Buffer.from(await pack.arrayBuffer()));
  const page = await at("#/quick/turn");
  await let_go(page, file);
  await page.waitForFunction(() => location.hash.startsWith("#/case/quellmere"), null, { timeout: 15000 });
  assert.ok((await cases()).includes("quellmere-coast-road"));
  await page.context().close();
});

test("a recording that belongs to no case yet goes into a new one", { timeout: 60000 }, async () => {
  const before = await cases();
  const page = await at("#/quick");
  await let_go(page, path.join(root, "demo/vessgarth/recordings/cold-start.csv"));
  await page.getByRole("button", { name: "Into a new case" }).click();
  await page.waitForFunction(() => location.hash.startsWith("#/recording/recording-"), null, { timeout: 15000 });
  assert.equal((await cases()).length, before.length + 1);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a recording, let go on the sheet of its case: that case is the first to be asked for", { timeout: 60000 }, async () => {
  await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });
  const file = path.join(root, "demo/vessgarth/recordings/cold-start.csv");
  const page = await at("#/case/bay%203/tests");
  await let_go(page, file);
  await page.getByRole("button", { name: "Into bay 3" }).waitFor();
  await holds(async () => assert.equal(await page.locator(".into button").first().textContent(), "Into bay 3"));
  await page.locator(".into button").first().click();
  await page.waitForFunction(() => location.hash.startsWith("#/recording/bay%203"), null, { timeout: 15000 });
  await page.waitForSelector("figure.waves canvas");
  await page.context().close();
});

test("the definition of a drive: to be checked and added; one that was begun is not overwritten", { timeout: 60000 }, async () => {
  const text = "tautmark: drive/1\nname: thornholm-i4\ntitle: Thornholm 1.6\ninvented: true\n";
  const file = await kept("thornholm.drive.yaml", text);
  const page = await at("#/case/bay%203/tests");
  await let_go(page, file);
  await page.waitForFunction(() => location.hash.startsWith("#/drives"));
  await until(async () => (await page.inputValue("textarea")) === text, () => page.textContent("main"));
  await page.goto(`${server.url}#/`);
  await page.waitForSelector(".tiles");
  await let_go(page, await kept("other.drive.yaml", text.replace("Thornholm 1.6", "another")));
  await until(async () => /already begun on this device/.test(await page.textContent("main")), () => page.textContent("main"));
  await holds(async () => assert.match(await page.evaluate(() => localStorage.getItem("tautmark.draft./definition/")), /Thornholm 1\.6/));
  await page.context().close();
});

test("what is none of these is called by its name, with what was expected", { timeout: 60000 }, async () => {
  const page = await at("#/cases");
  for (const [name, bytes, says] of [
    ["plate.jpg", "\xff\xd8", /plate\.jpg is a picture: enter it in its case/],
    ["manual.pdf", "%PDF", /manual\.pdf is a document/],
    ["notes.exe", "MZ", /notes\.exe is none of what is known here/],
    ["case.yaml", "tautmark: case/1\nname: x\n", /case\.yaml is the case file alone: drop the whole folder/],
    ["nothing.csv", "", /nothing\.csv is empty/],
  ]) {
    await let_go(page, await kept(name, Buffer.from(bytes, "latin1")));
    await until(async () => says.test(await page.textContent("main")), async () => `${name}: ${await page.textContent("main")}`);
    await holds(async () => assert.match(await page.textContent("main"), /packed case \(\.zip\), the folder of a case, a recording/));
  }
  const empty = path.join(folder, "photos");
  await mkdir(empty);
  await kept("photos/a.txt", "x");
  await let_go(page, empty);
  await until(async () => /photos holds no case\.yaml/.test(await page.textContent("main")), () => page.textContent("main"));
  await let_go(page, await kept("broken.zip", "PK no more"));
  await page.waitForTimeout(1500);
  assert.doesNotMatch(await page.textContent("main"), /Sending/);
  assert.equal(await hash(page), "#/cases");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("in the middle of an entry nothing is lost by a file that falls beside its field", { timeout: 60000 }, async () => {
  const page = await at("#/enter/bay%203/note");
  await page.fill('[name="entry/words"]', "half a sen");
  const file = path.join(root, "demo/vessgarth/recordings/cold-start.csv");
  await let_go(page, file);
  await page.waitForSelector("text=/Not in the middle of an entry/");
  assert.equal(await hash(page), "#/enter/bay%203/note");
  assert.equal(await page.inputValue('[name="entry/words"]'), "half a sen");
  await page.context().close();
});
