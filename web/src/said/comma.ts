// SPDX-License-Identifier: Apache-2.0
// "0.058" -> "0,058"; not "5.1.2", dates or numbers of standards, which are no measures.
export function with_comma(text: string): string {
  return text.replace(/(?<![\w.])(\d+)\.(\d+)(?![\w]|\.\d)/g, "$1,$2");
}
