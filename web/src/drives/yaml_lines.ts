// SPDX-License-Identifier: Apache-2.0
// YAML written line by line, each line with the answer that it came from: a mistake that the program
// finds in a line is shown where that answer was typed.
import { without_fractions } from "./answers";

export const kId = "_id";

export interface Written {
  text: string;
  keys: string[]; // of each line, from line 1 on; "" where no single answer made it
}

export interface Line {
  depth: number;
  text: string;
  key: string;
  id?: string; // of the item of a list that begins here
}

// Plain where nothing in it can mean anything else, else in double quotes (YAML 1.2.2, 7.3).
export function scalar(text: string): string {
  const is_word = /^(true|false|yes|no|on|off|null)$/i.test(text);
  const is_number = /^[\d.,]+$/.test(text);
  const is_plain = /^[\p{L}\d][\p{L}\p{M}\d .,;()/+±·°%-]*$/u.test(text) && text === text.trim();
  return is_plain && !is_word && !is_number ? text : JSON.stringify(text);
}

export class Lines {
  private readonly lines: Line[] = [];

  add(depth: number, text: string, key = ""): void {
    this.lines.push({ depth, text, key });
  }
  // Nothing where nothing was said. A fraction is written as its decimal, with what was printed.
  value(depth: number, name: string, text: string, key: string): void {
    const decimal = without_fractions(text);
    if (decimal) this.add(depth, `${name}: ${scalar(decimal)}  # printed: ${text}`, key);
    else if (text) this.add(depth, `${name}: ${scalar(text)}`, key);
  }
  // A number, a choice of the format, yes or no: in quotes only when it is none of them.
  bare(depth: number, name: string, text: string, key: string): void {
    if (text) this.add(depth, `${name}: ${/^[\w ]+$/.test(text) ? text : scalar(text)}`, key);
  }
  // A part with its name, left out when it turns out empty.
  part(depth: number, name: string, write: (into: Lines) => void): void {
    const inner = new Lines();
    write(inner);
    if (inner.lines.length === 0) return;
    this.add(depth, `${name}:`);
    this.lines.push(...inner.lines);
  }
  // Items of a list: the first line of each gets the dash.
  // `id`: what it is called among the answers, whatever is said in it.
  item(depth: number, id: string, write: (into: Lines) => void): void {
    const inner = new Lines();
    write(inner);
    const [first, ...others] = inner.lines;
    if (!first) return;
    this.lines.push({ ...first, depth, text: `- ${first.text}`, id }, ...others);
  }
  append(other: Lines): void {
    this.lines.push(...other.lines);
  }
  is_empty(): boolean {
    return this.lines.length === 0;
  }
  // With ids, every item that holds keys has its own under kId, for merged().
  written(with_ids = false): Written {
    if (with_ids) return this.with_ids().written();
    return {
      text: this.lines.map(({ depth, text }) => "  ".repeat(depth) + text + "\n").join(""),
      keys: this.lines.map(({ key }) => key),
    };
  }
  private with_ids(): Lines {
    const out = new Lines();
    for (const line of this.lines) {
      const is_map = line.id && /^- [\w]+:/.test(line.text);
      if (!is_map) out.add(line.depth, line.text, line.key);
      else {
        out.add(line.depth, `- ${kId}: ${JSON.stringify(line.id)}`);
        out.add(line.depth + 1, line.text.slice(2), line.key);
      }
    }
    return out;
  }
}

export function words_list(out: Lines, depth: number, name: string, words: string[], key: string): void {
  out.part(depth, name, (list) => {
    for (const each of words) list.item(depth + 1, "", (item) => item.add(depth + 1, JSON.stringify(each), key));
  });
}
