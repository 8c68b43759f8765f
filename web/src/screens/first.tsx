// SPDX-License-Identifier: Apache-2.0
import { Sheet } from "../parts/sheet";
import type { Route } from "../route";

export function FirstScreen(_: { route: Route }) {
  return <Sheet title="Tautmark">{null}</Sheet>;
}
