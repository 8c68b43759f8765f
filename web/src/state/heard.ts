// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from "preact/hooks";

// Draws anew whenever one of the page's own events is heard: "outbox", "link", "language".
export function useHeard(...events: string[]): void {
  const [, again] = useState(0);
  useEffect(() => {
    const heard = () => again((n) => n + 1);
    for (const event of events) addEventListener(event, heard);
    return () => {
      for (const event of events) removeEventListener(event, heard);
    };
  }, []);
}
