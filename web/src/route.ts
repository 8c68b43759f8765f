// SPDX-License-Identifier: Apache-2.0
// Where the page is, in the part of the address after "#": "#/case/bay%203/measure?entry=e12".
// "#/practice/…" is the same page on the practice store.
import { useEffect, useState } from "preact/hooks";

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

// The log-in is a page of its own; it leads back to where the page is now.
export function login_address(): string {
  return `/login${location.hash}`;
}

export function here(): Route {
  return parsed_route(location.hash);
}

export function go(path: string[], query: Record<string, string> = {}, practice?: boolean): void {
  location.hash = address(path, query, practice ?? here().practice);
}

export function useRoute(): Route {
  const [route, set] = useState(here);
  useEffect(() => {
    const turned = () => {
      set(here());
      scrollTo(0, 0);
    };
    addEventListener("hashchange", turned);
    return () => removeEventListener("hashchange", turned);
  }, []);
  return route;
}
