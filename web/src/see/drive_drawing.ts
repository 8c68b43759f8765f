// SPDX-License-Identifier: Apache-2.0
// The drive as a drawing that is built once and turned by moving what is there: wheels by one
// rotation each, links by the dashes of their way, marked and numbered links by one shift each.
import type { Schemas } from "../ask";
import { said } from "../said/said";
import { lines_at, shape, text_at } from "./svg";
import { dash_offset, on_piece, outside_of, type Spot, spot_on, type Way, way_of } from "./way";

export type Motion = Schemas["motion"];

export interface Options {
  mirrored: boolean; // as seen from the flywheel end
  numbers: boolean;
  strands: boolean;
}

export interface Drawing {
  svg: SVGSVGElement;
  turn(turns: number): void; // crank turns from the marks
  crank: Spot; // in the units of the view box
}

interface Page {
  side: number; // -1: mirrored
  x(mm: number): number;
  y(mm: number): number;
}

interface LinkShown {
  node: SVGElement;
  link: number;
  is_words: boolean;
}

const kAside = 8; // pitches
const kMargin = 34; // mm about the drive

export function build_drawing(motion: Motion, options: Options): Drawing {
  const side = options.mirrored ? -1 : 1;
  const page: Page = { side, x: (mm) => side * mm, y: (mm) => -mm };
  const svg = shape("svg", { viewBox: view_box(motion, page), role: "img" }) as SVGSVGElement;
  for (const arc of motion.arcs) svg.append(arc_shape(arc, page));
  for (const plunger of motion.plungers) svg.append(plunger_shape(plunger, page));
  const wheels = [...motion.wheels].sort((a, b) => b.radius_mm - a.radius_mm);
  const turners = wheels.map((wheel) => add_wheel(svg, wheel, page));
  const over = shape("g", {}); // marked links and words hide behind no other chain
  const movers = motion.chains.map((chain) => add_chain(svg, over, chain, page, options));
  svg.append(over);
  for (const wheel of wheels) add_wheel_words(svg, wheel, page, wheels);
  const crank = motion.wheels[0];
  return {
    svg,
    crank: { x: page.x(crank?.x_mm ?? 0), y: page.y(crank?.y_mm ?? 0) },
    turn(turns) {
      for (const turner of turners) turner(turns);
      for (const mover of movers) mover(turns);
    },
  };
}

function view_box(motion: Motion, page: Page): string {
  let [left, right, top, bottom] = [Infinity, -Infinity, Infinity, -Infinity];
  const take = (x: number, y: number) => {
    [left, right] = [Math.min(left, page.x(x)), Math.max(right, page.x(x))];
    [top, bottom] = [Math.min(top, page.y(y)), Math.max(bottom, page.y(y))];
  };
  for (const { x_mm, y_mm, radius_mm } of motion.wheels)
    for (const [dx, dy] of [[1, 1], [-1, -1]] as const)
      take(x_mm + dx * radius_mm, y_mm + dy * radius_mm);
  for (const chain of motion.chains)
    for (const piece of chain.way)
      for (const part of [0, 0.25, 0.5, 0.75]) take(on_piece(piece, part).x, on_piece(piece, part).y);
  for (const { x_mm, y_mm } of motion.plungers) take(x_mm, y_mm);
  if (left > right) return "-100 -100 200 200";
  // Words keep their size on a small screen: beside a wide drive they need a part of its width.
  const beside = Math.max(kMargin, 0.2 * (right - left));
  const words = [left - beside, top - kMargin, right - left + 2 * beside, bottom - top + 2 * kMargin];
  return words.map((n) => n.toFixed(1)).join(" ");
}

function on_clock(page: Page, center: Spot, radius: number, clock_deg: number): Spot {
  const clock = (clock_deg * Math.PI) / 180;
  return {
    x: page.x(center.x + radius * Math.sin(clock)),
    y: page.y(center.y + radius * Math.cos(clock)),
  };
}

function arc_shape(arc: Schemas["motion_arc"], page: Page): SVGElement {
  const center = { x: arc.x_mm, y: arc.y_mm };
  const from = on_clock(page, center, arc.radius_mm, arc.from_deg);
  const to = on_clock(page, center, arc.radius_mm, arc.to_deg);
  const large = (arc.to_deg - arc.from_deg + 360) % 360 > 180 ? 1 : 0;
  const sweep = page.side > 0 ? 1 : 0;
  const group = shape("g", { class: arc.touched ? "arc" : "arc untouched" });
  const d = `M${from.x} ${from.y}A${arc.radius_mm} ${arc.radius_mm} 0 ${large} ${sweep} ${to.x} ${to.y}`;
  group.append(shape("path", { d }));
  if (arc.pivot_x_mm !== undefined && arc.pivot_y_mm !== undefined) {
    const [x, y] = [page.x(arc.pivot_x_mm), page.y(arc.pivot_y_mm)];
    group.append(shape("path", { class: "lever", d: `M${from.x} ${from.y}L${x} ${y}L${to.x} ${to.y}` }));
    group.append(shape("circle", { cx: x, cy: y, r: 3 }));
  }
  return group;
}

