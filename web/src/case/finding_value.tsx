// SPDX-License-Identifier: Apache-2.0
import { ValueBar } from "../parts/value_bar";
import type { Finding } from "./stages";

// The value of a finding against its limit; nothing where there is neither.
export function FindingValue({ finding }: { finding: Finding }) {
  return finding.value || finding.limit ? <ValueBar finding={finding} /> : null;
}
