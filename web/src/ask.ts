// SPDX-License-Identifier: Apache-2.0
// One way to ask the program. Never throws: what went wrong is a sentence.
import type { components } from "./api";
import { here } from "./route";
import { t } from "./texts";

export type Schemas = components["schemas"];

export interface Told<T> {
  ok: boolean;
  status: number; // 0: the program does not answer
  told: T | undefined;
  detail: string; // empty when ok
  mistakes: Schemas["mistake"][];
  wait: number; // s until it may be asked again; 0: at once
}

// "/api/cases" -> the same of the store the page is in.
export function in_store(path: string): string {
  return here().practice ? `/practice${path}` : path;
}

// "the name is wrong" -> "The name is wrong."
export function sentence(text: string): string {
  const begun = text.charAt(0).toUpperCase() + text.slice(1);
  return begun === "" || /[.!?][)“”]?$/.test(begun) ? begun : `${begun}.`;
}

export async function ask<T>(method: string, path: string, body?: unknown): Promise<Told<T>> {
  const init: RequestInit = { method, cache: "no-store", headers: {} };
  if (body instanceof Blob) {
    init.headers = { "Content-Type": body.type || "application/octet-stream" };
    init.body = body;
  } else if (method !== "GET") {
    init.headers = { "Content-Type": "application/json" };
    if (body !== undefined) init.body = JSON.stringify(body);
  }
  try {
    return await told_by<T>(await fetch(in_store(path), init));
  } catch {
    return { ok: false, status: 0, told: undefined, detail: t("no_answer"), mistakes: [], wait: 0 };
  }
}

let refused_at: string | undefined; // the place of the page that needs a log-in

export function is_login_needed(): boolean {
  return refused_at === location.hash;
}

export function logged_in(): void {
  refused_at = undefined;
  dispatchEvent(new Event("login"));
}

function needs_login(): void {
  refused_at = location.hash;
  dispatchEvent(new Event("login"));
}

async function told_by<T>(answer: Response): Promise<Told<T>> {
  const type = answer.headers.get("Content-Type") ?? "";
  const told = type.includes("json") ? await answer.json() : await answer.text();
  if (answer.status === 401) needs_login();
  const wrong = answer.ok ? undefined : (told as Partial<Schemas["problem"]>);
  return {
    ok: answer.ok,
    status: answer.status,
    told: answer.ok ? (told as T) : undefined,
    detail: answer.ok ? "" : sentence(wrong?.detail ?? wrong?.title ?? answer.statusText),
    mistakes: wrong?.mistakes ?? [],
    wait: Number(answer.headers.get("Retry-After") ?? 0),
  };
}

// The API's path of a case: case_path("bay 3", "findings") is "/api/cases/bay%203/findings".
export function case_path(name: string, ...more: string[]): string {
  return ["/api/cases", ...[name, ...more].map(encodeURIComponent)].join("/");
}
