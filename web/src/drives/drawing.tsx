// SPDX-License-Identifier: Apache-2.0
// A drawing of the program. It brings its own style, which must not reach the page: it stands in a
// tree of its own. The program's SVG holds no script; what could run is left out all the same.
import { useEffect, useRef } from "preact/hooks";

import { t } from "../texts";

// `least`: how narrow it may get anywhere.
export function Drawing({ svg, least = "" }: { svg: string; least?: string }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return;
    const root = host.current.shadowRoot ?? host.current.attachShadow({ mode: "open" });
    const drawn = parsed_drawing(svg);
    root.replaceChildren(...(drawn ? [drawn.picture] : []));
    const sheet = new CSSStyleSheet(); // not a style element: a page may be forbidden those
    // Its words stay legible on a phone: there it is wider than the sheet, and moved by finger. On
    // a desk, where nobody looks for more behind the edge, it is whole.
    sheet.replaceSync(`${drawn?.style ?? ""} svg { display: block; } @media (max-width: 60rem) { svg { min-width: 34rem; } } ${least ? `svg { min-width: ${least} !important; }` : ""}`);
    root.adoptedStyleSheets = [sheet];
  }, [svg, least]);
  return <div class="drawing" ref={host} tabIndex={0} role="group" aria-label={t("drives_drawing")} />;
}

interface Parsed {
  picture: Element;
  style: string;
}

export function parsed_drawing(svg: string): Parsed | undefined {
  const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  if (drawn.nodeName !== "svg") return undefined;
  const styles = [...drawn.querySelectorAll("style")];
  const style = styles.map((each) => each.textContent).join("\n");
  for (const each of [...styles, ...drawn.querySelectorAll("script, foreignObject, a")]) each.remove();
  for (const each of [drawn, ...drawn.querySelectorAll("*")])
    for (const name of each.getAttributeNames())
      if (name.toLowerCase().startsWith("on")) each.removeAttribute(name);
  drawn.removeAttribute("height");
  drawn.setAttribute("width", "100%");
  return { picture: document.importNode(drawn, true), style };
}
