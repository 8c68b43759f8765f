// SPDX-License-Identifier: Apache-2.0
import { useLayoutEffect, useState } from "preact/hooks";

// Draws anew whenever one of the page's own events is heard: "outbox", "link", "language". From the
// moment it is drawn: what is said before the first picture is heard too.
export function useHeard(...events: string[]): void {
  const [, again] = useState(0);
  useLayoutEffect(() => {
    const heard = () => again((n) => n + 1);
    for (const event of events) addEventListener(event, heard);
    return () => {
      for (const event of events) removeEventListener(event, heard);
    };
  }, []);
}
