// SPDX-License-Identifier: Apache-2.0
// Fingers, mouse and wheel over a drawing along one axis.
import { useRef } from "preact/hooks";

import { moved, type Stretch, zoomed } from "./window";

const kDoubleTap = 400; // ms
const kSamePlace = 0.06; // of the width; a gloved finger is broad
const kStill = 0.02;

// One finger or the mouse moves, two fingers or the wheel zoom; two taps at one place show it four
// times closer. The time under each of two fingers stays under it.
export function useFingers(now: () => Stretch, act: (next: Stretch) => void, whole: Stretch) {
  const down = useRef(new Map<number, number>());
  const tapped = useRef({ time: -kDoubleTap, at: 0, moved: 0 });
  const place = (event: MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    return (event.clientX - box.left) / box.width;
  };
  const leave = (event: PointerEvent) => void down.current.delete(event.pointerId);
  const up = (event: PointerEvent) => {
    const is_alone = down.current.size === 1;
    leave(event);
    const { time, at, moved: way } = tapped.current;
    if (!is_alone || way > kStill) return;
    const here = place(event);
    const is_second = event.timeStamp - time < kDoubleTap && Math.abs(here - at) < kSamePlace;
    tapped.current = { time: is_second ? -kDoubleTap : event.timeStamp, at: here, moved: 0 };
    if (is_second) act(zoomed(now(), 4, here, whole));
  };
  return {
    onPointerDown: (event: PointerEvent) => {
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
      down.current.set(event.pointerId, place(event));
      tapped.current.moved = down.current.size > 1 ? Infinity : 0;
    },
    onPointerMove: (event: PointerEvent) => {
      const before = down.current.get(event.pointerId);
      if (before === undefined) return;
      const at = place(event);
      const second = [...down.current].find(([id]) => id !== event.pointerId)?.[1];
      down.current.set(event.pointerId, at);
      tapped.current.moved += Math.abs(at - before);
      if (second === undefined) return act(moved(now(), before - at, whole));
      const apart = Math.abs(before - second);
      if (apart > 0.02) act(zoomed(now(), Math.abs(at - second) / apart, second, whole));
    },
    onPointerUp: up,
    onPointerCancel: leave,
    onWheel: (event: WheelEvent) => {
      event.preventDefault();
      act(zoomed(now(), Math.exp(-event.deltaY / 400), place(event), whole));
    },
  };
}
