// SPDX-License-Identifier: Apache-2.0
import type { cases as english } from "../en/cases";

export const cases: Record<keyof typeof english, string> = {};
