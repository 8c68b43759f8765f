// SPDX-License-Identifier: Apache-2.0
// The icons of the installed page, drawn from web/public/mark.svg: npm --prefix web run icons
// A maskable one keeps the mark within the middle 80 % that every device leaves (W3C, Web application
// manifest, "maskable").
import { readFile, writeFile } from "node:fs/promises";
import path from "node:path";

import { opened_browser, root } from "./browser.mjs";
import { with_palette } from "./palette_png.mjs";

const folder = path.join(root, "web/public");
const mark = (await readFile(path.join(folder, "mark.svg"), "utf8")).replace(/stroke="#\w+"/, 'stroke="#1c2126"');
const browser = await opened_browser();
try {
  for (const [name, size, part] of [["icon-192", 192, 0.8], ["icon-512", 512, 0.8], ["icon-maskable", 512, 0.6]]) {
    const page = await browser.newPage({ viewport: { width: size, height: size } });
    await page.setContent(`<style>body{margin:0;height:100vh;display:grid;place-items:center;background:#f7f4ec}svg{width:${100 * part}vw}</style>${mark}`);
    await writeFile(path.join(folder, `${name}.png`), with_palette(await page.screenshot()));
    await page.close();
  }
} finally {
  await browser.close();
}
