// SPDX-License-Identifier: Apache-2.0
const kSvg = "http://www.w3.org/2000/svg";

export function shape(name: string, attributes: Record<string, string | number>): SVGElement {
  const node = document.createElementNS(kSvg, name);
  for (const [key, value] of Object.entries(attributes))
    if (value !== "") node.setAttribute(key, String(value));
  return node;
}

export function text_at(classes: string, x: number, y: number, words: string): SVGElement {
  const node = shape("text", { class: classes, x, y, "text-anchor": "middle", "dominant-baseline": "central" });
  node.textContent = words;
  return node;
}

// Below one another, the first one at y.
export function lines_at(classes: string, x: number, y: number, lines: string[]): SVGElement {
  const node = text_at(classes, x, y, "");
  lines.forEach((words, i) => {
    const line = shape("tspan", { x, dy: i === 0 ? 0 : "1.1em" });
    line.textContent = words;
    node.append(line);
  });
  return node;
}
