// SPDX-License-Identifier: Apache-2.0
// Running times, small, on every sheet.
import { is_over, remove_timer, seconds_of, shown_time, stop_timer, useTimers } from "../state/timers";
import { t } from "../texts";
import "./timers.css";

export function TimerBar() {
  const all = useTimers();
  if (all.length === 0) return null;
  return (
    <ul class="timers" aria-label={t("in_timers")}>
      {all.map((one) => (
        <li key={one.id} class={is_over(one) ? "over" : ""} role={is_over(one) ? "alert" : undefined}>
          <span>{one.name}</span>
          <strong role="timer">
            {is_over(one) ? t("in_timer_over") : shown_time(seconds_of(one), one.lasts === undefined)}
          </strong>
          {one.stopped || is_over(one) ? (
            <button type="button" class="quiet" onClick={() => remove_timer(one.id)}>
              {t("in_timer_remove")}
            </button>
          ) : (
            <button type="button" class="quiet" onClick={() => stop_timer(one.id)}>
              {t("in_timer_stop")}
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}
