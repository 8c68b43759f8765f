// SPDX-License-Identifier: Apache-2.0
// Above an answer that is from an earlier time: kept on this device, or seen before the link was lost.
import type { Asked } from "../state/asked";
import { useHeard } from "../state/heard";
import { link_lost_since } from "../state/live";
import { usePulse } from "../state/pulse";
import { t } from "../texts";
import { time_words } from "./time_words";

// `why`: of a case, why the answer is not in force ("" or undefined: it is).
export function OldAnswer({ asked, why }: { asked: Asked<unknown>; why?: string | undefined }) {
  useHeard("link");
  usePulse();
  const is_old = !asked.is_present || link_lost_since() !== undefined;
  if (asked.told === undefined || (!is_old && !why)) return null;
  return <p class="caution" role="status">{t("answer_old", { time: time_words(asked.at) })} {why}</p>;
}
