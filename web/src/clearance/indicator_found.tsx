// SPDX-License-Identifier: Apache-2.0
// What the readings so far say of the camshaft, in the program's words and figures.
import { Told } from "../said/told";
import { t } from "../texts";
import { degrees, give_or_take, type IndicatorRead } from "./says";
import type { Live } from "./use_live";

export function IndicatorFound({ live, is_asked }: { live: Live<IndicatorRead>; is_asked: boolean }) {
  const found = live.told?.found;
  if (!is_asked) return <p>{t("cl_indicator_how")}</p>;
  return (
    <>
      {found ? (
        <>
          <dl class="cl_figures">
            <div>
              <dt>{t("cl_stands")}</dt>
              <dd data-name="early">
                {t(found.early_deg < 0 ? "cl_late" : "cl_early", { deg: degrees(Math.abs(found.early_deg)) })} <small>{give_or_take(found.U_deg)}</small>
              </dd>
            </div>
            {found.center_deg === null ? null : (
              <div>
                <dt>{t("cl_center")}</dt>
                <dd data-name="center">
                  {degrees(found.center_deg)} {found.nominal_center_deg === null ? null : <small>{t("cl_center_wanted", { deg: degrees(found.nominal_center_deg) })}</small>}
                </dd>
              </div>
            )}
          </dl>
          <p><Told says={found.words} whole /></p>
          {found.explained ? <p><b>{t("cl_explained")}</b> <Told says={found.explained} whole /></p> : null}
          {found.warnings.map((says) => <p class="caution" key={says}><Told says={says} whole /></p>)}
        </>
      ) : null}
      {live.told?.why_not ? <p><b>{t("cl_not_yet")}</b> <Told says={live.told.why_not} whole /></p> : null}
      {live.detail ? <p class="wrong"><Told says={live.detail} whole /></p> : null}
    </>
  );
}