function plunger_shape(plunger: Schemas["motion_plunger"], page: Page): SVGElement {
  const turned = page.side * plunger.points_deg;
  const place = `translate(${page.x(plunger.x_mm)} ${page.y(plunger.y_mm)}) rotate(${turned})`;
  const group = shape("g", { class: "plunger", transform: place });
  group.append(shape("path", { d: `M-8 0h16v18h-16zM-4.500 0v${-plunger.extension_mm}h9V0` }));
  return group;
}

function add_wheel(svg: SVGElement, wheel: Schemas["motion_wheel"], page: Page): (turns: number) => void {
  const { radius_mm: radius } = wheel;
  const place = shape("g", {
    class: `wheel ${wheel.error ? "off" : ""}`,
    transform: `translate(${page.x(wheel.x_mm)} ${page.y(wheel.y_mm)})`,
  });
  const turning = shape("g", {});
  // Mirrored, the outline is seen from behind; teeth are the same from both sides.
  turning.append(shape("path", { class: "contour", d: wheel.outline, transform: page.side < 0 ? "scale(-1 1)" : "" }));
  turning.append(shape("circle", { class: "thin", r: 0.62 * radius }));
  turning.append(shape("path", { class: "thin", d: `M0 ${-0.62 * radius}V${-0.2 * radius}M0 ${0.2 * radius}V${0.62 * radius}M${-0.62 * radius} 0H${-0.2 * radius}M${0.2 * radius} 0H${0.62 * radius}` }));
  const rotated = (deg: number) => `rotate(${page.side * (deg - wheel.tooth_deg)})`;
  if (wheel.mark)
    turning.append(shape("path", { class: "mark", d: mark_path(radius), transform: rotated(wheel.mark.clock_deg) }));
  if (wheel.should_be_deg !== undefined)
    turning.append(shape("path", { class: "should_be", d: mark_path(radius), transform: rotated(wheel.should_be_deg) }));
  place.append(turning, shape("circle", { class: "hub", r: 0.14 * radius }));
  if (wheel.casting_deg !== undefined) {
    const d = `M0 ${-radius - 9}l-4-9h8z`;
    place.append(shape("path", { class: "pointer", d, transform: `rotate(${page.side * wheel.casting_deg})` }));
  }
  svg.append(place);
  return (turns) => {
    const turned = page.side * (wheel.tooth_deg + 360 * ((wheel.clockwise_turns * turns) % 1));
    turning.setAttribute("transform", `rotate(${turned.toFixed(3)})`);
  };
}

function mark_path(radius: number): string {
  return `M0 ${-radius * 0.68}l-${radius * 0.07} ${radius * 0.12}h${radius * 0.14}zM0 ${-radius * 0.68}V${-radius * 0.96}`;
}

function add_wheel_words(svg: SVGElement, wheel: Schemas["motion_wheel"], page: Page, all: Schemas["motion_wheel"][]): void {
  const here = all.filter((other) => Math.hypot(other.x_mm - wheel.x_mm, other.y_mm - wheel.y_mm) < 1);
  if (here[0] !== wheel) return; // one name for sprockets on one shaft
  const has_banks = new Set(all.flatMap(({ name }) => /^bank \d+/.exec(name) ?? [])).size > 1;
  // A long German word takes two lines.
  const shown = said((has_banks ? wheel.name : wheel.label).trim()).replace(/(Einlass|Auslass)nocken/, "$1- nocken");
  const words = shown.split(" / ");
  const lines = words.length > 1 ? words : (words[0] ?? "").split(" ");
  svg.append(lines_at("name", page.x(wheel.x_mm), page.y(wheel.y_mm) + 0.38 * wheel.radius_mm, lines));
}

function piece_path(piece: Schemas["motion_piece"], page: Page): string {
  const to = `${page.x(piece.x2_mm)} ${page.y(piece.y2_mm)}`;
  const from = `M${page.x(piece.x1_mm)} ${page.y(piece.y1_mm)}`;
  if (piece.radius_mm === 0) return `${from}L${to}`;
  const large = Math.abs(piece.clockwise_deg) > 180 ? 1 : 0;
  const sweep = piece.clockwise_deg * page.side > 0 ? 1 : 0;
  return `${from}A${piece.radius_mm} ${piece.radius_mm} 0 ${large} ${sweep} ${to}`;
}

