// SPDX-License-Identifier: Apache-2.0
// The gauges that were read beside each other, the lowest head first and largest.
import { Told } from "../said/told";
import { t } from "../texts";
import { type DriveOil, fixed, gauges_of } from "./says";

export function GaugesBeside({ drive }: { drive: DriveOil }) {
  // An uncertainty is rounded up, as the program writes it.
  const beside = gauges_of(drive);
  if (!beside) return null;
  return (
    <div class="oil_gauges" role="group" aria-label={t("oil_gauges")}>
      <dl>
        {beside.gauges.map(({ place, kPa, U_kPa, least, is_lowest }) => {
          const is_below = least !== undefined && kPa + U_kPa < least;
          return (
            <div key={place} class={is_lowest ? "lowest" : ""}>
              <dt>{is_lowest ? <b>{t("oil_lowest")}</b> : null}<Told says={place} /></dt>
              <dd>
                <span class="oil_number">{fixed(kPa)}</span> <small>± {Math.ceil(U_kPa)} kPa</small>
                {least === undefined ? null : <span class={is_below ? "oil_is_below" : "oil_least"}>{t(is_below ? "oil_below" : "oil_least", { kPa: fixed(least) })}</span>}
              </dd>
            </div>
          );
        })}
      </dl>
      <p class="faint"><Told says={beside.condition} /></p>
    </div>
  );
}
