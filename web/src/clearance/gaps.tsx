// SPDX-License-Identifier: Apache-2.0
// Everything that a definition says of valves and pistons: the table, where camshafts turn freely and
// what their springs do;
// or, without its figures, how the trade finds out.
import { Told } from "../said/told";
import { t } from "../texts";
import { GapTable } from "./gap_table";
import { degrees, type DriveGaps, fixed, has_gaps } from "./says";

interface Props {
  drive: DriveGaps;
  of: string; // the path of the clearance
  of_case: string; // "/": of none
}

export function Gaps({ drive, of, of_case }: Props) {
  const is_known = has_gaps(drive);
  return (
    <div class="stack">
      {is_known ? drive.valves.map((gaps, i) => (
        <GapTable key={`${gaps.camshaft} ${gaps.valves}`} gaps={gaps} of={of} of_case={of_case} has_map={drive.valves.findIndex((one) => one.camshaft === gaps.camshaft) === i} />
      )) : <WithoutFigures says={drive.without_figures} />}
      {drive.events.length > 0 ? (
        <section class="stack">
          <h3>{t("cl_events")}</h3>
          <ul>{drive.events.map((says) => <li key={says}><Told says={says} /></li>)}</ul>
        </section>
      ) : null}
      {is_known ? <Free free={drive.free_camshafts} /> : null}
      {is_known ? <Freed freed={drive.freed_camshafts} /> : null}
      <ul class="cl_notes">{drive.cautions.map((says) => <li key={says}><Told says={says} /></li>)}</ul>
    </div>
  );
}

export function WithoutFigures({ says, cautions = [] }: { says: readonly string[]; cautions?: readonly string[] }) {
  return (
    <section class="cl_without stack">
      <h3>{t("cl_without")}</h3>
      <ol>{says.map((one) => <li key={one}><Told says={one} /></li>)}</ol>
      {cautions.map((one) => <p class="caution" key={one}><Told says={one} /></p>)}
    </section>
  );
}

function Free({ free }: { free: DriveGaps["free_camshafts"] }) {
  return (
    <section class="stack">
      <h3>{t("cl_free")}</h3>
      {free.not_known.length > 0 ? (
        <div>
          <b>{t("cl_free_unknown")}</b>
          <ul>{free.not_known.map((one) => <li key={one}><Told says={one} /></li>)}</ul>
        </div>
      ) : free.windows.length === 0 ? (
        <p>{t("cl_free_none")}</p>
      ) : (
        <ul>
          {free.windows.map((one) => (
            <li key={one.from_crank_deg}>
              {t("cl_free_window", {
                from: degrees(Math.ceil(one.from_crank_deg * 10) / 10),
                to: degrees(Math.floor(one.to_crank_deg * 10) / 10),
                park: degrees(one.park_crank_deg),
                mm: fixed(Math.floor((free.least_mm ?? 0) * 100) / 100, 2),
              })}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

// For information: a freed camshaft may go either way.
function Freed({ freed }: { freed: DriveGaps["freed_camshafts"] }) {
  const park = freed.parking[0];
  return (
    <section class="stack">
      <h3>{t("cl_freed")}</h3>
      <ul>
        {freed.camshafts.map((one) => (
          <li key={one.camshaft}>
            <Told says={one.camshaft} />: {t("cl_freed_one", { most: fixed(one.most_Nm), rests: one.rests.map((rest) => degrees((rest.from_cam_deg + rest.to_cam_deg) / 2, 0)).join(", ") })}
          </li>
        ))}
        {freed.not_known.map((one) => <li key={one}>{t("cl_free_unknown")}: <Told says={one} /></li>)}
      </ul>
      {park ? (
        <div>
          <b>{t("cl_freed_park", { park: degrees(park.crank_deg, 0) })}</b>
          <ul>{park.camshafts.map((one) => <li key={one.camshaft}><Told says={one.camshaft} />: <Told says={one.words} /></li>)}</ul>
        </div>
      ) : null}
      <p class="caution">{t("cl_freed_hold")}</p>
    </section>
  );
}
