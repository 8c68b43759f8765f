// SPDX-License-Identifier: Apache-2.0
import type { Phrase } from "../../../said/match";

export const quick_phase: readonly Phrase[] = [
];
