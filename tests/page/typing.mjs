// SPDX-License-Identifier: Apache-2.0
// Types an entry into the form of its kind, as a user does with the keyboard, field by field.
import path from "node:path";

const kBySelf = ["id", "at", "by", "kind", "file", "sha256"]; // the page or the program says these

const named = (page, name) => page.locator(`[name="${name}"]`);

async function fill(page, name, value) {
  if (Array.isArray(value) && value.every((one) => typeof one === "string"))
    return named(page, name).fill(value.join(", "));
  if (Array.isArray(value)) {
    for (const [i, one] of value.entries()) {
      await named(page, name).locator("> button.add").click();
      await fill_all(page, `${name}/${i}`, one);
    }
    return undefined;
  }
  if (value !== null && typeof value === "object") return fill_all(page, name, value);
  const field = named(page, name);
  const tag = await field.evaluate((e) => e.tagName);
  if (tag === "SELECT") return field.selectOption(String(value));
  if (tag === "FIELDSET") {
    const choice = value === true ? "yes" : value === false ? "no" : String(value);
    return field.locator(`button[value="${choice}"]`).click();
  }
  await field.fill(String(value));
  return field.blur();
}

async function fill_all(page, name, values) {
  for (const [key, value] of Object.entries(values))
    if (!kBySelf.includes(key)) await fill(page, `${name}/${key}`, value);
}

// `folder`: where the files of the case lie. Ends when the program has the entry.
export async function typed(page, server, name, entry, folder) {
  const words = [name, entry.kind].map(encodeURIComponent).join("/");
  await page.goto(`${server.url}#/enter/${words}?plain=1`);
  await page.waitForSelector("form.entry");
  if (entry.file) await page.setInputFiles('input[type="file"]', path.join(folder, entry.file));
  await fill_all(page, "entry", entry);
  const receipt = page.waitForResponse((answer) => answer.request().method() === "POST" && answer.url().endsWith("/entries"));
  try {
    await page.click("form.entry button.main");
    await page.click(".read-back button.main");
    const answer = await receipt;
    if (!answer.ok()) throw new Error(await answer.text());
  } catch (error) {
    receipt.catch(() => undefined); // the click's own error is told
    throw new Error(`${entry.kind} ${entry.id}: ${await page.textContent("main")}`, { cause: error });
  }
}

// What stands before the entries.
export async function typed_head(page, server, name, head) {
  await page.goto(`${server.url}#/about/${encodeURIComponent(name)}`);
  await page.waitForSelector("form.entry");
  await fill_all(page, "entry", head);
  await page.click("form.entry button.main");
  await page.waitForFunction(() => location.hash.startsWith("#/case/"));
}
