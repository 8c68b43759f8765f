// SPDX-License-Identifier: Apache-2.0
import { author } from "./en/author";
import { cases } from "./en/cases";
import { clearance } from "./en/clearance";
import { door } from "./en/door";
import { drives } from "./en/drives";
import { enter } from "./en/enter";
import { manual } from "./en/manual";
import { oil } from "./en/oil";
import { parts } from "./en/parts";
import { quick } from "./en/quick";
import { see } from "./en/see";
import { shell } from "./en/shell";
import { trace } from "./en/trace";
import { work } from "./en/work";

export const all = { ...shell, ...door, ...cases, ...enter, ...see, ...drives, ...manual, ...quick, ...trace, ...clearance, ...oil, ...work, ...parts, ...author };
