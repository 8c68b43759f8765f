// SPDX-License-Identifier: Apache-2.0
// The program's drawings of valves and pistons: the map of gaps over crankshaft and camshaft, and
// valve and piston where they are nearest.
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
function paper_now(): "screen" | "dark" {
  const light = light_now();
  const is_dark = light === "dark" || (light === "device" && matchMedia("(prefers-color-scheme: dark)").matches);
  return is_dark ? "dark" : "screen";
}

export function drawing_path(of: string, what: "map" | "section", { cam, error, phaser }: Asked): string {
  const query = new URLSearchParams({ cam, paper: paper_now(), ...(error === undefined ? {} : { error: String(error) }), ...(phaser === undefined ? {} : { phaser }) });
  return `${of}/${what}.svg?${query.toString()}`;
}

// `of_case`: asked anew when it changes; of a definition "/", which is no case.
export function GapDrawing({ path, of_case, says }: { path: string; of_case: string; says: string }) {
  const asked = useAsked<string>(path, of_case);
  return (
    <figure class="cl_drawing">
      {asked.told ? <Drawing svg={asked.told} least="46rem" /> : <p class="faint" role="status">{said(asked.detail) || t("loading")}</p>}
      <figcaption>{says}</figcaption>
    </figure>
  );
}
