// SPDX-License-Identifier: Apache-2.0
// What each way of repair would do to the pressure at the lowest head; the best is marked by a word.
import type { Schemas } from "../ask";
import { Told } from "../said/told";
import { t } from "../texts";
import { type DriveOil, fixed, type Network, type Range } from "./says";

type Banks = Schemas["oil_banks"];

export function Options({ drive }: { drive: DriveOil }) {
  const { network, banks } = drive;
  const by_network = network !== null && network.options.length > 0;
  if (!by_network && !banks) return null;
  const bank = (by_network ? network.bank : banks?.bank) ?? "";
  return (
    <section aria-labelledby="oil_options">
      <h2 id="oil_options">{t("oil_options", { bank })}</h2>
      {by_network ? <ByNetwork network={network} /> : banks ? <ByBanks banks={banks} /> : null}
      {by_network && banks ? (
        <details>
          <summary>{t("oil_both_ways")}</summary>
          <ByBanks banks={banks} />
        </details>
      ) : null}
    </section>
  );
}

function ByNetwork({ network }: { network: Network }) {
  const { from_others_kPa: others, gauges } = network;
  const read = gauges.heads.find((one) => one.place === gauges.lowest);
  return (
    <div class="stack">
      <div class="oil_scroll">
        <table class="oil_table">
          <caption>{t("oil_options_network")}</caption>
          <Head says={["oil_option", "oil_at_head", "oil_means", "oil_at_gallery", "oil_authority"]} />
          <tbody>
            {network.options.map((one) => (
              <tr key={one.option} class={is_best(one.option, network.highest) ? "best" : ""}>
                <Name option={one.option} highest={network.highest} />
                <td data-says={t("oil_at_head")}><In of={one.head_kPa} decimals={0} /></td>
                <td data-says={t("oil_means")}><Told says={one.means} /></td>
                <td data-says={t("oil_at_gallery")}><In of={one.gallery_kPa} decimals={0} plain /></td>
                <td data-says={t("oil_authority")}>{one.authority ? <><In of={{ ...one.authority, likely: one.authority.margin }} decimals={1} plain />{one.authority.worst === one.authority.band ? null : <><Told says={one.authority.worst} /> – </>}<Told says={one.authority.band} /></> : "–"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Said choice={network.choice} next={network.measure_next} left_out={network.left_out} />
      {others && read ? <p>{t("oil_checked", { low: others.low.toFixed(0), high: others.high.toFixed(0), read: read.kPa.toFixed(0), U: Math.ceil(read.U_kPa) })}</p> : null}
    </div>
  );
}

// Which journal to look at first, and what the phaser does on a constant command.
export function Matters({ network }: { network: Network }) {
  const { drift, swing, back, saw_tooth: tooth } = network;
  const deg = (value: number) => fixed(value, 1);
  return (
    <>
      {network.matters.length === 0 ? null : (
        <section aria-labelledby="oil_matters" class="stack">
          <h2 id="oil_matters">{t("oil_matters")}</h2>
          <ul>
            {network.matters.map((one) => <li key={one.journal}><Told says={one.journal} />: {fixed(one.kPa_for_10_um, 1).replace("-", "−")} kPa</li>)}
          </ul>
        </section>
      )}
      {!drift ? null : (
        <section aria-labelledby="oil_held" class="stack">
          <h2 id="oil_held">{t("oil_held")}</h2>
          <ul>
            <li>{t("oil_drift", { drift: deg(drift.deg_per_s), U: deg(drift.U_deg_per_s) })}</li>
            {swing ? <li>{t("oil_swing", { least: deg(swing.least_deg), most: deg(swing.most_deg) })}</li> : null}
            {back ? <li>{back.state === "moves" ? t("oil_back", { back: deg(back.deg_per_s), U: deg(back.U_deg_per_s) }) : <Told says={back.state} whole />}</li> : null}
            {tooth ? <li>{t("oil_tooth", { height: deg(tooth.height_deg), period: deg(tooth.period_s) })}</li> : null}
          </ul>
        </section>
      )}
    </>
  );
}

function ByBanks({ banks }: { banks: Banks }) {
  const of = banks.with_both_banks ?? banks.from_better_bank;
  // Clearances that do not explain the gauges forecast nothing.
  if (!banks.explained) return <Said choice={of.said} next={of.measure_next} left_out={[banks.not_told]} />;
  return (
    <div class="stack">
      <div class="oil_scroll">
        <table class="oil_table">
          <caption>{t("oil_options_banks")}</caption>
          <Head says={["oil_option", "oil_at_head", "oil_means", "oil_leakage"]} />
          <tbody>
            {of.options.map((one) => (
              <tr key={one.option} class={is_best(one.option, of.highest) ? "best" : ""}>
                <Name option={one.option} highest={of.highest} />
                <td data-says={t("oil_at_head")}><In of={{ likely: one.head_kPa, low: one.low_kPa, high: one.high_kPa }} decimals={0} /></td>
                <td data-says={t("oil_means")}><Told says={one.means} /></td>
                <td data-says={t("oil_leakage")}><In of={{ likely: one.leakage, low: Math.max(0, one.leakage - one.leakage_U), high: one.leakage + one.leakage_U }} decimals={1} plain /></td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Said choice={of.said} next={of.measure_next} left_out={[...banks.left_out, ...(banks.not_told ? [banks.not_told] : [])]} />
      <p class="faint"><Told says={of.estimate} whole /></p>
    </div>
  );
}

// A number with its range under it.
function In({ of, decimals, plain = false }: { of: Range; decimals: number; plain?: boolean }) {
  return (
    <span class={plain ? "oil_range plain" : "oil_range"}>
      <b>{fixed(of.likely, decimals)}</b> <small>{fixed(of.low, decimals)} {t("oil_to")} {fixed(of.high, decimals)}</small>
    </span>
  );
}

// Only where one is the highest for certain; of several that may be, none is the best.
const is_best = (option: string, highest: readonly string[]) => highest.length === 1 && highest[0] === option;

function Name({ option, highest }: { option: string; highest: readonly string[] }) {
  const tag = highest.includes(option) ? t(is_best(option, highest) ? "oil_best" : "oil_may_be_best") : "";
  return <th scope="row"><Told says={option} />{" "}{tag ? <span class="oil_best">{tag}</span> : null}</th>;
}

type Column = "oil_option" | "oil_at_head" | "oil_means" | "oil_at_gallery" | "oil_authority" | "oil_leakage";

function Head({ says }: { says: Column[] }) {
  return <thead><tr>{says.map((one) => <th key={one} scope="col">{t(one)}</th>)}</tr></thead>;
}

function Said({ choice, next, left_out }: { choice: string; next: readonly string[]; left_out: readonly string[] }) {
  return (
    <>
      {choice ? <p class="oil_said"><b>{t("oil_open")}:</b> <Told says={choice} whole /></p> : null}
      {next.length > 0 ? <ul>{next.map((one) => <li key={one}><Told says={one} whole /></li>)}</ul> : null}
      {left_out.map((one) => <p key={one}><Told says={one} whole /></p>)}
    </>
  );
}
