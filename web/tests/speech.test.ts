// SPDX-License-Identifier: Apache-2.0
import { expect, it } from "vitest";

import { spoken } from "../src/enter/speech";

it("says decimals as the language does", () => {
  expect(spoken("journal 1: 28.069, 28.071", "de")).toBe("journal 1: 28,069, 28,071");
  expect(spoken("journal 1: 28.069, 28.071", "en")).toBe("journal 1: 28.069, 28.071");
  expect(spoken("Lager 1. 2", "de")).toBe("Lager 1. 2");
});
