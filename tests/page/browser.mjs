// SPDX-License-Identifier: Apache-2.0
// The real program with a store of its own and Debian's chromium, for the tests of the page.
// TAUTMARK_PROGRAM is the program; TAUTMARK_PAGE_STORE an address of PostgreSQL instead of a file.
import { spawn } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import os from "node:os";
import path from "node:path";
import { after } from "node:test";

const root = path.resolve(import.meta.dirname ?? path.dirname(new URL(import.meta.url).pathname), "../..");
const web = createRequire(path.join(root, "web/package.json"));
const { chromium } = web("playwright-core");
const axe = readFileSync(web.resolve("axe-core/axe.min.js"), "utf8");

export { root };
export const sizes = {
  phone: { width: 390, height: 844 },
  upright: { width: 768, height: 1024 },
  tablet: { width: 1024, height: 768 },
  desk: { width: 1440, height: 900 },
};

// started(words): the server; `stop()` ends it, `start()` starts it anew on the same port and store.
export async function started(...words) {
  const folder = await mkdtemp(path.join(os.tmpdir(), "tautmark-page-"));
  const server = { folder, port: 0, process: undefined, url: "" };
  const store = process.env.TAUTMARK_PAGE_STORE ?? path.join(folder, "shop.store");
  server.start = async () => {
    server.process = spawn(
      process.env.TAUTMARK_PROGRAM,
      ["serve", "--store", store, "--listen", `127.0.0.1:${server.port}`, "--seat", "bay 3",
       "--drives", path.join(folder, "drives"), "--drives", path.join(root, "drives"), ...words],
      { env: { ...process.env, XDG_CACHE_HOME: folder, NO_COLOR: "1" }, stdio: ["ignore", "pipe", "inherit"] },
    );
    server.url = await address_said_by(server.process);
    server.port = Number(new URL(server.url).port);
  };
  server.stop = (signal = "SIGTERM") =>
    new Promise((resolve) => {
      if (server.process.exitCode !== null || server.process.signalCode !== null) return resolve();
      server.process.once("exit", resolve);
      server.process.kill(signal);
    });
  server.end = async () => {
    await server.stop();
    await rm(folder, { recursive: true, force: true });
  };
  mkdirSync(path.join(folder, "drives"));
  await server.start();
  return server;
}

function address_said_by(child) {
  return new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (bytes) => {
      said += bytes;
      const found = said.match(/^(?:open | +)(https?:\/\/[^\s]+)/m);
      if (found) resolve(found[1]);
    });
    child.once("exit", () => reject(new Error(`the server did not start: ${said}`)));
  });
}

export async function opened_browser() {
  return chromium.launch({
    executablePath: process.env.TAUTMARK_CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
  });
}

// For a file of tests: both, ended when its tests are over.
export async function in_a_browser() {
  const server = await started();
  after(() => server.end());
  const browser = await opened_browser();
  after(() => browser.close());
  return { server, browser };
}

// A page that reports what goes wrong in it: mistakes of scripts, refusals of the security policy.
export async function opened_page(browser, size, more = {}) {
  const context = await browser.newContext({ viewport: size, locale: "en-GB", ...more });
  const page = await context.newPage();
  page.mistakes = [];
  page.on("pageerror", (error) => page.mistakes.push(String(error)));
  page.on("console", (message) => {
    const text = message.text();
    // A link that is down and an answer of the program that is a refusal are not the page's mistake.
    if (message.type() === "error" && !/Failed to load resource|ERR_CONNECTION|net::/.test(text))
      page.mistakes.push(text);
  });
  return page;
}

// The window of a page that is open takes another of the sizes, `upright` in the dark.
export async function sized(page, size_name, dark = size_name === "upright") {
  await page.emulateMedia({ colorScheme: dark ? "dark" : "light" });
  await page.setViewportSize(sizes[size_name]);
  // Two pictures: observers of sizes draw anew in the second.
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
}

// Elements that stick out of the window, by their beginning; scrolled boxes are their own affair.
export function overflowing(page) {
  return page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    const scrolls = (element) => {
      for (let e = element.parentElement; e; e = e.parentElement)
        if (/auto|scroll|hidden|clip/.test(getComputedStyle(e).overflowX)) return true;
      return false;
    };
    const found = document.documentElement.scrollWidth > width + 1 ? ["the page itself"] : [];
    for (const element of document.querySelectorAll("body *")) {
      const box = element.getBoundingClientRect();
      if (box.width > 0 && (box.right > width + 1 || box.left < -1) && !scrolls(element) &&
          !element.closest(".skip, .heard, svg *"))
        found.push(element.outerHTML.slice(0, 120));
    }
    return found;
  });
}

// What is pressed must be large enough for a glove: 48 px, or stand in running text.
export function too_small(page) {
  return page.evaluate(() =>
    [...document.querySelectorAll("button, a, input, select, summary, [role=button]")]
      .filter((e) => e.checkVisibility() && !e.closest(".skip, .heard") && !e.closest("p"))
      .filter((e) => e.type !== "file" && e.type !== "hidden")
      .map((e) => [e.closest("label") ?? e, e])
      .filter(([area]) => {
        const box = area.getBoundingClientRect();
        return box.width > 0 && (box.height < 47.5 || box.width < 47.5);
      })
      .map(([, e]) => e.outerHTML.slice(0, 120)),
  );
}

export async function axe_violations(page) {
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  return found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 140)).join(" | ")}`);
}

// Waits until the program or the page says so.
export async function until(is_so, what, milliseconds = 30000) {
  const end = Date.now() + milliseconds;
  for (let mistake; ; ) {
    try {
      if (await is_so()) return;
      mistake = undefined;
    } catch (error) {
      mistake = error;
    }
    if (Date.now() > end) {
      const told = typeof what === "function" ? await Promise.resolve(what()).catch(String) : what;
      throw new Error(`never: ${told}${mistake ? ` (at last: ${mistake.message ?? mistake})` : ""}`, { cause: mistake });
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

// An assertion about what a press, a key or an answer brings about: not at once, but soon. What must
// never be so, not even for a moment, is asserted without it.
export async function holds(check, milliseconds = 15000) {
  for (const end = Date.now() + milliseconds; ; ) {
    try {
      return await check();
    } catch (error) {
      if (Date.now() > end) throw error;
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

// The words at a place as they are now; "" when nothing stands there. Never waits for the place.
export function words_at(page, selector) {
  return page.evaluate((where) => document.querySelector(where)?.innerText ?? "", selector);
}

export async function call(server, method, target, body) {
  const answer = await fetch(new URL(target, server.url), {
    method,
    headers: { "Content-Type": "application/json" },
    body: body === undefined ? undefined : JSON.stringify(body),
  });
  const text = await answer.text();
  if (!answer.ok) throw new Error(`${method} ${target}: ${answer.status} ${text}`);
  return text ? JSON.parse(text) : undefined;
}
