// SPDX-License-Identifier: Apache-2.0
// What the gauges say of the oil, in short, where it belongs in the work; the rest has a screen.
import { useAround, why_not_in_force } from "../case/judged";
import { paper_now } from "../clearance/drawings";
import { time_words } from "../parts/time_words";
import { address } from "../route";
import { Told } from "../said/told";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { GaugesBeside } from "./gauges";
import { has_oil, headline_of, type Oil, oil_of_case } from "./says";
import "./oil.css";

export function OilCard({ name }: { name: string }) {
  const asked = useAsked<Oil>(oil_of_case(name, paper_now()), name);
  const why_not = why_not_in_force(asked, useAround(name));
  const drive = asked.told?.drives.find(has_oil);
  if (!drive) return null;
  const headline = headline_of(drive);
  return (
    <section class="oil_card" aria-labelledby="oil_card">
      <h2 id="oil_card">{t("oil_title")}</h2>
      {why_not ? <p>{t("answer_old", { time: time_words(asked.at) })} {t(why_not, { time: time_words(asked.at) })}</p> : null}
      <GaugesBeside drive={drive} />
      {headline ? <p class="oil_why"><Told says={headline.why} whole /></p> : null}
      {drive.network?.choice ? <p><b>{t("oil_open")}:</b> <Told says={drive.network.choice} whole /></p> : null}
      <p class="row"><a class="button main" href={address(["case", name, "oil"])}>{t("oil_see")}</a></p>
    </section>
  );
}
