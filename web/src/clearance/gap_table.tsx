// SPDX-License-Identifier: Apache-2.0
// The least gap of the valves of a camshaft by error in teeth and place of its phaser. Each cell is
// told by its ground and its word; the table itself never allows turning.
import { Told } from "../said/told";
import { said } from "../said/said";
import { t } from "../texts";
import { fixed, type GapCell, type ValveGaps } from "./says";

const kClasses: Record<GapCell["answer"], string> = {
  contact: "touches",
  "below the least gap wanted": "below",
  "not known": "unknown",
  "no contact expected": "clear",
};

export function GapTable({ gaps }: { gaps: ValveGaps }) {
  const places = gaps.rows[0]?.cells.map((cell) => cell.phaser) ?? [];
  const missing = [...new Set([...gaps.missing, ...gaps.rows.flatMap((row) => row.cells.flatMap((cell) => cell.missing))])];
  return (
    <section class="cl_gaps stack">
      {gaps.rows.length > 0 ? (
        <div class="cl_scroll" tabIndex={0} role="group" aria-label={said(gaps.camshaft)}>
          <table>
            <caption>
              <b><Told says={gaps.camshaft} /></b>, {t("cl_valves", { of: said(gaps.valves) })}
              {gaps.least_wanted_mm === null ? "" : `. ${t("cl_wanted", { mm: fixed(gaps.least_wanted_mm, 2) })}`}
            </caption>
            <thead>
              <tr>
                <th scope="col">{t("cl_camshaft_is")}</th>
                {places.map((place) => <th scope="col" key={place}><Told says={place} /></th>)}
              </tr>
            </thead>
            <tbody>
              {gaps.rows.map((row) => (
                <tr key={row.teeth_early} class={row.teeth_early === 0 ? "right" : ""}>
                  <th scope="row"><Told says={row.words} /></th>
                  {row.cells.map((cell) => (
                    <td key={cell.phaser} class={kClasses[cell.answer]}>
                      <Told says={cell.words} />
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ) : (
        <h3><Told says={gaps.camshaft} />, {t("cl_valves", { of: said(gaps.valves) })}</h3>
      )}
      {missing.length > 0 ? (
        <div>
          <b>{t("cl_missing")}</b>
          <ul>{missing.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
        </div>
      ) : null}
    </section>
  );
}
