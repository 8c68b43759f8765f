// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { case_name, crc32, packed, zipped } from "../src/case/zip";

const bytes = (text: string) => new TextEncoder().encode(text);

describe("a zip made here", () => {
  it("has the CRC-32 that the catalogue of checksums gives for 123456789", () => {
    expect(crc32(bytes("123456789"))).toBe(0xcbf43926);
  });
  it("is byte for byte what Python's zipfile writes (stored, 1980-01-01, system 0)", async () => {
    const zip = zipped([
      { name: "nähe/case.yaml", bytes: bytes("tautmark: case/1\n") },
      { name: "über.csv", bytes: bytes("1,2\n") },
    ]);
    const ours = Buffer.from(await zip.arrayBuffer()).toString("base64");
    expect(ours).toBe(
      "UEsDBBQAAAgAAAAAIQBeAo9mEQAAABEAAAAPAAAAbsOkaGUvY2FzZS55YW1sdGF1dG1hcms6IGNhc2UvMQpQSwMEFAAACAAAAAAhADNCIVUEAAAABAAAAAkAAADDvGJlci5jc3YxLDIKUEsBAhQAFAAACAAAAAAhAF4Cj2YRAAAAEQAAAA8AAAAAAAAAAAAAAAAAAAAAAG7DpGhlL2Nhc2UueWFtbFBLAQIUABQAAAgAAAAAIQAzQiFVBAAAAAQAAAAJAAAAAAAAAAAAAAAAAD4AAADDvGJlci5jc3ZQSwUGAAAAAAIAAgB0AAAAaQAAAAAA",
    );
  });
});

describe("a packed folder", () => {
  it("holds the manifest first, sums of every file, and no hidden one", async () => {
    const pack = await packed("folder", [
      { name: "recordings/a.csv", bytes: bytes("1\n") },
      { name: "case.yaml", bytes: bytes('tautmark: case/1\nname: "bay 3"\n') },
      { name: "recordings/.trash", bytes: bytes("x") },
    ]);
    const text = await pack!.text();
    const manifest = JSON.parse(text.slice(text.indexOf("{"), text.indexOf("\n}") + 2));
    expect(text.slice(30, 43)).toBe("manifest.json");
    expect(manifest.schema).toBe("pack/1");
    expect(manifest.case).toBe("bay 3");
    expect(manifest.files.map((one: { name: string }) => one.name)).toEqual([
      "case.yaml",
      "recordings/a.csv",
    ]);
    // sha256sum of "1\n"
    expect(manifest.files[1]).toEqual({
      name: "recordings/a.csv",
      bytes: 2,
      sha256: "4355a46b19d348dc2f57c046f8ef63d4538ebb936000f3c9ee954a27460dd865",
    });
  });
  it("is none without a case file", async () => {
    expect(await packed("folder", [{ name: "sub/case.yaml", bytes: bytes("") }])).toBeUndefined();
  });
  it("is called as the case calls itself", () => {
    expect(case_name("tautmark: case/1\nname: vessgarth-bay-3 # short\n", "x")).toBe("vessgarth-bay-3");
    expect(case_name('{"tautmark": "case/1",\n "name": "bay 3"}', "x")).toBe("bay 3");
    expect(case_name("tautmark: case/1\n", "folder")).toBe("folder");
  });
});
