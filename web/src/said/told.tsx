// SPDX-License-Identifier: Apache-2.0
// What the program says, shown: in the language of the page, or marked as English.
import { sentence } from "../ask";
import { parts_of } from "./said";

interface Props {
  says: string;
  whole?: boolean; // as a sentence: with a capital and a full stop
}

export function Told({ says, whole = false }: Props) {
  const parts = parts_of(whole ? sentence(says) : says);
  return (
    <>
      {parts.map((part, i) => (part.is_english ? <span key={i} lang="en">{part.text}</span> : part.text))}
    </>
  );
}
