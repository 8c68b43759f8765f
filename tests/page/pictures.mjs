// SPDX-License-Identifier: Apache-2.0
// Pictures of every screen, for docs/screens/ (or another folder): node pictures.mjs [FOLDER [SIZE...]]
import { mkdir, writeFile } from "node:fs/promises";
import path from "node:path";

import { opened_browser, opened_page, root, sizes, started } from "./browser.mjs";
import { with_palette } from "./palette_png.mjs";
import { door_screens, screens, shown } from "./screens.mjs";
import { opened_as, started_shared } from "./shared.mjs";

const [folder = path.join(root, "docs/screens"), ...wanted] = process.argv.slice(2);
await mkdir(folder, { recursive: true });
const server = await started();
const browser = await opened_browser();
const shared = await started_shared(browser);

async function pictured(page, of, screen, name) {
  try {
    await shown(page, of, screen);
  } catch (error) {
    console.error(`${screen.name}: ${String(error).split("\n")[0]}`);
  }
  await writeFile(path.join(folder, `${screen.name}-${name}.png`), with_palette(await page.screenshot()));
}

try {
  for (const name of wanted.length > 0 ? wanted : ["upright", "desk"]) {
    const colorScheme = name === "upright" ? "dark" : "light";
    const page = await opened_page(browser, sizes[name], { colorScheme, serviceWorkers: "block" });
    for (const screen of screens) await pictured(page, server, screen, name);
    await page.context().close();
    for (const screen of door_screens) {
      const door = await opened_as(browser, shared, screen.as, sizes[name], { colorScheme });
      await pictured(door, shared, screen, name);
      await door.context().close();
    }
  }
} finally {
  await browser.close();
  await server.end();
  await shared.end();
}
