// SPDX-License-Identifier: Apache-2.0
// On paper nothing can be unfolded: cautions and what is open stand there whole.
const kPrinted = "details.prints:not([open])";

export function start_printing(): void {
  let unfolded: HTMLDetailsElement[] = [];
  addEventListener("beforeprint", () => {
    for (const one of document.querySelectorAll<HTMLDetailsElement>(kPrinted)) {
      one.open = true;
      unfolded.push(one);
    }
  });
  addEventListener("afterprint", () => {
    for (const one of unfolded) one.open = false;
    unfolded = [];
  });
}
