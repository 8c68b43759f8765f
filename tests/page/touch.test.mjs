// SPDX-License-Identifier: Apache-2.0
// A tablet in the bay has no mouse: what is pinched, dragged and tapped, with the browser's own
// touch events.
import assert from "node:assert/strict";
import { test } from "node:test";

import { call, holds, in_a_browser, opened_page, sizes, until } from "./browser.mjs";
import { box_of, fingers_on, photo_of_a_camera, touched } from "./fingers.mjs";

const { server, browser } = await in_a_browser();
await call(server, "POST", "/api/cases", { name: "bay 3", drive: "vessgarth-v6-12" });

const near = (a, b, by, what) => assert.ok(Math.abs(a - b) <= by, `${what}: ${a}, not ${b} ± ${by}`);

test("a recording: one finger moves it, two zoom it, two taps come closer, up and down is the page's", { timeout: 90000 }, async () => {
  const page = await opened_page(browser, sizes.upright, touched);
  await page.goto(`${server.url}#/practice/recording/vessgarth-bay-3?file=${encodeURIComponent("recordings/cold-start.csv")}`);
  await page.waitForSelector("figure.waves canvas", { timeout: 30000 });
  await page.waitForSelector("text=/camshaft|Nockenwelle/i");
  const stretch = () => page.locator("figure.waves canvas").evaluate((e) => ({ from: Number(e.dataset.from), to: Number(e.dataset.to) }));
  await page.locator("figure.waves").scrollIntoViewIfNeeded();
  const hand = await fingers_on(page);
  const whole = await stretch();
  let box = await box_of(page, "figure.waves canvas");
  const time = ({ from, to }, u) => from + u * (to - from);

  // Two fingers from 0.4 and 0.6 to 0.2 and 0.8: a third of the time is seen, each finger on its time.
  await hand.drag([box.at(0.4, 0.3), box.at(0.6, 0.3)], [box.at(0.2, 0.3), box.at(0.8, 0.3)]);
  const closer = await stretch();
  const length = whole.to - whole.from;
  near((closer.to - closer.from) / length, 1 / 3, 0.02, "length after the pinch");
  near(time(closer, 0.2), time(whole, 0.4), 0.01 * length, "time under the left finger");
  near(time(closer, 0.8), time(whole, 0.6), 0.01 * length, "time under the right finger");

  // One finger: the time under it goes along.
  await hand.drag([box.at(0.6, 0.3)], [box.at(0.3, 0.3)]);
  const moved = await stretch();
  near(time(moved, 0.3), time(closer, 0.6), 0.06 * (closer.to - closer.from), "time under the finger");
  near(moved.to - moved.from, closer.to - closer.from, 1e-9, "length");

  // Two taps at one place.
  await page.waitForTimeout(500);
  await hand.tap(...box.at(0.7, 0.3));
  await hand.tap(...box.at(0.7, 0.3));
  await until(async () => (await stretch()).to - (await stretch()).from < 0.3 * (moved.to - moved.from), async () => JSON.stringify(await stretch()));
  near(time(await stretch(), 0.7), time(moved, 0.7), 0.02 * (moved.to - moved.from), "time under the taps");

  // A finger that goes up scrolls the page past it.
  const before = await page.evaluate(() => scrollY);
  box = await box_of(page, "figure.waves canvas");
  await hand.drag([box.at(0.5, 0.9)], [[box.at(0.5, 0.9)[0], box.at(0.5, 0.9)[1] - 200]]);
  await until(async () => (await page.evaluate(() => scrollY)) > before + 50, "the page stays");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("the drive: a finger turns it and does not take the page away, a second one does nothing", { timeout: 60000 }, async () => {
  for (const size of [sizes.phone, sizes.tablet]) {
    const page = await opened_page(browser, size, touched);
    await page.goto(`${server.url}#/turn?drive=vessgarth-v6-12`);
    await page.waitForSelector(".turned svg");
    const hand = await fingers_on(page);
    const crank = () => page.locator(".turned svg").evaluate((svg) => {
      const at = svg.getBoundingClientRect();
      return [at.x + at.width / 2, at.y + at.height * 0.8];
    });
    const says = () => page.textContent(".turn_by_hand figcaption b");
    const place = () => page.evaluate(() => ({ scroll: scrollY, hash: location.hash, scale: visualViewport.scale }));
    const [x, y] = await crank();
    const [words, stands] = [await says(), await place()];
    await hand.drag([[x + 90, y]], [[x + 90, y - 160]]);
    await holds(async () => assert.notEqual(await says(), words, "not turned"));
    assert.deepEqual(await place(), stands);
    const turned = await says();
    await hand.send("touchStart", [[x, y - 100], [x + 90, y]]);
    await hand.send("touchMove", [[x, y - 100], [x + 40, y - 200]]);
    await hand.send("touchEnd", []);
    assert.equal(await says(), turned, "the second finger turned it");
    assert.deepEqual(await place(), stands);
    assert.deepEqual(page.mistakes, []);
    await page.context().close();
  }
});

test("a photo that is counted: pinched, and every tap counts where it was put", { timeout: 60000 }, async () => {
  const page = await opened_page(browser, sizes.upright, touched);
  await page.goto(`${server.url}#/count/bay%203`);
  await page.waitForSelector('main input[type="file"]');
  const buffer = await photo_of_a_camera(page, { width: 900, height: 1200 });
  await page.setInputFiles('main input[type="file"]', { name: "chain.jpg", mimeType: "image/jpeg", buffer });
  await page.waitForSelector(".taken img");
  await page.locator(".counted_photo").scrollIntoViewIfNeeded();
  const hand = await fingers_on(page);
  const frame = await box_of(page, ".counted_photo");
  const picture = () => box_of(page, ".taken");
  const count = () => page.locator(".tick:not(.cross)").count();
  const wide = (await picture()).width;

  const [left, right] = [frame.at(0.4, 0.5), frame.at(0.6, 0.5)];
  const under = async ([px, py]) => {
    const box = await picture();
    return [(px - box.x) / box.width, (py - box.y) / box.height];
  };
  const middle = frame.at(0.5, 0.5);
  const held = await under(middle);
  await hand.drag([left, right], [frame.at(0.2, 0.5), frame.at(0.8, 0.5)]);
  near((await picture()).width / wide, 3, 0.1, "zoom");
  near((await under(middle))[0], held[0], 0.01, "the place between the fingers, across");
  near((await under(middle))[1], held[1], 0.01, "the place between the fingers, down");
  assert.equal(await count(), 0, "a pinch is no tap");
  assert.equal(await page.evaluate(() => visualViewport.scale), 1, "the page itself was zoomed");

  // One finger scrolls the picture in its frame and counts nothing.
  const before = await under(middle);
  await hand.drag([frame.at(0.6, 0.6)], [frame.at(0.3, 0.4)]);
  await page.waitForTimeout(300);
  await holds(async () => assert.ok((await under(middle))[0] > before[0] + 0.02, "not scrolled"));
  assert.equal(await count(), 0, "a drag is no tap");

  const spots = [frame.at(0.3, 0.3), frame.at(0.7, 0.6)];
  const wanted = [];
  for (const spot of spots) {
    wanted.push(await under(spot));
    await hand.tap(...spot);
    await until(async () => (await count()) === wanted.length, count);
  }
  const shown = await page.locator(".tick:not(.cross)").evaluateAll((all) =>
    all.map((one) => [parseFloat(one.style.left) / 100, parseFloat(one.style.top) / 100]));
  wanted.forEach(([u, v], i) => {
    near(shown[i][0], u, 0.005, `tap ${i + 1}, across`);
    near(shown[i][1], v, 0.005, `tap ${i + 1}, down`);
  });
  // Back to the whole photo: the ticks stay on their places of the picture.
  const wider = page.getByRole("button", { name: "Wider" });
  for (let i = 0; i < 4 && (await wider.isEnabled()); ++i) await wider.click();
  near((await picture()).width, wide, 1, "whole again");
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});

test("a photo from the camera: upright, without the place, stamped, circled and measured by finger", { timeout: 90000 }, async () => {
  const page = await opened_page(browser, sizes.upright, touched);
  await page.goto(`${server.url}#/enter/bay%203/photo`);
  await page.waitForSelector('input[type="file"]', { state: "attached" });
  const field = page.locator('input[type="file"]');
  assert.equal(await field.getAttribute("capture"), "environment");
  // Orientation 6: stored lying, it stands when turned a quarter clockwise; what was left is then above.
  const buffer = await photo_of_a_camera(page, { width: 800, height: 600, orientation: 6 });
  await field.setInputFiles({ name: "IMG_0001.jpg", mimeType: "image/jpeg", buffer });
  await page.waitForSelector(".taking canvas");
  await page.getByRole("button", { name: "2", exact: true }).click();
  await page.getByRole("button", { name: "front", exact: true }).click();
  await page.locator(".taking label:not(.button) input").first().fill("crank at the mark");
  const hand = await fingers_on(page);
  const canvas = page.locator(".taking canvas");
  const size = await canvas.evaluate((e) => [e.width, e.height]);
  assert.equal(size[0], 600, "not upright");
  assert.ok(size[1] > 800 && size[1] < 900, `no margin for the stamp: ${size[1]}`);
  await holds(async () => assert.match(await canvas.getAttribute("aria-label"), /2.*front.*crank at the mark.*\d{4}-\d\d-\d\d/));

  await canvas.scrollIntoViewIfNeeded();
  let box = await box_of(page, ".taking canvas");
  const before = await page.evaluate(() => scrollY);
  await hand.drag([box.at(0.3, 0.3)], [box.at(0.45, 0.3)]);
  assert.equal(await page.evaluate(() => scrollY), before, "drawing scrolled the page");
  const pixel = (u, v) => canvas.evaluate((e, [x, y]) => [...e.getContext("2d").getImageData(x * e.width, y * e.height, 1, 1).data], [u, v]);
  const on_circle = await pixel(0.3 + 0.15, 0.3);
  assert.ok(on_circle[1] > 90, `no circle: ${on_circle}`);

  // An angle of three taps: the arms go right and down, 90 degrees.
  await page.getByRole("button", { name: "measure an angle" }).click();
  await canvas.scrollIntoViewIfNeeded();
  box = await box_of(page, ".taking canvas");
  const [cx, cy] = box.at(0.3, 0.4);
  await hand.tap(cx, cy);
  await hand.tap(cx + 200, cy);
  await hand.tap(cx, cy + 200);
  const told = page.locator(".taking .large");
  await told.waitFor();
  const [, degrees, more] = (await told.textContent()).match(/([\d.]+)° ± ([\d.]+)°/);
  near(Number(degrees), 90, 0.6, "angle");
  // 4 px each way at three points, arms of 200 px at a right angle: u = 4/200 * sqrt(1 + 1 + 2) rad.
  near(Number(more), (2 * 0.02 * 2 * 180) / Math.PI, 0.1, "its uncertainty");

  await page.locator(".taking .row button.main").click();
  const files = async () => (await call(server, "GET", "/api/cases/bay%203/files")).files.filter((one) => /photos\/\d{4}-.*\.jpg$/.test(one.name) && !/chain/.test(one.name));
  await until(async () => (await files()).length === 1, () => page.textContent("main"));
  const [{ name }] = await files();
  const bytes = Buffer.from(await (await fetch(`${server.url}api/cases/bay%203/file?name=${encodeURIComponent(name)}`)).arrayBuffer());
  assert.ok(buffer.includes("Exif") && !bytes.includes("Exif"), "the camera's words are still in it");
  const stored = await page.evaluate(async (given) => {
    const made = await createImageBitmap(new Blob([new Uint8Array(given)], { type: "image/jpeg" }));
    const at = document.createElement("canvas");
    [at.width, at.height] = [made.width, made.height];
    const pen = at.getContext("2d");
    pen.drawImage(made, 0, 0);
    const of = (x, y) => [...pen.getImageData(x, y, 1, 1).data];
    return { size: [made.width, made.height], above: of(560, 60), below: of(560, 740) };
  }, [...bytes]);
  assert.deepEqual(stored.size, size);
  assert.ok(stored.above[0] > 200 && stored.above[2] < 60, `red above: ${stored.above}`);
  assert.ok(stored.below[2] > 200 && stored.below[0] < 60, `blue below: ${stored.below}`);
  const entry = (await call(server, "GET", "/api/cases/bay%203")).case.entries.find((one) => one.file === name);
  assert.match(entry.shows, /crank at the mark, bank 2, seen from front, angle by taps [\d.]+° ± [\d.]+°, supporting only/);
  assert.deepEqual(page.mistakes, []);
  await page.context().close();
});
