// SPDX-License-Identifier: Apache-2.0
// The drawing in its frame, turned by finger, mouse or keys. It never turns by itself.
import { useEffect, useRef } from "preact/hooks";

import { build_drawing, type Drawing, type Motion, type Options } from "./drive_drawing";

interface Props {
  motion: Motion;
  options: Options;
  turns: number; // shown when it changes from outside
  about: string; // said instead of the picture
  on_turn: (turns: number) => void;
  on_built: (drawing: Drawing) => void;
}

export function TurnedByHand({ motion, options, turns, about, on_turn, on_built }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<Drawing>();
  const now = useRef(turns);
  now.current = turns;

  useEffect(() => {
    const made = build_drawing(motion, options);
    drawing.current = made;
    made.turn(now.current);
    host.current?.replaceChildren(made.svg);
    on_built(made);
    const fit = new ResizeObserver(() => fit_words(made.svg));
    fit.observe(made.svg);
    return () => fit.disconnect();
  }, [motion, options.mirrored, options.numbers, options.strands]);
  useEffect(() => drawing.current?.turn(turns), [turns]);
  useEffect(() => drawing.current?.svg.setAttribute("aria-label", about), [about, motion, options.mirrored, options.numbers, options.strands]);

  const sense = (motion.clockwise ? 1 : -1) * (options.mirrored ? -1 : 1);
  const last = useRef<number>();
  // A second finger, or the heel of the hand, does not turn it.
  const take = (event: PointerEvent) => {
    if (!event.isPrimary) return;
    last.current = drawing.current && clock_of(drawing.current, event);
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const drag = (event: PointerEvent) => {
    if (!event.isPrimary || last.current === undefined || !drawing.current) return;
    const clock = clock_of(drawing.current, event);
    const turned = ((((clock - last.current + 0.5) % 1) + 1) % 1) - 0.5;
    last.current = clock;
    on_turn(now.current + sense * turned);
  };
  const leave = (event: PointerEvent) => {
    if (event.isPrimary) last.current = undefined;
  };
  return (
    <div
      ref={host}
      class="turned"
      onPointerDown={take}
      onPointerMove={drag}
      onPointerUp={leave}
      onPointerCancel={leave}
    />
  );
}

// Clockwise on the sheet about the crank, in turns.
function clock_of({ svg, crank }: Drawing, event: PointerEvent): number {
  const to_sheet = svg.getScreenCTM()?.inverse();
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(to_sheet);
  return Math.atan2(at.x - crank.x, crank.y - at.y) / (2 * Math.PI);
}

// Words keep the size of the page's, whatever the drawing's scale.
function fit_words(svg: SVGSVGElement): void {
  const scale = svg.getScreenCTM()?.a ?? 1;
  if (scale > 0) svg.setAttribute("font-size", (13 / scale).toFixed(2));
}
