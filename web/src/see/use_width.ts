// SPDX-License-Identifier: Apache-2.0
// The width of a box on the screen, px, as it is now; for drawings whose words keep their size.
import { useEffect, useState } from "preact/hooks";

const kLeast = 240;

export function useWidth(box: { current: HTMLDivElement | null }): number {
  const [width, set] = useState(640);
  useEffect(() => {
    const seen = new ResizeObserver(([entry]) => entry && set(Math.max(kLeast, Math.floor(entry.contentRect.width))));
    if (box.current) seen.observe(box.current);
    return () => seen.disconnect();
  }, []);
  return width;
}
