// SPDX-License-Identifier: Apache-2.0
import type { see as english } from "../en/see";

export const see: Record<keyof typeof english, string> = {};
