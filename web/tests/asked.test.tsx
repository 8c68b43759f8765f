// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { act } from "preact/test-utils";
import { afterEach, describe, expect, it, vi } from "vitest";

import { useAsked } from "../src/state/asked";

function Shows({ turned: _ }: { turned: number }) {
  return <p>{useAsked<{ says: string }>("/api/cases").told?.says ?? "nothing"}</p>;
}

const settle = () => act(() => new Promise((done) => setTimeout(done, 0)));

afterEach(() => vi.unstubAllGlobals());

describe("an answer", () => {
  it("of one store is never shown in the other", async () => {
    vi.stubGlobal("EventSource", class { close() {} addEventListener() {} });
    let is_there = true;
    vi.stubGlobal("fetch", async (path: string) => {
      if (!is_there) throw new TypeError("no route");
      return new Response(JSON.stringify({ says: path }), { headers: { "Content-Type": "application/json" } });
    });
    const place = document.createElement("div");
    location.hash = "#/practice/cases";
    await act(() => render(<Shows turned={1} />, place));
    await settle();
    expect(place.textContent).toBe("/practice/api/cases");
    is_there = false;
    location.hash = "#/cases";
    await act(() => render(<Shows turned={2} />, place));
    await settle();
    expect(place.textContent).toBe("nothing");
    render(null, place);
  });
});
