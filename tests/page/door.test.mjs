// SPDX-License-Identifier: Apache-2.0
// Who comes in, and how: log-in and the way back, pairing, people, and what is said when the program
// is gone. Over TLS, on a shared server, by the real page.
import assert from "node:assert/strict";
import { after, test } from "node:test";

import { axe_violations, holds, opened_browser, overflowing, sized, sizes, too_small, until } from "./browser.mjs";
import { door_screens, shown } from "./screens.mjs";
import { manager, mechanic, opened_as, started_shared } from "./shared.mjs";

const browser = await opened_browser();
after(() => browser.close());
const server = await started_shared(browser);
after(() => server.end());

const at = (page) => page.evaluate(() => location.pathname + location.hash);
const text = (page) => page.textContent("main");

async function is_sound(page, what = "") {
  assert.deepEqual(await overflowing(page), [], `${what} sticks out`);
  assert.deepEqual(await too_small(page), [], `${what} smaller than 48 px`);
  assert.deepEqual(await axe_violations(page), [], `${what} axe`);
  assert.deepEqual(page.mistakes, [], `${what} console`);
}

// In one language the upright one is dark, in the other all the others are.
async function is_sound_at_every_size(page, locale) {
  for (const line of await page.locator("main summary").all()) await line.click();
  for (const size_name of Object.keys(sizes)) {
    await sized(page, size_name, (size_name === "upright") === (locale === "en-GB"));
    await is_sound(page, size_name);
  }
}

async function with_password(page, { name, password }) {
  await page.fill('[name="name"]', name);
  await page.fill('[name="password"]', password);
  await page.click("form button.main");
}

for (const locale of ["en-GB", "de-DE"])
  test(`at the door at every size, ${locale}`, async (t) => {
    for (const screen of door_screens)
      await t.test(screen.name, async () => {
        const page = await opened_as(browser, server, screen.as, sizes.phone, { locale });
        await shown(page, server, screen);
        await is_sound_at_every_size(page, locale);
        assert.equal(await page.getAttribute("html", "lang"), locale.slice(0, 2));
        await page.context().close();
      });
    await t.test("trust", async () => {
      const page = await opened_as(browser, server, "stranger", sizes.phone, { locale });
      await page.goto(`${server.url}trust`);
      await is_sound_at_every_size(page, locale);
      await holds(async () => assert.match(await text(page), locale === "de-DE" ? /Fingerabdruck/ : /fingerprint/));
      await page.click("a.other");
      await holds(async () => assert.match(await text(page), locale === "de-DE" ? /fingerprint/ : /Fingerabdruck/));
      await page.context().close();
    });
  });

test("what was refused leads to the log-in and back", async () => {
  const page = await opened_as(browser, server, "stranger", sizes.tablet);
  await page.goto(`${server.url}#/practice/cases`);
  await page.click("header .link a"); // For this you have to be logged in.
  await page.waitForSelector("form");
  assert.equal(await page.getAttribute('[name="name"]', "autocomplete"), "username");
  assert.equal(await page.getAttribute('[name="password"]', "autocomplete"), "current-password");
  const said = [];
  for (const name of [mechanic.name, "Nobody"]) {
    await with_password(page, { name, password: "not this one at all" });
    await page.waitForFunction(() => document.querySelector('[name="password"]').value === "");
    await page.waitForSelector("form button.main:enabled");
    said.push(await page.textContent(".wrong"));
  }
  assert.equal(new Set(said).size, 1, "tells whether there is such an account");
  await with_password(page, mechanic);
  await page.waitForSelector("text=vessgarth");
  await holds(async () => assert.equal(await at(page), "/#/practice/cases"));
  assert.equal(await page.locator("header .link").count(), 0, "still asks for a log-in, or says the link is lost");
  // The way back does not lead to the log-in.
  await page.goto(`${server.url}#/login`);
  await page.waitForFunction(() => location.hash === "#/");
  await page.context().close();
});

