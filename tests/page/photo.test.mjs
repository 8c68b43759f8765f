// SPDX-License-Identifier: Apache-2.0
// A photo leaves the device without what the camera wrote into it, by whichever screen it goes.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, in_a_browser, opened_page, sizes, until } from "./browser.mjs";

const { server, browser } = await in_a_browser();
const place = "GPS 53 33 7 N, 9 59 36 E"; // invented

// A real JPEG, and behind its first marker an Exif segment (0xFFE1; ITU-T T.81, B.1) with the place.
async function photo_with_place(page) {
  const bytes = Buffer.from(await page.evaluate(async () => {
    const canvas = document.createElement("canvas");
    canvas.width = 320;
    canvas.height = 240;
    canvas.getContext("2d").fillRect(40, 40, 100, 100);
    const made = await new Promise((give) => canvas.toBlob(give, "image/jpeg"));
    return [...new Uint8Array(await made.arrayBuffer())];
  }));
  const told = Buffer.from(`Exif\0\0${place}`);
  const head = Buffer.from([0xff, 0xe1, (told.length + 2) >> 8, (told.length + 2) & 255]);
  return Buffer.concat([bytes.subarray(0, 2), head, told, bytes.subarray(2)]);
}

const stored = async () => {
  const { files } = await call(server, "GET", "/api/cases/bay%203/files");
  return Promise.all(files.map(async ({ name }) =>
    Buffer.from(await (await fetch(`${server.url}api/cases/bay%203/file?name=${encodeURIComponent(name)}`)).arrayBuffer())));
};

test("no photo says where it was taken", { timeout: 90000 }, async () => {
  await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });
  const page = await opened_page(browser, sizes.tablet, { serviceWorkers: "block" });
  await page.goto(server.url);
  const buffer = await photo_with_place(page);
  assert.ok(buffer.includes(place));
  const photo = { name: "plate.jpg", mimeType: "image/jpeg", buffer };

  await page.goto(`${server.url}#/enter/bay%203/attachment`);
  await page.setInputFiles('form.entry input[type="file"]', photo);
  await until(async () => (await page.inputValue('[name="entry/file"]')) !== "", "its name");
  await page.click("form.entry button.main");
  await page.click(".read-back button.main");
  await until(async () => (await stored()).length === 1, () => page.textContent("main"));

  await page.goto(`${server.url}#/count/bay%203`);
  await page.setInputFiles('main input[type="file"]', photo);
  await until(async () => (await stored()).length === 2, () => page.textContent("main"));

  await page.goto(`${server.url}#/enter/bay%203/photo`);
  await page.setInputFiles('input[type="file"]', photo);
  await page.waitForSelector("canvas");
  await page.locator(".taking label:not(.button) input").first().fill("plate, before opening");
  await page.click(".taking .row button.main");
  await until(async () => (await stored()).length === 3, () => page.textContent("main"));

  for (const bytes of await stored()) {
    assert.equal(bytes.readUInt16BE(0), 0xffd8, "no JPEG");
    assert.ok(!bytes.includes("Exif") && !bytes.includes(place), "the place is still in it");
  }
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});
