// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { act } from "preact/test-utils";
import { expect, it, vi } from "vitest";

import { ask } from "../src/ask";
import { DriveEditor } from "../src/drives/editor";

vi.mock("../src/ask", async (original) => ({ ...(await original<object>()), ask: vi.fn() }));
vi.mock("../src/state/asked", () => ({ useAsked: () => ({ told: undefined }) }));
vi.mock("../src/drives/use_check", () => ({
  useCheck: () => ({ checked: { mistakes: [] }, is_present: true, detail: "" }),
}));

it("a kept draft replaces the text that it was begun from, not what somebody saved since", async () => {
  const draft = { text: "tautmark: drive/1\nname: x\ntitle: mine\n", of: "sum as begun" };
  localStorage.setItem("tautmark.draft./definition/x", JSON.stringify(draft));
  vi.mocked(ask).mockImplementation(async (method) => ({
    ok: method === "GET", status: method === "GET" ? 200 : 409, detail: "", mistakes: [], wait: 0,
    told: (method === "GET" ? { text: "tautmark: drive/1\nname: x\ntitle: theirs\n", sha256: "sum of theirs" } : undefined) as never,
  }));
  const place = document.createElement("div");
  await act(async () => render(<DriveEditor name="x" />, place));
  const save = () => [...place.querySelectorAll("button")].find((one) => /save/i.test(one.textContent ?? ""))!;
  await act(async () => save().click());
  await act(async () => save().click());
  const put = vi.mocked(ask).mock.calls.find(([method]) => method === "PUT");
  expect(put?.[2]).toEqual({ text: draft.text, replaces: "sum as begun" });
});
