// SPDX-License-Identifier: Apache-2.0
// The two questions that come before every other, as the first page asks them. Nothing said here
// can allow turning: it only says why not, and goes along to the program's own question.
import type { Key } from "../texts";

export type Apart = "no" | "yes" | "unknown";
export type Turned = "no" | "yes" | "unknown";

export interface Said {
  apart?: Apart;
  turned?: Turned;
}

export function why_not_turn({ apart, turned }: Said): Key {
  if (apart === undefined || turned === undefined) return "first_why_unsaid";
  if (turned === "yes") return "first_why_turned";
  return apart === "unknown" || turned === "unknown" ? "first_why_unknown" : "first_why_asked";
}

// The words of the program's question. How it was turned is asked there: "yes" is no answer to it.
export function turn_query({ apart, turned }: Said): Record<string, string> {
  return {
    ...(apart ? { apart } : {}),
    ...(turned ? { turned: turned === "no" ? "no" : "unknown" } : {}),
  };
}
