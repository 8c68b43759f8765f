// SPDX-License-Identifier: Apache-2.0
import type { enter as english } from "../en/enter";

export const enter: Record<keyof typeof english, string> = {};
