// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { act } from "preact/test-utils";
import { beforeEach, expect, it } from "vitest";

import { begin_draft, drafts_of, keep_draft, kept_draft, useDraft, useDraftGone } from "../src/state/draft";

beforeEach(() => localStorage.clear());

it("what is begun stays until it is entered or dropped", () => {
  keep_draft("reading/a/chain length//x/", { values: ["320.62"] });
  keep_draft("reading/b/chain length//x/", { values: ["1"] });
  expect(kept_draft("reading/a/chain length//x/")).toEqual({ values: ["320.62"] });
  expect(drafts_of("reading/a/")).toEqual([{ values: ["320.62"] }]);
  keep_draft("reading/a/chain length//x/", undefined);
  expect(drafts_of("reading/a/")).toEqual([]);
});

it("a second one of the same name is not begun over the first", () => {
  expect([begin_draft("definition/x", 1), begin_draft("definition/x", 2), kept_draft("definition/x")]).toEqual([true, false, 1]);
});

it("what another window entered is heard of, what it goes on typing is not", async () => {
  let gone = 0;
  function Screen() {
    useDraftGone("entry/a", () => ++gone);
    return null;
  }
  const place = document.createElement("div");
  await act(async () => render(<Screen />, place));
  const told = (key: string, newValue: string | null) => dispatchEvent(new StorageEvent("storage", { key, newValue }));
  told("tautmark.draft./entry/a", "{}");
  told("tautmark.draft./entry/b", null);
  expect(gone).toBe(0);
  told("tautmark.draft./entry/a", null);
  expect(gone).toBe(1);
  render(null, place);
  told("tautmark.draft./entry/a", null);
  expect(gone).toBe(1);
});

function Shows() {
  return <p>{useDraft<string>("engine")[0] ?? "nothing"}</p>;
}

it("what another tab writes into the draft is taken over, not overwritten", async () => {
  const place = document.createElement("div");
  await act(() => render(<Shows />, place));
  expect(place.textContent).toBe("nothing");
  const key = "tautmark.draft./engine";
  localStorage.setItem(key, JSON.stringify("typed in the other tab"));
  await act(() => void dispatchEvent(new StorageEvent("storage", { key })));
  expect(place.textContent).toBe("typed in the other tab");
  expect(localStorage.getItem(key)).toBe('"typed in the other tab"');
  render(null, place);
});
