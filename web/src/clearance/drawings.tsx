// SPDX-License-Identifier: Apache-2.0
// The program's drawings of valves and pistons: the map of gaps over crankshaft and camshaft, and
// valve and piston where they are nearest.
import { useEffect, useRef, useState } from "preact/hooks";

import { Drawing } from "../drives/drawing";
import { said } from "../said/said";
import { useAsked } from "../state/asked";
import { light_now } from "../state/light";
import { t } from "../texts";

export interface Asked {
  cam: string;
  error?: number; // teeth, positive early
  phaser?: string; // as the table's column says it
}

// A drawing has its own colors: those of the paper that the page lies on.
export function paper_now(): "screen" | "dark" {
  const light = light_now();
  const is_dark = light === "dark" || (light === "device" && matchMedia("(prefers-color-scheme: dark)").matches);
  return is_dark ? "dark" : "screen";
}

export function drawing_path(of: string, what: "map" | "section", { cam, error, phaser }: Asked): string {
  const query = new URLSearchParams({ cam, paper: paper_now(), ...(error === undefined ? {} : { error: String(error) }), ...(phaser === undefined ? {} : { phaser }) });
  return `${of}/${what}.svg?${query.toString()}`;
}

// `of_case`: asked anew when it changes; of a definition "/", which is no case. As wide as the card;
// enlarged it fills the screen, where its words are large enough to read, and is moved by finger.
export function GapDrawing({ path, of_case, says }: { path: string; of_case: string; says: string }) {
  const asked = useAsked<string>(path, of_case);
  const [is_large, enlarge] = useState(false);
  const is_asking = asked.detail === "" || asked.status === 503; // asked again by itself
  if (!asked.told) return <p class="faint" role="status">{is_asking ? t("loading") : said(asked.detail)}</p>;
  return (
    <figure class="cl_drawing">
      <Drawing svg={asked.told} least="0px" />
      <figcaption>
        {says} <button type="button" class="quiet" onClick={() => enlarge(true)}>{t("cl_enlarge")}</button>
      </figcaption>
      {is_large ? <Large svg={asked.told} says={says} on_close={() => enlarge(false)} /> : null}
    </figure>
  );
}

export function Large({ svg, says, on_close }: { svg: string; says: string; on_close: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog class="cl_large" ref={dialog} aria-label={says} onClose={on_close}>
      <p class="row"><button type="button" class="main" onClick={on_close}>{t("cl_close")}</button> {says}</p>
      <Drawing svg={svg} least="90rem" />
    </dialog>
  );
}
