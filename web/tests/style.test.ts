// SPDX-License-Identifier: Apache-2.0
// Styles of a screen stay when another one is opened: rules of two screens for one class mix, and how
// a screen looks then depends on where one came from.
import { readdirSync, readFileSync } from "node:fs";

import { expect, it } from "vitest";

const kOurs = /^(enter\/|screens\/(turn|recording|count)\.css)/;

function classes_of(file: string): Set<string> {
  const text = readFileSync(`src/${file}`, "utf8").replace(/\/\*[^]*?\*\//g, "");
  const selectors = [...text.matchAll(/([^{};]+)\{/g)].flatMap(([, all]) => (all ?? "").split(","));
  return new Set(selectors.flatMap((one) => /^\s*\.([\w-]+)/.exec(one)?.[1] ?? []));
}

it("entering, turning, recordings and counting share no class with another screen", () => {
  const files = (readdirSync("src", { recursive: true }) as string[])
    .map((name) => name.replaceAll("\\", "/"))
    .filter((name) => name.endsWith(".css") && !name.startsWith("style/"));
  const by_class = new Map<string, string[]>();
  for (const file of files)
    for (const name of classes_of(file)) by_class.set(name, [...(by_class.get(name) ?? []), file]);
  expect(files.length).toBeGreaterThan(8);
  const shared = [...by_class].filter(([, all]) => all.length > 1 && all.some((one) => kOurs.test(one)));
  expect(shared.map(([name, all]) => `${name}: ${all.join(", ")}`)).toEqual([]);
});
