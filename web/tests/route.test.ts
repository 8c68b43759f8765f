// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { address, login_address, parsed_route, place_of, way_back } from "../src/route";

describe("routes", () => {
  it("come back as they went, whatever a case is called", () => {
    for (const name of ["bay 3", "a/b?c#d", "Zahnriemen ½", "100%"]) {
      const path = ["case", name, "measure"];
      const query = { entry: "e12", q: "a&b=c" };
      expect(parsed_route(address(path, query, false))).toEqual({ practice: false, path, query });
      expect(parsed_route(address(path, query, true)).practice).toBe(true);
    }
  });
  it("are found behind what is typed, printed or scanned", () => {
    expect(place_of("/pair", "#K7QM-4TRX")).toBe("#/pair/K7QM-4TRX");
    expect(place_of("/pair", "")).toBe("#/pair");
    expect(place_of("/pair", "#a%2Fb")).toBe("#/pair/a%2Fb");
    expect(place_of("/login", "#/case/bay%203")).toBe(`#/login?back=${encodeURIComponent("#/case/bay%203")}`);
    expect(place_of("/people", "")).toBe("#/people");
    expect(place_of("/", "#/cases")).toBeUndefined();
  });
  it("lead back from the log-in to a place of the page only", () => {
    location.hash = "#/practice/case/bay%203?entry=e1";
    const there = parsed_route(login_address());
    expect([there.path, there.practice]).toEqual([["login"], false]);
    expect(way_back(there)).toBe("#/practice/case/bay%203?entry=e1");
    location.hash = login_address();
    expect(login_address()).toBe(location.hash); // not back to itself
    location.hash = "";
    const back = (to: string) => way_back({ practice: false, path: ["login"], query: { back: to } });
    for (const to of ["", "https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", "#/login?back=x", "#/pair/K7QM"])
      expect(back(to)).toBe("#/");
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
