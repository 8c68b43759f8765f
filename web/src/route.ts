// SPDX-License-Identifier: Apache-2.0
// Where the page is, in the part of the address after "#": "#/case/bay%203/measure?entry=e12".
// "#/practice/…" is the same page on the practice store.
import { useLayoutEffect, useState } from "preact/hooks";

export interface Route {
  practice: boolean;
  path: string[]; // ["case", "bay 3", "measure"]
  query: Record<string, string>;
}

export function parsed_route(hash: string): Route {
  const [before = "", after = ""] = hash.replace(/^#/, "").split("?", 2);
  const path = before.split("/").filter(Boolean).map(decoded);
  const practice = path[0] === "practice";
  return {
    practice,
    path: practice ? path.slice(1) : path,
    query: Object.fromEntries(new URLSearchParams(after)),
  };
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

// The address of a path, in the store of `practice`; by default the one the page is in now.
export function address(
  path: string[],
  query: Record<string, string> = {},
  practice = here().practice,
): string {
  const words = (practice ? ["practice", ...path] : path).map(encodeURIComponent).join("/");
  const asked = new URLSearchParams(query).toString();
  return `#/${words}${asked ? `?${asked}` : ""}`;
}

// The log-in, which leads back to where the page is now. Practice has the people of the shop.
export function login_address(more: Record<string, string> = {}): string {
  const now = here();
  const back = kDoor.includes(now.path[0] ?? "") ? now.query["back"] : location.hash;
  return address(["login"], { ...(back ? { back } : {}), ...more }, false);
}

export function pair_address(): string {
  const back = here().query["back"];
  return address(["pair"], back ? { back } : {}, false);
}

// Where the log-in leads: a place of this page and nothing else, whatever the address says.
export function way_back(route: Route): string {
  const back = route.query["back"] ?? "";
  const is_place = back.startsWith("#/") && !kDoor.includes(parsed_route(back).path[0] ?? "");
  return is_place ? back : address([], {}, false);
}

const kDoor = ["login", "pair"]; // where nobody has to be logged in, and nobody is led back to

// "/pair#K7QM-4TRX", as it is scanned, and "/login", "/people", as they are typed -> places of the
// page. What stands behind "#" is never sent.
export function place_of(path: string, hash: string): string | undefined {
  const name = path.slice(1);
  if (!["login", "pair", "people"].includes(name)) return undefined;
  const said = hash.replace(/^#/, "");
  if (name === "pair") return address(["pair", ...(said ? [decoded(said)] : [])], {}, false);
  return address([name], said.startsWith("/") ? { back: `#${said}` } : {}, false);
}

export function take_place(): void {
  const place = place_of(location.pathname, location.hash);
  if (place !== undefined) history.replaceState(null, "", `/${place}`);
}

export function here(): Route {
  return parsed_route(location.hash);
}

export function go(path: string[], query: Record<string, string> = {}, practice?: boolean): void {
  location.hash = address(path, query, practice ?? here().practice);
}

const stages_seen = new Map<string, string>(); // of each case, the last one that was on the screen

export function stage_seen(name: string, stage: string | undefined): void {
  if (stage !== undefined) stages_seen.set(name, stage);
}

// From a form to where it was opened: the step of the work that wanted it, else the stage of the case.
export function case_address(name: string): string {
  const step = here().query["for_step"];
  const stage = stages_seen.get(name);
  if (step !== undefined) return address(["case", name, "work"], { step });
  return address(stage === undefined ? ["case", name] : ["case", name, stage]);
}

// It listens before anything can be pressed: an effect after the first picture would miss a press on
// a slow device.
export function useRoute(): Route {
  const [route, set] = useState(here);
  useLayoutEffect(() => {
    const turned = () => {
      set(here());
      scrollTo(0, 0);
    };
    addEventListener("hashchange", turned);
    return () => removeEventListener("hashchange", turned);
  }, []);
  return route;
}
