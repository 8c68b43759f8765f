// SPDX-License-Identifier: Apache-2.0
// Times the work needs: how long pressure takes to build up, whether a tensioner holds, how long a
// sealant may stay open. They run on in the bar of every sheet.
import { useState } from "preact/hooks";

import { start_timer } from "../state/timers";
import { t } from "../texts";

export function TimerStart() {
  const [minutes, set_minutes] = useState("");
  const lasts = Number(minutes.replace(",", ".")) * 60_000;
  return (
    <details>
      <summary>{t("in_timers")}</summary>
      <div class="stack">
        <div class="row">
          <button type="button" onClick={() => start_timer(t("in_timer_build_up"))}>
            {t("in_timer_build_up")}
          </button>
          <button type="button" onClick={() => start_timer(t("in_timer_sink"))}>
            {t("in_timer_sink")}
          </button>
        </div>
        <div class="row">
          <label>
            {t("in_timer_minutes")}
            <input inputMode="decimal" value={minutes} onInput={(event) => set_minutes(event.currentTarget.value)} />
          </label>
          <button type="button" disabled={!(lasts > 0)} onClick={() => start_timer(t("in_timer_cure"), lasts)}>
            {t("in_timer_cure")}
          </button>
        </div>
      </div>
    </details>
  );
}