function add_chain(svg: SVGElement, over: SVGElement, chain: Schemas["motion_chain"], page: Page, options: Options): (turns: number) => void {
  const way = way_of(chain);
  const pitch = chain.pitch_mm;
  const whole = chain.way.map((piece) => piece_path(piece, page)).join("");
  svg.append(
    shape("path", { class: "band_edge", d: whole, "stroke-width": 0.74 * pitch }),
    shape("path", { class: "band", d: whole, "stroke-width": 0.58 * pitch }),
  );
  const dashes = chain.way.map((piece, k) => {
    const same = { d: piece_path(piece, page), pathLength: piece.pitches };
    const plates = shape("path", { ...same, class: "plates", "stroke-width": 0.58 * pitch, "stroke-dasharray": "1 1" });
    const pins = shape("path", { ...same, class: "pins", "stroke-width": 0.3 * pitch, "stroke-dasharray": "0 1" });
    svg.append(plates, pins);
    return { k, plates, pins };
  });
  const links = [...marked_links(chain, pitch), ...(options.numbers ? link_numbers(chain) : [])];
  for (const { node } of links) over.append(node);
  if (options.strands) for (const strand of chain.strands) over.append(strand_words(strand, chain, way, page));
  const outside = outside_of(way) * 2.7 * pitch; // beyond the pointers on the casting
  return (turns) => {
    const pin = chain.first_pin + chain.pitches_per_turn * turns;
    for (const { k, plates, pins } of dashes) {
      plates.setAttribute("stroke-dashoffset", dash_offset(way, k, pin, 2).toFixed(4));
      pins.setAttribute("stroke-dashoffset", dash_offset(way, k, pin, 1).toFixed(4));
    }
    for (const { node, link, is_words } of links) {
      const [a, b] = [spot_on(way, pin + link), spot_on(way, pin + link + 1)];
      if (is_words) put_words(node, a, b, outside, page);
      else node.setAttribute("transform", between(a, b, page));
    }
  };
}

function between(a: Spot, b: Spot, page: Page): string {
  const x = page.x((a.x + b.x) / 2);
  const y = page.y((a.y + b.y) / 2);
  const turned = (Math.atan2(page.y(b.y) - page.y(a.y), page.x(b.x) - page.x(a.x)) * 180) / Math.PI;
  return `translate(${x.toFixed(2)} ${y.toFixed(2)}) rotate(${turned.toFixed(2)})`;
}

// Words stand outside of the loop and begin or end at it, so that they never cover the chain.
function put_words(node: SVGElement, a: Spot, b: Spot, outside: number, page: Page): void {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const off = outside / (Math.hypot(dx, dy) || 1);
  const x = page.x((a.x + b.x) / 2 - dy * off);
  const y = page.y((a.y + b.y) / 2 + dx * off);
  node.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
  const aside = (-dy * off * page.side) / Math.abs(outside);
  const anchor = aside > 0.4 ? "start" : aside < -0.4 ? "end" : "middle";
  if (node.getAttribute("text-anchor") !== anchor) node.setAttribute("text-anchor", anchor);
}

function marked_links(chain: Schemas["motion_chain"], pitch: number): LinkShown[] {
  const [half, rounding] = [0.5 * pitch, 0.42 * pitch];
  const all = new Set(chain.marked.map(({ link }) => link));
  return chain.marked.flatMap(({ link, color }) => {
    const node = shape("rect", { class: "marked", x: -half - 0.3 * pitch, y: -rounding, width: 1.6 * pitch, height: 2 * rounding, rx: rounding });
    // Of neighbors the first one carries the word for both.
    const follows = all.has((link + chain.links - 1) % chain.links);
    const words = { node: text_at("link_color", 0, 0, said(color)), link, is_words: true };
    return [{ node, link, is_words: false }, ...(follows ? [] : [words])];
  });
}

function link_numbers(chain: Schemas["motion_chain"]): LinkShown[] {
  const has_word = (link: number) => chain.marked.some((mark) => Math.abs(mark.link - link) < 4);
  const shown: LinkShown[] = [];
  for (let link = 0; link < chain.links; link += 10)
    if (!has_word(link)) shown.push({ node: text_at("number", 0, 0, String(link)), link, is_words: true });
  return shown;
}

function strand_words(strand: Schemas["motion_strand"], chain: Schemas["motion_chain"], way: Way, page: Page): SVGElement {
  // Between two banks a slack and a tight strand meet: their words stand one above the other.
  const at = strand.at + (strand.name.startsWith("slack") ? kAside : 0);
  const [a, b] = [spot_on(way, at - 0.5), spot_on(way, at + 0.5)];
  const words = text_at("strand", 0, 0, said(strand.name));
  put_words(words, a, b, outside_of(way) * 1.6 * chain.pitch_mm, page);
  return words;
}
