// SPDX-License-Identifier: Apache-2.0
// The steps in their order, each with stage, gate and what the lint finds in it.
import { t } from "../texts";
import { kGateSays } from "../work/gate";
import type { GateWants } from "../work/says";
import { stage_words } from "../work/words";
import { Marks } from "./findings";
import type { Row } from "./says";

interface Props {
  rows: readonly Row[];
  chosen: string | undefined;
  is_variant: boolean;
  choose: (name: string) => void;
}

export function Order({ rows, chosen, is_variant, choose }: Props) {
  return (
    <ol class="author_order" aria-label={t("author_steps")}>
      {rows.map((row, i) => (
        <li key={row.name}>
          <button type="button" aria-current={row.name === chosen ? "step" : undefined} onClick={() => choose(row.name)}>
            <span class="order_number">{i + 1}</span>
            <span class="order_name">{row.name}</span>
            <span class="order_more">
              {[
                stage_words(row.step?.stage),
                row.step?.gate ? `${t("work_gate")}: ${t(kGateSays[row.step.gate as GateWants])}` : "",
                is_variant && row.step && !row.step.is_own ? t("author_taken_over") : "",
              ].filter(Boolean).join(" · ")}
            </span>
            <Marks findings={row.findings} />
          </button>
        </li>
      ))}
    </ol>
  );
}
