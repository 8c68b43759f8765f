// SPDX-License-Identifier: Apache-2.0
// The least gap of the valves of a camshaft by error in teeth and place of its phaser. Each cell is
// told by its ground and its word; the table itself never allows turning.
import { useState } from "preact/hooks";

import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { drawing_path, GapDrawing } from "./drawings";
import { fixed, type GapCell, type ValveGaps } from "./says";

const kClasses: Record<GapCell["answer"], string> = {
  contact: "touches",
  "below the least gap wanted": "below",
  "not known": "unknown",
  "no contact expected": "clear",
};

interface Props {
  gaps: ValveGaps;
  of: string; // the path of the clearance, below which its drawings are
  of_case: string;
  has_map: boolean; // of several kinds of valves on a camshaft one is enough
}

export function GapTable({ gaps, of, of_case, has_map }: Props) {
  const [chosen, choose] = useState<{ error: number; phaser: string } | undefined>();
  const places = gaps.rows[0]?.cells.map((cell) => cell.phaser) ?? [];
  const missing = [...new Set([...gaps.missing, ...gaps.rows.flatMap((row) => row.cells.flatMap((cell) => cell.missing))])];
  return (
    <section class="cl_gaps stack">
      {gaps.rows.length > 0 ? (
        <div class="cl_scroll" tabIndex={0} role="group" aria-label={said(gaps.camshaft)}>
          <table>
            <caption>
              <b><Told says={gaps.camshaft} /></b>, {t("cl_valves", { of: said(gaps.valves) })}
              {gaps.least_wanted_mm === null ? "" : `. ${t("cl_wanted", { mm: fixed(gaps.least_wanted_mm, 2) })}`}. {t("cl_while")}
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
                      {cell.gap_mm === null ? <Told says={cell.words} /> : (
                        <button type="button" class="says" aria-pressed={chosen?.error === row.teeth_early && chosen.phaser === cell.phaser}
                          onClick={() => choose(chosen?.error === row.teeth_early && chosen.phaser === cell.phaser ? undefined : { error: row.teeth_early, phaser: cell.phaser })}>
                          <Told says={cell.words} />
                        </button>
                      )}
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
      {chosen ? <GapDrawing key={`${chosen.error} ${chosen.phaser}`} path={drawing_path(of, "section", { cam: gaps.camshaft, ...chosen })} of_case={of_case} says={t("cl_section")} /> : null}
      {has_map && gaps.rows.length > 0 ? <Map cam={gaps.camshaft} of={of} of_case={of_case} /> : null}
      {missing.length > 0 ? (
        <div>
          <b>{t("cl_missing")}</b>
          <ul>{missing.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
        </div>
      ) : null}
    </section>
  );
}

function Map({ cam, of, of_case }: { cam: string; of: string; of_case: string }) {
  const [is_open, open] = useState(false);
  return (
    <details onToggle={(event) => open(event.currentTarget.open)}>
      <summary>{t("cl_map")}</summary>
      {is_open ? <GapDrawing path={drawing_path(of, "map", { cam })} of_case={of_case} says={t(of_case === "/" ? "cl_map_says" : "cl_map_says_way")} /> : null}
    </details>
  );
}
