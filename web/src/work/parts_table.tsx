// SPDX-License-Identifier: Apache-2.0
import { said } from "../said/said";
import { Told } from "../said/told";
import { t } from "../texts";
import { OpenBox } from "./set_box";
import { count_words, kStandings, type PartRow } from "./parts_says";

export function PartsTable({ rows, of_case }: { rows: readonly PartRow[]; of_case: string | undefined }) {
  if (rows.length === 0) return <p>{t("parts_none")}</p>;
  return (
    <table class="parts_table">
      <thead>
        <tr>
          <th scope="col" class="count">{t("parts_count")}</th>
          <th scope="col">{t("parts_part")}</th>
          <th scope="col">{t("parts_bank")}</th>
          <th scope="col">{t("parts_from")}</th>
          <th scope="col">{t("parts_why")}</th>
        </tr>
      </thead>
      <tbody>{rows.map((row) => <Row key={`${row.part} ${row.bank}`} row={row} of_case={of_case} />)}</tbody>
    </table>
  );
}

function Row({ row, of_case }: { row: PartRow; of_case: string | undefined }) {
  const standing = kStandings[row.standing];
  const is_alone = row.from.length === 0 && row.compare.length > 0 && row.standing !== "to order";
  return (
    <tr class={row.standing === "to order" ? "to_order" : ""}>
      <td class="count">{count_words(row)}</td>
      <th scope="row">
        {said(row.part)}
        {of_case === undefined ? null : <small>{standing ? t(standing) : row.standing}</small>}
      </th>
      <td class={row.bank === null ? "no_bank" : "bank"} data-says={t("parts_bank")}>{row.bank ?? ""}</td>
      <td>{row.from.length > 0 ? row.from.map((one) => said(one)).join(` ${t("parts_or")} `) : <b>{t("parts_in_no_set")}</b>}</td>
      <td>
        {row.why.map((one) => (
          <p key={`${one.words} ${one.entry}`}>
            <Told says={one.words} whole />
            {one.entry ? <span class="faint"> ({one.entry})</span> : null}
          </p>
        ))}
        {row.only_if > 0 ? <p>{`+${row.only_if}: `}<Told says={row.only_if_words} whole /></p> : null}
        {is_alone && of_case !== undefined ? (
          <details class="unprinted">
            <summary>{t("parts_lay_beside")}</summary>
            <OpenBox box={{ name: row.part, bank: row.bank, holds: [] }} compare={row.compare} of_case={of_case} />
          </details>
        ) : null}
      </td>
    </tr>
  );
}
