// SPDX-License-Identifier: Apache-2.0
import type { quick as english } from "../en/quick";

export const quick: Record<keyof typeof english, string> = {};
