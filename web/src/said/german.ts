// SPDX-License-Identifier: Apache-2.0
// The German catalogue and what finds in it: one file of the build, loaded when German is wanted.
import { phrases } from "../texts/de/said";
import { catalogue_of, clauses_of, german_of } from "./match";

const all = catalogue_of(phrases);

export const german = (text: string) => german_of(all, text);
export const clauses = (text: string, level: number) => clauses_of(all, text, level);
