// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { address, parsed_route } from "../src/route";

describe("routes", () => {
  it("come back as they went, whatever a case is called", () => {
    for (const name of ["bay 3", "a/b?c#d", "Zahnriemen ½", "100%"]) {
      const path = ["case", name, "measure"];
      const query = { entry: "e12", q: "a&b=c" };
      expect(parsed_route(address(path, query, false))).toEqual({ practice: false, path, query });
      expect(parsed_route(address(path, query, true)).practice).toBe(true);
    }
  });
  it("stand broken addresses", () => {
    expect(parsed_route("#/case/%E0%A4%A/")).toEqual({
      practice: false,
      path: ["case", "%E0%A4%A"],
      query: {},
    });
    expect(parsed_route("")).toEqual({ practice: false, path: [], query: {} });
  });
});
