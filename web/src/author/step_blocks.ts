// SPDX-License-Identifier: Apache-2.0
// The steps of a procedure as blocks of lines in the text of a definition: found, moved, taken out,
// put in. Only lines are handled: what a block means says the program.
import { scalar } from "../drives/yaml_lines";

interface StepBlock {
  name: string;
  first: number; // lines from 1, comments above it included
  count: number;
}

interface Section {
  indent: string; // of the dashes
  blocks: StepBlock[];
  end: number; // the first line behind the section, from 1
}

function lines_of(text: string): string[] {
  return text.split("\n");
}

// `undefined`: the text has no procedure, or writes it in one line as JSON does.
export function section_of(text: string): Section | undefined {
  const lines = lines_of(text);
  const begin = lines.findIndex((line) => /^procedure:\s*(#.*)?$/.test(line));
  if (begin < 0) return undefined;
  const first = lines.findIndex((line, i) => i > begin && /^\s*- /.test(line));
  const above = lines.slice(begin + 1, first < 0 ? undefined : first);
  if (first < 0 || above.some((line) => /^[^\s#]/.test(line))) return { indent: "  ", blocks: [], end: begin + 2 };
  const indent = /^\s*/.exec(lines[first] ?? "")?.[0] ?? "";
  let end = first;
  while (end < lines.length && !is_over(lines[end] ?? "", indent)) ++end;
  while (end > first && !(lines[end - 1] ?? "").trim()) --end;
  const starts: number[] = [];
  for (let i = first; i < end; ++i) {
    if (!(lines[i] ?? "").startsWith(`${indent}- `)) continue;
    let from = i;
    while (from > begin + 1 && /^\s*#/.test(lines[from - 1] ?? "") && from - 1 > (starts.at(-1) ?? begin)) --from;
    starts.push(from);
  }
  const blocks = starts.map((start, i) => {
    const count = (starts[i + 1] ?? end) - start;
    return { name: name_in(lines.slice(start, start + count)), first: start + 1, count };
  });
  return { indent, blocks, end: end + 1 };
}

function is_over(line: string, indent: string): boolean {
  return /^[^\s#]/.test(line) && !(indent === "" && line.startsWith("- "));
}

function name_in(lines: readonly string[]): string {
  for (const line of lines) {
    const found = /^\s*(?:- )?\{?\s*(?:.*[,{]\s*)?name:\s*("(?:[^"\\]|\\.)*"|'[^']*'|[^,}#]+)/.exec(line);
    if (!found) continue;
    const said = (found[1] ?? "").trim();
    if (said.startsWith('"')) return unquoted(said);
    return said.startsWith("'") ? said.slice(1, -1) : said;
  }
  return "";
}

function unquoted(said: string): string {
  try {
    return JSON.parse(said) as string;
  } catch {
    return said.slice(1, -1);
  }
}

// Names are compared as the program does.
export function same_name(a: string, b: string): boolean {
  const plain = (text: string) => text.trim().toLowerCase().replace(/\s+/g, " ");
  return plain(a) === plain(b);
}

export function block_named(text: string, name: string): StepBlock | undefined {
  return section_of(text)?.blocks.find((block) => same_name(block.name, name));
}

export function block_at(text: string, line: number): StepBlock | undefined {
  return section_of(text)?.blocks.find((block) => line >= block.first && line < block.first + block.count);
}

export function block_text(text: string, block: StepBlock): string {
  return lines_of(text).slice(block.first - 1, block.first - 1 + block.count).join("\n");
}

export function with_block(text: string, block: StepBlock, next: string): string {
  const lines = lines_of(text);
  lines.splice(block.first - 1, block.count, ...next.replace(/\n+$/, "").split("\n"));
  return lines.join("\n");
}

export function without_block(text: string, block: StepBlock): string {
  const lines = lines_of(text);
  lines.splice(block.first - 1, block.count);
  return lines.join("\n");
}

// Changes places with the block before (-1) or behind (1) it.
export function moved_block(text: string, name: string, by: -1 | 1): string {
  const blocks = section_of(text)?.blocks ?? [];
  const at = blocks.findIndex((block) => same_name(block.name, name));
  const [upper, lower] = by < 0 ? [blocks[at - 1], blocks[at]] : [blocks[at], blocks[at + 1]];
  if (!upper || !lower) return text;
  const swapped = `${block_text(text, lower)}\n${block_text(text, upper)}`;
  return with_block(text, { ...upper, count: upper.count + lower.count }, swapped);
}

// `block` is written without indentation. Behind the block `behind`, else behind all others.
export function with_new_block(text: string, block: string, behind?: string): string {
  const section = section_of(text);
  if (!section) return `${text.replace(/\n*$/, "\n")}procedure:\n${indented(block, "  ")}\n`;
  const after = behind === undefined ? undefined : section.blocks.find((one) => same_name(one.name, behind));
  const at = after ? after.first + after.count - 1 : section.end - 1;
  const lines = lines_of(text);
  lines.splice(at, 0, ...indented(block, section.indent).split("\n"));
  return lines.join("\n");
}

function after_of(block: string): string {
  const found = /(?:^|[\n,{])\s*after:\s*("(?:[^"\\]|\\.)*"|[^,}#\n]+)/.exec(block)?.[1]?.trim() ?? "";
  return found.startsWith('"') ? unquoted(found) : found;
}

// In a variant, directly behind `anchor`: of several blocks behind the same step the first comes
// first. The block of this name that is there moves; else `block` is put in.
export function with_placed_block(text: string, name: string, anchor: string, block?: string): string {
  const there = block_named(text, name);
  const indent = section_of(text)?.indent ?? "";
  const lines = there ? block_text(text, there).split("\n").map((line) => (line.startsWith(indent) ? line.slice(indent.length) : line)) : [];
  const placed = block ?? with_key(there ? lines.join("\n") : `- name: ${scalar(name)}`, "after", anchor);
  const rest = there ? without_block(text, there) : text;
  const first = section_of(rest)?.blocks.find((one) => same_name(after_of(block_text(rest, one)), anchor));
  if (!first) return with_new_block(rest, placed);
  return with_block(rest, first, `${indented(placed, indent)}\n${block_text(rest, first)}`);
}

function indented(block: string, indent: string): string {
  return block.replace(/\n+$/, "").split("\n").map((line) => (line ? indent + line : line)).join("\n");
}

// A key of a block is set, in the place of one that is there.
export function with_key(block: string, key: string, value: string): string {
  const lines = block.split("\n");
  const dash = lines.findIndex((line) => /^\s*- /.test(line));
  const head = lines[dash] ?? "";
  const line = `${key}: ${scalar(value)}`;
  if (/^\s*- \{/.test(head)) {
    const without = head.replace(new RegExp(`,\\s*${key}:\\s*("(?:[^"\\\\]|\\\\.)*"|[^,}]+)`), "");
    lines[dash] = without.replace(/\}\s*$/, `, ${line}}`);
    return lines.join("\n");
  }
  const inner = `${/^\s*/.exec(head)?.[0] ?? ""}  `;
  const there = lines.findIndex((one) => one.startsWith(`${inner}${key}:`));
  if (there >= 0) lines[there] = inner + line;
  else lines.splice(dash + 1, 0, inner + line);
  return lines.join("\n");
}

export interface NewStep {
  name: string;
  what: string;
  after?: string; // in a variant
  stage?: string | undefined;
  needs: string[];
  gives: string[];
  gate?: string;
  tightens: { name: string; steps: { torque?: string; angle?: string }[] }[];
  cautions: string[];
}

export function new_block(step: NewStep): string {
  const out = [`- name: ${scalar(step.name)}`];
  const add = (key: string, value: string | undefined) => value && out.push(`  ${key}: ${scalar(value)}`);
  const list = (key: string, all: string[]) => all.length && out.push(`  ${key}: [${all.map((one) => JSON.stringify(one)).join(", ")}]`);
  add("after", step.after);
  add("stage", step.stage);
  add("what", step.what.replace(/\s+/g, " ").trim());
  list("needs", step.needs);
  list("gives", step.gives);
  add("gate", step.gate);
  if (step.tightens.length) out.push("  tightens:");
  for (const one of step.tightens) {
    const steps = one.steps.map(({ torque, angle }) => `{${torque ? `torque: ${scalar(torque)}` : `angle: ${scalar(angle ?? "")}`}}`);
    out.push(`    - fastener: ${scalar(one.name)}`, `      steps: [${steps.join(", ")}]`);
  }
  list("cautions", step.cautions);
  return out.join("\n");
}
