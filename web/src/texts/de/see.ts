// SPDX-License-Identifier: Apache-2.0
import type { see as english } from "../en/see";

export const see: Record<keyof typeof english, string> = {
  bar_no_value: "kein Wert",
  bar_no_limit: "keine Grenze",
  bar_far_below: "weit unter der Grenze, hinter der Unterbrechung der Achse",
  bar_far_above: "weit über der Grenze, hinter der Unterbrechung der Achse",
};
