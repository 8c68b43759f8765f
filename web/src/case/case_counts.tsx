// SPDX-License-Identifier: Apache-2.0
// The state of the answers of a case in a list: judged when the row is seen, two at once at most.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, case_path, in_store, type Schemas } from "../ask";
import { VerdictLink } from "../parts/link";
import { t } from "../texts";

type Counts = Schemas["findings"]["summary"]; // forecasts left out

const kAtOnce = 2;
const told = new Map<string, Counts>(); // of this visit, by the store, name and head of the case
const queue: (() => Promise<void>)[] = [];
let running = 0;

function in_turn(job: () => Promise<void>): void {
  queue.push(job);
  run();
}

function run(): void {
  while (running < kAtOnce) {
    const job = queue.shift();
    if (!job) return;
    ++running;
    void job().finally(() => {
      --running;
      run();
    });
  }
}

export function CaseCounts({ name, head }: { name: string; head: string }) {
  const place = useRef<HTMLSpanElement>(null);
  const key = `${in_store(case_path(name))} ${head}`;
  const [counts, set] = useState(told.get(key));
  useEffect(() => {
    set(told.get(key));
    if (told.has(key) || !place.current) return;
    let is_over = false;
    const judge = async () => {
      if (is_over) return;
      const answer = await ask<Schemas["findings"]>("GET", case_path(name, "findings"));
      if (!answer.told) return;
      const { summary, forecasts } = answer.told;
      const found = { ...summary, open: summary.open - forecasts };
      told.set(key, found);
      if (!is_over) set(found);
    };
    const seen = new IntersectionObserver((entries) => {
      if (!entries.some((entry) => entry.isIntersecting)) return;
      seen.disconnect();
      in_turn(judge);
    });
    seen.observe(place.current);
    return () => {
      is_over = true;
      seen.disconnect();
    };
  }, [key]);
  return (
    <span class="counts" ref={place}>
      {counts ? <Shown counts={counts} /> : null}
    </span>
  );
}

// Never a closed link: no case passes as a whole, only each answer does.
function Shown({ counts }: { counts: Counts }) {
  if (counts.pass + counts.fail + counts.open === 0) return <>{t("stage_nothing")}</>;
  return (
    <>
      <VerdictLink verdict={counts.fail > 0 ? "fail" : "open"} word={false} />
      {t("case_counts", { pass: counts.pass, fail: counts.fail, open: counts.open })}
    </>
  );
}
