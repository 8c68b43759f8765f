// SPDX-License-Identifier: Apache-2.0
import { type ComponentChild, render } from "preact";
import { act } from "preact/test-utils";
import { beforeEach, describe, expect, it, vi } from "vitest";

import { EntryCard, WaitingCard } from "../src/case/entry_card";
import type { Entry } from "../src/case/stages";
import { drop, type Waiting } from "../src/state/outbox";

vi.mock("../src/state/outbox", () => ({ drop: vi.fn(), waiting_of: () => [] }));
beforeEach(() => vi.clearAllMocks());

function shown(card: ComponentChild): HTMLElement {
  const place = document.createElement("ul");
  act(() => render(card, place));
  return place;
}

const reading = {
  kind: "reading",
  id: "e12",
  by: "bay 3",
  quantity: "end play",
  place: "bank 1",
  values: "0.12 mm",
  instrument: "dial indicator",
} as Entry;

describe("an entry", () => {
  it("is corrected by a new one, never edited, and shows its receipt", () => {
    const receipt = { seq: 7, id: "e12", hash: "", at: "2026-03-02T10:00:00Z", seat: "tablet" };
    const place = shown(<EntryCard name="bay 3" entry={reading} receipt={receipt} />);
    expect(place.querySelector(".does a")?.getAttribute("href")).toBe(
      "#/enter/bay%203/reading?correct=e12",
    );
    for (const says of ["0.12 mm", "by bay 3", "with dial indicator", "record 7", "from tablet"])
      expect(place.textContent).toContain(says);
  });
  it("is not corrected twice: its correction is", () => {
    const place = shown(<EntryCard name="bay 3" entry={reading} replaced_by="e13" />);
    expect(place.querySelector(".does a")).toBeNull();
    expect(place.textContent).toContain("corrected by e13");
  });
});

describe("an entry that the program refused", () => {
  const one: Waiting = {
    key: "k1",
    number: 1,
    practice: false,
    case: "bay 3",
    entry: reading,
    entered: "2026-03-02T10:00:00Z",
    refused: {
      status: 422,
      detail: "It was not taken.",
      mistakes: [{ line: 1, column: 1, message: "no such place", hint: "bank 2" }],
    },
  };
  it("says why, can be mended, and is dropped only at the second press", () => {
    const place = shown(<WaitingCard name="bay 3" one={one} />);
    expect(place.textContent).toContain("It was not taken.no such place bank 2");
    expect(place.querySelector("a.main")?.getAttribute("href")).toBe("#/enter/bay%203/reading?mend=k1");
    const button = place.querySelector("button")!;
    act(() => button.click());
    expect(drop).not.toHaveBeenCalled();
    act(() => button.click());
    expect(drop).toHaveBeenCalledWith("k1");
  });
  it("only waits when nobody refused it", () => {
    const { refused: _, ...waiting } = one;
    const place = shown(<WaitingCard name="bay 3" one={waiting} />);
    expect(place.querySelector("button")).toBeNull();
    expect(place.textContent).toContain("waits to be sent");
  });
});
