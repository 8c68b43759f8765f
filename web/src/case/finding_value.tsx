// SPDX-License-Identifier: Apache-2.0
import type { Finding } from "./stages";

// The value of a finding against its limit.
export function FindingValue({ finding }: { finding: Finding }) {
  if (!finding.value) return null;
  return (
    <span class="against">
      <b>{finding.value.shown}</b> {finding.limit ? <span>{finding.limit.shown}</span> : null}
    </span>
  );
}
