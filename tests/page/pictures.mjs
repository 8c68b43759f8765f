// SPDX-License-Identifier: Apache-2.0
// Pictures of every screen, for docs/screens/ (or another folder): node pictures.mjs [FOLDER [SIZE...]]
import { mkdir, writeFile } from "node:fs/promises";
import path from "node:path";

import { opened_browser, opened_page, root, sizes, started } from "./browser.mjs";
import { with_palette } from "./palette_png.mjs";
import { screens, shown } from "./screens.mjs";

const [folder = path.join(root, "docs/screens"), ...wanted] = process.argv.slice(2);
await mkdir(folder, { recursive: true });
const server = await started();
const browser = await opened_browser();
try {
  for (const name of wanted.length > 0 ? wanted : ["upright", "desk"]) {
    const colorScheme = name === "upright" ? "dark" : "light";
    const page = await opened_page(browser, sizes[name], { colorScheme, serviceWorkers: "block" });
    for (const screen of screens) {
      try {
        await shown(page, server, screen);
      } catch (error) {
        console.error(`${screen.name}: ${String(error).split("\n")[0]}`);
      }
      await writeFile(path.join(folder, `${screen.name}-${name}.png`), with_palette(await page.screenshot()));
    }
    await page.context().close();
  }
} finally {
  await browser.close();
  await server.end();
}
