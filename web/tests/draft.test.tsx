// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { act } from "preact/test-utils";
import { expect, it } from "vitest";

import { useDraft } from "../src/drives/draft";

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
