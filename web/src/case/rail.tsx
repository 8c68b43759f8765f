// SPDX-License-Identifier: Apache-2.0
// The stages of the work as a strand of chain: eight links, each closed, broken or open.
import { useEffect, useRef } from "preact/hooks";

import { address } from "../route";
import { t } from "../texts";
import { kStages, type Stage, type StageState } from "./stages";

interface Props {
  name: string;
  at: Stage | undefined;
  states: Map<Stage, StageState>;
}

export function Rail({ name, at, states }: Props) {
  const rail = useRef<HTMLElement>(null);
  useEffect(() => {
    const here = rail.current?.querySelector<HTMLElement>("[aria-current]");
    if (rail.current && here) rail.current.scrollLeft = here.offsetLeft - here.offsetWidth;
  }, [at]);
  return (
    <nav class="rail" aria-label={t("stages")} ref={rail}>
      <ol>
        {kStages.map((row, i) => {
          const state = states.get(row.name);
          return (
            <li key={row.name}>
              <a
                class={state?.link ?? "open"}
                href={address(["case", name, row.name])}
                aria-current={row.name === at ? "step" : undefined}
              >
                <StrandLink link={state?.link ?? "open"} is_inner={i % 2 === 1} />
                <span class="says">
                  <b>{t(row.says)}</b>
                  <small>{state ? t(state.says, { n: state.n }) : ""}</small>
                </span>
              </a>
            </li>
          );
        })}
      </ol>
      <a
        class="to_history"
        href={address(["case", name, "history"])}
        aria-current={at === undefined ? "page" : undefined}
      >
        {t("history")}
      </a>
    </nav>
  );
}

// Drawn along x between two pins; the style sheet turns it where the strand hangs.
function StrandLink({ link, is_inner }: { link: StageState["link"]; is_inner: boolean }) {
  return (
    <svg class={is_inner ? "inner" : "outer"} viewBox="-12 -12 104 24" aria-hidden="true">
      <path class="plate" d={kPlates[link]} />
      <path class="center" d="M-12 0H92" />
      <circle r="4" />
      {link === "open" ? null : <circle r="4" cx="80" />}
    </svg>
  );
}

const kPlates: Record<StageState["link"], string> = {
  closed: "M0-10a10 10 0 0 0 0 20q40-9 80 0a10 10 0 0 0 0-20q-40 9-80 0z",
  broken:
    "M34-6q-17-1-34-4a10 10 0 0 0 0 20q17-3 32-4l6-5-8-3zM48 6q16 1 32 4a10 10 0 0 0 0-20q-16 3-30 4l-6 4 8 3z",
  open: "M52-5.500q-26-.500-52-4.500a10 10 0 0 0 0 20q26-4 52-4.500",
};
