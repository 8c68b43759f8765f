// SPDX-License-Identifier: Apache-2.0
// The limits that a service manual has most often, in the order in which they are asked.
import { type Answers, said } from "./answers";

export interface LimitTopic {
  quantity: string; // as the drive file names it
  at: string;
  unit: string; // key of the table's unit, or the unit itself; "": said with the number
  is_new_usual: boolean; // a range of new parts is usual
  mean_or_worst: boolean; // the limit may mean either
  example: string;
  example_new: string;
  also?: { key: string; field: string; unit: string; example: string }[];
}

const size = { unit: "unit.sizes", is_new_usual: true, mean_or_worst: true };
const used_only = { is_new_usual: false, mean_or_worst: false, example_new: "" };

export const kLimits: readonly LimitTopic[] = [
  { quantity: "journal diameter", at: "every journal", ...size, example: "at least 27.950 mm", example_new: "27.960 to 27.980 mm" },
  { quantity: "bore diameter", at: "every journal", ...size, example: "at most 28.060 mm", example_new: "28.020 to 28.040 mm" },
  { quantity: "journal clearance", at: "every journal", ...size, example: "at most 0.110 mm", example_new: "0.040 to 0.080 mm" },
  { quantity: "end play", at: "every camshaft", ...size, mean_or_worst: false, example: "at most 0.20 mm", example_new: "0.05 to 0.15 mm" },
  { quantity: "chain elongation", at: "every chain", ...used_only, unit: "%", example: "at most 0.35 %" },
  {
    quantity: "chain length", at: "every chain", ...used_only, unit: "unit.sizes", example: "at most 321.10 mm",
    also: [{ key: "links", field: "links", unit: "", example: "40" }],
  },
  { quantity: "groove depth", at: "every guide", ...used_only, unit: "unit.sizes", example: "at most 1.0 mm" },
  { quantity: "tensioner extension", at: "every tensioner", ...used_only, unit: "unit.sizes", example: "at most 12.0 mm" },
  { quantity: "tensioner stroke left", at: "every tensioner", ...used_only, unit: "", example: "at least 20 %" },
  {
    quantity: "sink time", at: "every tensioner", ...used_only, unit: "s", example: "at least 8 s",
    also: [
      { key: "drop", field: "drop", unit: "unit.sizes", example: "2 mm" },
      { key: "force", field: "force", unit: "", example: "60 N" },
    ],
  },
  { quantity: "lock play", at: "every phaser", ...used_only, unit: "", example: "at most 0.6 deg cam" },
];

// Of a limit that is given for some places only.
export function unit_of_limit(answers: Answers, quantity: string): string {
  const unit = kLimits.find((topic) => topic.quantity === quantity)?.unit ?? (/out-of-round|taper/.test(quantity) ? "unit.sizes" : "");
  return unit.startsWith("unit.") ? said(answers, unit) : unit;
}

export function limit_key(quantity: string, field: string): string {
  return `limit.${quantity}.${field}`;
}
