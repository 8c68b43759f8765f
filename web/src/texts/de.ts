// SPDX-License-Identifier: Apache-2.0
import { author } from "./de/author";
import { cases } from "./de/cases";
import { clearance } from "./de/clearance";
import { door } from "./de/door";
import { drives } from "./de/drives";
import { enter } from "./de/enter";
import { manual } from "./de/manual";
import { oil } from "./de/oil";
import { parts } from "./de/parts";
import { quick } from "./de/quick";
import { see } from "./de/see";
import { shell } from "./de/shell";
import { trace } from "./de/trace";
import { work } from "./de/work";

export const all = { ...shell, ...door, ...cases, ...enter, ...see, ...drives, ...manual, ...quick, ...trace, ...clearance, ...oil, ...work, ...parts, ...author };