test("what a scanned code and a printed address say arrives, and no link is called lost", async () => {
  const page = await opened_as(browser, server, "stranger", sizes.upright);
  const sent = [];
  page.on("request", (request) => sent.push(request.url()));
  const code = await server.new_code();
  await page.goto(`${server.url}pair#${code}`);
  await page.waitForSelector("form");
  assert.equal(await page.inputValue('[name="code"]'), code);
  assert.equal(await at(page), "/#/pair");
  assert.deepEqual(sent.filter((url) => url.split("#")[0].includes(code)), [], "the code was sent in an address");
  await page.fill('[name="code"]', "AAAA-AAAA");
  await page.fill('[name="device"]', "tablet bay 4");
  await page.click("form button.main");
  await page.waitForSelector(".wrong");
  await page.fill('[name="code"]', code.toLowerCase());
  await page.click("form button.main");
  await page.waitForSelector(".door-pad");
  assert.equal(await page.getAttribute('[name="name"]', "autocomplete"), "off");
  await page.fill('[name="name"]', mechanic.name);
  for (const digit of `${mechanic.pin}7`) await page.click(`.door-pad button:text-is("${digit}")`);
  await page.getByRole("button", { name: "Erase the last digit" }).click();
  await page.click(".door-pad .main");
  await page.waitForFunction(() => location.hash === "#/");
  await page.getByRole("button", { name: "Log out (Will)" }).waitFor();
  assert.equal(await page.locator('a[href="#/people"]').count(), 0, "offered to whom it is not open");
  await page.goto(`${server.url}people`);
  await page.waitForSelector("text=This is for those who may manage");
  assert.equal(await page.locator("details, form").count(), 0);
  // Nor does a PIN of one who may manage, and the page says what does.
  const { name, pin } = manager;
  await page.context().request.post(`${server.url}api/login/pin`, { data: { name, pin } });
  await page.goto(`${server.url}people#`);
  await page.waitForSelector("text=With a PIN you may write at most");
  assert.equal(await page.locator("details, form").count(), 0);
  await page.click("main a.button");
  await with_password(page, manager);
  await page.waitForSelector("text=tablet bay 4");
  await holds(async () => assert.equal(await at(page), "/#/people"));
  await page.context().close();
  for (const path of ["login", "#/quick"]) {
    const stranger = await opened_as(browser, server, "stranger", sizes.phone);
    await stranger.goto(server.url + path);
    await stranger.waitForSelector("main form, main a");
    await stranger.waitForTimeout(1000);
    assert.doesNotMatch(await stranger.textContent("body"), /No link to the program/, path);
    await stranger.context().close();
  }
});

test("people are added, changed, and put out; devices taken off", async () => {
  const page = await opened_as(browser, server, "manager", sizes.desk);
  await page.goto(server.url);
  await page.click('a[href="#/people"]');
  const line = (name) => page.locator("details", { has: page.locator("summary b", { hasText: name }) });
  const add = line("Add somebody");
  await add.locator("summary").click();
  const fill = async () => {
    await add.locator('[name="name"]').fill("Otto");
    await add.locator('[name="role"]').selectOption("write");
    await add.locator('[name="password"]').fill("feeler gauge six");
    await add.locator("button.main").click();
  };
  await fill();
  await page.waitForSelector("text=Otto can log in.");
  await fill();
  await page.waitForSelector(".wrong >> text=somebody with this name already");
  const otto = line("Otto");
  await otto.locator("summary").click();
  await otto.locator('[name="pin"]').fill("4711");
  await otto.locator("button.main").click();
  await page.waitForSelector("text=Changed: Otto.");
  await holds(async () => assert.match(await otto.locator("summary").textContent(), /may read and write, has a PIN/));
  await until(async () => (await otto.locator('[name="pin"]').inputValue()) === "", "the PIN is not left there");
  await holds(async () => assert.equal(await otto.locator('[name="role"]').inputValue(), "write"));
  await otto.locator('button.main:enabled').click();
  await page.waitForSelector("text=Nothing was changed.");
  await otto.getByRole("button", { name: "Disable" }).click();
  assert.doesNotMatch(await otto.locator("summary").textContent(), /disabled/);
  await otto.getByRole("button", { name: "Sure?" }).click();
  await page.waitForSelector("text=Otto is logged out.");
  await holds(async () => assert.match(await otto.locator("summary").textContent(), /disabled/));
  await page.getByRole("button", { name: "Show a code" }).click();
  await holds(async () => assert.match(await page.textContent(".door-new-code"), /^[0-9A-Z]{4}-[0-9A-Z]{4}$/));
  const device = page.locator(".door-device", { hasText: "tablet bay 4" });
  await device.getByRole("button").click();
  await device.getByRole("button", { name: "Sure?" }).click();
  await until(async () => (await device.count()) === 0, "the device is off the list");
  const kept = await page.evaluate(() => new Promise((done) => {
    const open = indexedDB.open("tautmark");
    open.onsuccess = () => {
      const keys = open.result.transaction("answers").objectStore("answers").getAllKeys();
      keys.onsuccess = () => done(keys.result);
    };
  }));
  assert.deepEqual(kept.filter((key) => /accounts|devices/.test(key)), [], "people are kept on the device");
  await page.goto(`${server.url}#/`);
  await page.getByRole("button", { name: /^Log out/ }).click();
  await page.waitForSelector('[name="password"]');
  await holds(async () => assert.equal(await at(page), "/#/login"));
  await page.context().close();
});

test("without the program nobody is let in, and that is said", async () => {
  const page = await opened_as(browser, server, "stranger", sizes.phone);
  await page.goto(`${server.url}#/login?back=%23%2Fcases`);
  await page.waitForSelector("form");
  await server.stop();
  await with_password(page, mechanic);
  await page.waitForSelector("text=The program cannot be reached");
  assert.doesNotMatch(await page.textContent("body"), /sent later/);
  await is_sound(page);
  await server.start();
  await page.click("main button.main");
  await page.waitForSelector("form");
  await page.context().close();
});
