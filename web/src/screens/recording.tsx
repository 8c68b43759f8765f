// SPDX-License-Identifier: Apache-2.0
import type { Route } from "../route";

export function RecordingScreen(_: { route: Route }) {
  return null;
}
