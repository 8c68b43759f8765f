// SPDX-License-Identifier: Apache-2.0
import { afterEach, describe, expect, it, vi } from "vitest";

type Handler = (event: { request: Request; respondWith: (answer: Promise<Response>) => void }) => void;

afterEach(() => vi.unstubAllGlobals());

// The worker with a cache that holds one build and the build before it.
async function worker(): Promise<Handler> {
  const handlers: Record<string, Handler> = {};
  const kept: Record<string, Record<string, string>> = {
    "tautmark-page-__BUILD__": { "/": "new page", "/code/index.js": "new code" },
    "tautmark-page-old": { "/code/enter-old.js": "old part", "/code/index.js": "old code" },
  };
  const answer = (text: string | undefined) => (text === undefined ? undefined : new Response(text));
  vi.stubGlobal("self", {
    location: { origin: "https://shop" },
    addEventListener: (name: string, handler: Handler) => (handlers[name] = handler),
  });
  vi.stubGlobal("caches", {
    open: async (name: string) => ({ match: async (file: string) => answer(kept[name]?.[file]) }),
    match: async (file: string) => answer(Object.values(kept).map((one) => one[file]).find(Boolean)),
  });
  vi.stubGlobal("fetch", async () => new Response("from the program"));
  vi.resetModules();
  await import("../src/sw");
  return handlers["fetch"] as Handler;
}

async function told(handler: Handler, url: string, method = "GET"): Promise<string | undefined> {
  let answer: Promise<Response> | undefined;
  handler({ request: { url, method } as Request, respondWith: (given) => (answer = given) });
  return answer && (await answer).text();
}

describe("the service worker", () => {
  it("never answers for the program", async () => {
    const handler = await worker();
    for (const path of ["/api/cases", "/practice/api/cases/x/findings", "/api/events", "/api/openapi.json"])
      expect(await told(handler, `https://shop${path}`), path).toBeUndefined();
    expect(await told(handler, "https://shop/", "POST")).toBeUndefined();
    expect(await told(handler, "https://elsewhere/code/index.js")).toBeUndefined();
  });
  it("gives the files of one build together, and an old part to a page still open", async () => {
    const handler = await worker();
    expect(await told(handler, "https://shop/")).toBe("new page");
    expect(await told(handler, "https://shop/?x=1")).toBe("new page");
    expect(await told(handler, "https://shop/code/index.js")).toBe("new code");
    expect(await told(handler, "https://shop/code/enter-old.js")).toBe("old part");
    expect(await told(handler, "https://shop/code/enter-newest.js")).toBe("from the program");
  });
});
