// SPDX-License-Identifier: Apache-2.0
// Sentences that the program says of a chain, of a belt, or of what may be either.
import type { Phrase } from "../../../said/match";

const kLoops: Record<string, string>[] = [
  { loop: "chain", links: "links", nom: "die Kette", acc: "die Kette", dat: "der Kette", it: "sie", carries: "trägt", another: "eine andere Kette", bare: "Kette", box: "Kettenkasten", parts: "Glieder", of_parts: "Gliedern" },
  { loop: "belt", links: "teeth", nom: "der Riemen", acc: "den Riemen", dat: "dem Riemen", it: "ihn", carries: "trägt", another: "ein anderer Riemen", bare: "Riemen", box: "Riemenkasten", parts: "Zähne", of_parts: "Zähnen" },
  { loop: "chain or belt", links: "links or teeth", nom: "Kette oder Riemen", acc: "Kette oder Riemen", dat: "Kette oder Riemen", it: "das Abgenommene", carries: "tragen", another: "andere Ketten oder Riemen", bare: "Kette oder Riemen", box: "Ketten- oder Riemenkasten", parts: "Glieder oder Zähne", of_parts: "Gliedern oder Zähnen" },
];

export function for_each_loop(phrases: readonly Phrase[]): Phrase[] {
  return phrases.flatMap(([english, german]) =>
    kLoops.map((loop): Phrase => [put_in(english, loop), put_in(german, loop)]),
  );
}

function put_in(text: string, loop: Record<string, string>): string {
  return text.replace(/\{([a-z]{2,}(?:_[a-z]+)?)\}/g, (all, name: string) => loop[name] ?? all);
}
