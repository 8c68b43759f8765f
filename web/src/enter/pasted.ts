// SPDX-License-Identifier: Apache-2.0
// Readings pasted from elsewhere, "28.072 28.071 28.073 mm": all of it is understood or none.
import { useLayoutEffect } from "preact/hooks";

import { value_parts } from "./decimal_sign";
import type { Unit } from "./units";

interface Pasted {
  values: string[]; // with a point
  unit: Unit | undefined; // as written; undefined: not written
}

// Undefined: something in it is no reading, or has a sign. Between readings stand blanks,
// semicolons or ends of lines; a comma is a decimal sign.
export function pasted(text: string, units: readonly Unit[]): Pasted | undefined {
  const { values, unit } = value_parts(text.replace(/[;\s]+/g, " ").replace(/(\d)([a-zµ%])/g, "$1 $2"));
  const written = units.find((one) => one.name === unit);
  if (values.length === 0 || (unit !== "" && !written) || values.some((one) => one.startsWith("-")))
    return undefined;
  return { values: values.map((one) => one.replace(",", ".")), unit: written };
}

export function usePasted(on_text: (text: string) => void): void {
  useLayoutEffect(() => {
    const heard = (event: ClipboardEvent) => {
      if (/^(INPUT|SELECT|TEXTAREA)$/.test((event.target as HTMLElement | null)?.tagName ?? "")) return;
      const text = event.clipboardData?.getData("text/plain") ?? "";
      if (text.trim() === "") return;
      event.preventDefault();
      on_text(text);
    };
    addEventListener("paste", heard);
    return () => removeEventListener("paste", heard);
  });
}
