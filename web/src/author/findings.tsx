// SPDX-License-Identifier: Apache-2.0
// What the lint finds, in words with its place.
import { Told } from "../said/told";
import { t } from "../texts";
import { count_of, type Finding } from "./says";

// Weight and word tell an error from a warning, not color.
export function Marks({ findings }: { findings: readonly Finding[] }) {
  const { errors, warnings } = count_of(findings);
  if (errors + warnings === 0) return null;
  return (
    <span class="lint_marks">
      {errors ? <b class="lint_error">{t(errors === 1 ? "author_error" : "author_errors", { n: errors })}</b> : null}
      {warnings ? <span class="lint_warning">{t(warnings === 1 ? "author_warning" : "author_warnings", { n: warnings })}</span> : null}
    </span>
  );
}

export function Findings({ findings }: { findings: readonly Finding[] }) {
  return (
    <ul class="findings">
      {findings.map((one, i) => (
        <li key={i} class={one.is_error ? "lint_error" : "lint_warning"}>
          <small>
            {t(one.is_error ? "author_is_error" : "author_is_warning")}
            {one.line ? `, ${one.file}, ${t("drives_line", { line: one.line })}` : ""}
          </small>
          <p>
            <Told says={one.message} whole />
            {one.hint ? <span class="faint"> <Told says={one.hint} whole /></span> : null}
          </p>
        </li>
      ))}
    </ul>
  );
}
