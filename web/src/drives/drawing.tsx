// SPDX-License-Identifier: Apache-2.0
// A drawing of the program. It brings its own style, which must not reach the page: it stands in a
// tree of its own. The program's SVG holds no script; what could run is left out all the same.
import { useEffect, useRef } from "preact/hooks";

export function Drawing({ svg }: { svg: string }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return;
    const root = host.current.shadowRoot ?? host.current.attachShadow({ mode: "open" });
    const drawn = parsed_drawing(svg);
    root.replaceChildren(...(drawn ? [drawn] : []));
  }, [svg]);
  return <div class="drawing" ref={host} />;
}

export function parsed_drawing(svg: string): Element | undefined {
  const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  if (drawn.nodeName !== "svg") return undefined;
  for (const each of [...drawn.querySelectorAll("script, foreignObject, a")]) each.remove();
  for (const each of [drawn, ...drawn.querySelectorAll("*")])
    for (const name of each.getAttributeNames())
      if (name.toLowerCase().startsWith("on")) each.removeAttribute(name);
  drawn.removeAttribute("height");
  drawn.setAttribute("width", "100%");
  return document.importNode(drawn, true);
}
