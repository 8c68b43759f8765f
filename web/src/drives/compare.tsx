// SPDX-License-Identifier: Apache-2.0
// Where two drives differ, and what of it would bite first.
import type { Schemas } from "../ask";
import { address, go } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
import { Drawing } from "./drawing";
import type { Difference } from "./says";

const kNoCase = "/";

export function Compare({ name, path, other }: { name: string; path: string; other: string }) {
  const drives = useAsked<Schemas["drive_list"]>("/api/drives", kNoCase).told?.drives ?? [];
  const of = other ? `${path}/compare?with=${encodeURIComponent(other)}` : undefined;
  const asked = useAsked<Schemas["drive_differences"]>(of, kNoCase);
  return (
    <section class="stack">
      <h2>{t("drives_differences")}</h2>
      <label class="compare-with">
        {t("drives_compare_with")}
        <select value={other} onChange={(event) => go(["drive", name], with_drive(event.currentTarget.value))}>
          <option value="">{t("drives_choose")}</option>
          {drives
            .filter((drive) => drive.name !== name)
            .map((drive) => (
              <option key={drive.name} value={drive.name}>
                {drive.title ?? drive.name}
              </option>
            ))}
        </select>
      </label>
      {other && !asked.told ? <p role="status">{asked.detail || t("loading")}</p> : null}
      {asked.told ? <Both here={name} there={other} all={asked.told.differences} /> : null}
    </section>
  );
}

function with_drive(other: string): Record<string, string> {
  return other ? { with: other } : {};
}

// On the phone it comes first how to see which of the two it is, then what bites; the rest in the
// order of the definition.
export function biting_first(all: Difference[]): Difference[] {
  const rank = (each: Difference) => (each.field === "told by" ? 0 : each.where_it_bites ? 1 : 2);
  return [...all].sort((a, b) => rank(a) - rank(b));
}

interface BothProps {
  here: string;
  there: string;
  all: Difference[];
}

// First what differs, then how both stand, and last what tells nothing apart on the bench.
function Both({ here, there, all }: BothProps) {
  const drives = [here, there].map((name) => useAsked<Schemas["drive"]>(`/api/drives/${encodeURIComponent(name)}`, kNoCase).told);
  const titles = [here, there].map((name, i) => drives[i]?.title ?? name);
  const [a, b] = drives;
  return (
    <>
      <Differences titles={titles} all={all} />
      <div class="drive">
        {[here, there].map((name, i) => (
          <OneDrawn key={name} name={name} title={titles[i] ?? name} />
        ))}
      </div>
      {a && b ? <Same all={same_of(a, b)} /> : null}
    </>
  );
}

function OneDrawn({ name, title }: { name: string; title: string }) {
  const drawing = useAsked<string>(`/api/drives/${encodeURIComponent(name)}/drawing`, kNoCase);
  return (
    <figure class="compared">
      <figcaption>
        <a class="button" href={address(["drive", name])}>{title}</a>
      </figcaption>
      {drawing.told ? <Drawing svg={drawing.told} /> : <p class="faint">{drawing.detail || t("loading")}</p>}
    </figure>
  );
}

interface SameLine {
  what: string;
  says: string;
}

type Chain = NonNullable<Schemas["drive"]["chains"]>[number];

// What one would look at to tell them apart, and that is the same in both.
function same_of(a: Schemas["drive"], b: Schemas["drive"]): SameLine[] {
  return (a.chains ?? []).flatMap((chain) => {
    const other = b.chains?.find((one) => one.name === chain.name);
    if (!other) return [];
    const [own, theirs] = [told_of(chain), told_of(other)];
    return Object.entries(own).flatMap(([what, says]) =>
      says && says === theirs[what] ? [{ what: `${chain.name}: ${what}`, says }] : []);
  });
}

function told_of(chain: Chain): Record<string, string> {
  return {
    [t("drives_links")]: chain.links ? String(chain.links) : "",
    [t("drives_counts")]: (chain.strands ?? []).map((one) => `${one.from} → ${one.to}: ${one.links}`).join("; "),
    [t("drives_marks")]: (chain.marks ?? []).map((one) => [one.at, one.links, one.color, one.mark, one.sits].filter(Boolean).join(" ")).join("; "),
    [t("drives_tensioner")]: chain.tensioner?.side ?? "",
  };
}

function Same({ all }: { all: SameLine[] }) {
  if (all.length === 0) return null;
  return (
    <section class="stack">
      <h3>{t("drives_same_in_both")}</h3>
      <p class="faint">{t("drives_same_help")}</p>
      <ul class="lines">
        {all.map((one) => (
          <li key={one.what}>
            {one.what} <strong>{one.says}</strong>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Differences({ titles, all }: { titles: string[]; all: Difference[] }) {
  if (all.length === 0) return <p>{t("drives_same")}</p>;
  const bites = all.some((each) => each.where_it_bites);
  const heads = [t("drives_field"), ...titles, ...(bites ? [t("drives_bites")] : [])];
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={t("drives_differences")}>
      <table class="differences">
        <thead>
          <tr>
            {heads.map((title, i) => (
              <th key={i} scope="col">{title}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {biting_first(all).map((each, i) => (
            <tr key={i} class={each.where_it_bites ? "bites" : ""}>
              <th scope="row">{each.field}</th>
              <td data-of={titles[0]}>{each.here}</td>
              <td data-of={titles[1]}>{each.there}</td>
              {bites ? <td>{each.where_it_bites ?? ""}</td> : null}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
