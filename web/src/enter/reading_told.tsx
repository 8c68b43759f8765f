// SPDX-License-Identifier: Apache-2.0
// Beside the pad: the limit and what to set the gauge to, what was entered last with what came of
// it, and where there is still something to measure.
import type { Schemas } from "../ask";
import { VerdictLink } from "../parts/link";
import { clock_words } from "../parts/time_words";
import { address } from "../route";
import type { Asked } from "../state/asked";
import { useHeard } from "../state/heard";
import { link_lost_since } from "../state/live";
import { number_words, said } from "../said/said";
import { waiting_of } from "../state/outbox";
import { t } from "../texts";
import { type Gauge, in_unit } from "./instruments";
import { type AnyEntry, kQuantityOf, type Position, readings_at, type ToDo } from "./positions";
import { type Range, parsed_range, range_in, shown_value, type Unit } from "./units";
import { quantity_word } from "./words";

export interface Sent {
  position: Position;
  direction: string | undefined;
  values: string;
}

// "bank 1 / camshaft / journal 1, vertical"
export function place_words(place: string, direction: string | undefined): string {
  const shown = said(place);
  return direction ? `${shown}, ${t(direction === "vertical" ? "in_vertical" : "in_horizontal")}` : shown;
}

export function Limits({ position, unit, gauge }: { position: Position; unit: Unit; gauge: Gauge | undefined }) {
  const limit = parsed_range(position.limit);
  const set_to = setting(position, unit, gauge);
  const U = in_unit(gauge?.uncertainty, unit);
  return (
    <dl class="limits">
      {position.limit ? (
        <>
          <dt>{t("in_limit")}</dt>
          <dd>{limit ? range_words(range_in(limit, unit) ?? limit) : said(position.limit)}</dd>
        </>
      ) : null}
      {set_to ? (
        <>
          <dt>{t("in_set_gauge")}</dt>
          <dd>{set_to}</dd>
        </>
      ) : null}
      {gauge && U !== undefined ? (
        <>
          <dt>{t("in_gauge_is")}</dt>
          <dd>
            ± {number_words(String(Number(U.toPrecision(2))))} {unit.name} {gauge.is_declared ? t("in_declared") : t("in_default")}
          </dd>
        </>
      ) : null}
      {position.fit?.measure ? (
        <>
          <dt>{t("in_how")}</dt>
          <dd>{said(position.fit.measure)}</dd>
        </>
      ) : null}
    </dl>
  );
}

export function range_words(range: Range): string {
  const shown = (value: number) => shown_value(value, range.decimals, range.unit);
  if (range.lower !== undefined && range.upper !== undefined)
    return t("in_between", { a: number_words(range.lower.toFixed(range.decimals)), b: shown(range.upper) });
  return range.lower !== undefined
    ? t("in_at_least", { a: shown(range.lower) })
    : t("in_at_most", { b: shown(range.upper ?? 0) });
}

// A bore gauge is set on a ring or a micrometer: to the middle of a new part.
function setting(position: Position, unit: Unit, gauge: Gauge | undefined): string | undefined {
  if (position.quantity !== "bore diameter" || !gauge?.name.includes("bore gauge")) return undefined;
  const fresh = parsed_range(position.fresh);
  const range = fresh && range_in(fresh, unit);
  if (range?.lower === undefined || range.upper === undefined) return undefined;
  return shown_value((range.lower + range.upper) / 2, range.decimals, unit);
}

interface LastProps {
  name: string;
  sent: Sent | undefined;
  found: Asked<Schemas["findings"]>;
  entries: AnyEntry[];
}

// A finding is shown only if it rests on this very entry: an older one would answer for it.
export function LastEntered({ name, sent, found, entries }: LastProps) {
  useHeard("link", "outbox");
  if (!sent) return null;
  const { place, quantity } = sent.position;
  const id = waiting_of(name).length > 0 ? undefined : readings_at(entries, quantity, place, sent.direction).at(-1)?.id;
  const answers = (found.told?.findings ?? []).filter(
    (one) => id !== undefined && found.is_present && link_lost_since() === undefined && !one.forecast && one.evidence.includes(id) && one.subject === place,
  );
  return (
    <section class="last_entered" aria-live="polite">
      <p class="faint">{place_words(place, sent.direction)}</p>
      <p class="large">{said(sent.values)}</p>
      {answers.length === 0 && found.at ? (
        <p class="faint">{t("not_judged_since", { time: clock_words(found.at) })}</p>
      ) : null}
      {answers.map((one) => (
        <p class="row" key={one.check}>
          <VerdictLink verdict={one.verdict} />
          <span>
            {quantity_word(kQuantityOf[one.check] ?? one.check)}: {told_of(one)}
          </span>
        </p>
      ))}
      {id ? <a href={address(["enter", name, "reading"], { correct: id })}>{t("in_correct_this")}</a> : null}
    </section>
  );
}

function told_of(one: Schemas["finding"]): string {
  const why = one.verdict === "open" || !one.value ? one.why : undefined;
  return [one.value?.shown, why].map((text) => text && said(text)).filter(Boolean).join("; ");
}

export function PositionList(props: { list: ToDo[]; at: number; entries: AnyEntry[]; is_begun: (one: ToDo) => boolean; on_chosen: (i: number) => void }) {
  return (
    <ol class="positions">
      {props.list.map((one, i) => {
        const { position, direction } = one;
        const last = readings_at(props.entries, position.quantity, position.place, direction).at(-1);
        const told = last?.["values"] ?? last?.["value"];
        return (
          <li key={`${position.place} ${direction ?? ""}`}>
            <button type="button" class="quiet" aria-current={i === props.at ? "step" : undefined} onClick={() => props.on_chosen(i)}>
              <span>
                {place_words(position.place, direction)}
              </span>
              <span class={told || props.is_begun(one) ? "" : "faint"}>{props.is_begun(one) ? t("in_begun") : told ? said(String(told)) : last ? t("in_read") : t("in_not_yet")}</span>
            </button>
          </li>
        );
      })}
    </ol>
  );
}
