// SPDX-License-Identifier: Apache-2.0
// A picture in a frame that scrolls: one finger scrolls it, two zoom it about the place between them.
// What lay there stays there, also when buttons zoom: then it is the middle of the frame.
import type { RefObject } from "preact";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";

export const kMostZoom = 8;

interface Held {
  u: number; // 0 to 1 of the picture
  v: number;
  x: number; // px from the corner of the frame
  y: number;
}

export function within(zoom: number): number {
  return Math.min(Math.max(zoom, 1), kMostZoom);
}

// The frame's child carries the zoom as its width.
function held_at(frame: HTMLElement, x: number, y: number): Held {
  return { u: (frame.scrollLeft + x) / frame.scrollWidth, v: (frame.scrollTop + y) / frame.scrollHeight, x, y };
}

function spread(touches: TouchList): { apart: number; x: number; y: number } {
  const [a, b] = [touches[0], touches[1]];
  if (!a || !b) return { apart: 0, x: 0, y: 0 };
  return {
    apart: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY),
    x: (a.clientX + b.clientX) / 2,
    y: (a.clientY + b.clientY) / 2,
  };
}

export function usePinch(frame: RefObject<HTMLElement>, zoom: number, set_zoom: (zoom: number) => void): void {
  const held = useRef<Held>();
  const last = useRef(zoom);
  const now = useRef(zoom);
  now.current = zoom;
  useLayoutEffect(() => {
    const box = frame.current;
    if (!box || zoom === last.current) return;
    const { clientWidth, clientHeight } = box;
    const by = zoom / last.current;
    const at = held.current ?? {
      x: clientWidth / 2,
      y: clientHeight / 2,
      u: (box.scrollLeft + clientWidth / 2) / (box.scrollWidth / by),
      v: (box.scrollTop + clientHeight / 2) / (box.scrollHeight / by),
    };
    last.current = zoom;
    box.scrollLeft = at.u * box.scrollWidth - at.x;
    box.scrollTop = at.v * box.scrollHeight - at.y;
  }, [zoom]);
  useEffect(() => {
    const box = frame.current;
    if (!box) return;
    let begun = { apart: 0, zoom: 1 };
    const two = (event: TouchEvent) => {
      if (event.touches.length !== 2) return void (held.current = undefined);
      if (event.cancelable) event.preventDefault(); // neither a scroll nor a tap
      const { apart, x, y } = spread(event.touches);
      const corner = box.getBoundingClientRect();
      if (event.type === "touchstart") {
        begun = { apart, zoom: now.current };
        held.current = held_at(box, x - corner.left, y - corner.top);
      }
      if (!held.current || begun.apart < 10) return;
      held.current = { ...held.current, x: x - corner.left, y: y - corner.top };
      set_zoom(within((begun.zoom * apart) / begun.apart));
    };
    const all = { passive: false };
    for (const name of ["touchstart", "touchmove", "touchend"] as const) box.addEventListener(name, two, all);
    return () => {
      for (const name of ["touchstart", "touchmove", "touchend"] as const) box.removeEventListener(name, two);
    };
  }, [set_zoom]);
}
