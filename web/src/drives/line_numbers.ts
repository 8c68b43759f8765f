// SPDX-License-Identifier: Apache-2.0
// Where the lines of a text begin and end, to put the cursor on a mistake.
export function line_count(text: string): number {
  return text.split("\n").length;
}

// Characters before `line` (from 1) and behind its last one, line break excluded.
export function line_span(text: string, line: number): [number, number] {
  const lines = text.split("\n");
  const at = Math.min(Math.max(line, 1), lines.length) - 1;
  const begin = lines.slice(0, at).reduce((sum, each) => sum + each.length + 1, 0);
  return [begin, begin + (lines[at]?.length ?? 0)];
}

export function name_in_text(text: string): string {
  return /^name:\s*["']?([\w-]+)/m.exec(text)?.[1] ?? "";
}
