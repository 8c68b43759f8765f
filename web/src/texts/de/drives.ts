// SPDX-License-Identifier: Apache-2.0
import type { drives as english } from "../en/drives";

export const drives: Record<keyof typeof english, string> = {};
