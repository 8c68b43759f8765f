// SPDX-License-Identifier: Apache-2.0
// Where two drives differ, and what of it would bite first.
import type { Schemas } from "../ask";
import { address, go } from "../route";
import { useAsked } from "../state/asked";
import { t } from "../texts";
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
      {asked.told ? <Differences here={name} there={other} all={asked.told.differences} /> : null}
      {other ? <a class="button" href={address(["drive", other])}>{other}</a> : null}
    </section>
  );
}

function with_drive(other: string): Record<string, string> {
  return other ? { with: other } : {};
}

// What bites comes first; the rest in the order of the definition.
export function biting_first(all: Difference[]): Difference[] {
  return [...all.filter((each) => each.where_it_bites), ...all.filter((each) => !each.where_it_bites)];
}

function Differences({ here, there, all }: { here: string; there: string; all: Difference[] }) {
  if (all.length === 0) return <p>{t("drives_same")}</p>;
  const bites = all.some((each) => each.where_it_bites);
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={t("drives_differences")}>
      <table>
        <thead>
          <tr>
            {[t("drives_field"), here, there, ...(bites ? [t("drives_bites")] : [])].map((title) => (
              <th key={title} scope="col">{title}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {biting_first(all).map((each, i) => (
            <tr key={i} class={each.where_it_bites ? "bites" : ""}>
              <th scope="row">{each.field}</th>
              <td>{each.here}</td>
              <td>{each.there}</td>
              {bites ? <td>{each.where_it_bites ?? ""}</td> : null}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
