// SPDX-License-Identifier: Apache-2.0
// Compiled, never run: the types of the API say what they should. A line marked as an error that is
// none fails the check, and so does a type that fell back to anything.
import type { components, operations, paths } from "./api";

type Schemas = components["schemas"];
type IsAny<T> = 0 extends 1 & T ? true : false;
type Same<A, B> =
  (<T>() => T extends A ? 1 : 2) extends <T>() => T extends B ? 1 : 2 ? true : false;
function holds<T extends true>(): T | undefined {
  return undefined;
}

holds<Same<Schemas["status"]["cases"], number>>();
holds<Same<Schemas["case_list"]["cases"], Schemas["case_row"][]>>();
holds<Same<Schemas["finding"]["verdict"], "pass" | "fail" | "open">>();
holds<Same<Schemas["me"]["role"], "read" | "write" | "manage">>();
holds<Same<IsAny<Schemas["case_view"]["case"]>, false>>();
holds<Same<keyof paths["/api/cases/{case}"], keyof paths["/api/cases"]>>();

export const entry: Schemas["append_request"] = {
  key: "tablet-3-0017",
  entry: { kind: "codes", codes: ["P0016"], by: "bay 3" },
};
// @ts-expect-error a kind of entry that there is not
export const wrong: Schemas["append_request"] = { entry: { kind: "guess", codes: ["P0016"] } };
// @ts-expect-error a deletion says why
export const silent: Schemas["delete_request"] = {};

export function told(finding: Schemas["finding"]): string {
  return finding.value === null ? finding.why : finding.value.shown;
}
export type Found = operations["findings"]["responses"][200]["content"]["application/json"];
export const first = (found: Found): Schemas["finding"] | undefined => found.findings[0];
