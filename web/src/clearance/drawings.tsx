// SPDX-License-Identifier: Apache-2.0
// The program's drawings of valves and pistons: the map of gaps over crankshaft and camshaft, and
// valve and piston where they are nearest.
import { Drawing } from "../drives/drawing";
import { useAsked } from "../state/asked";
import { said } from "../said/said";
import { t } from "../texts";

export interface Asked {
  cam: string;
  valves: string;
  error?: number; // teeth, positive early
  phaser?: string; // as the table's column says it
}

export function drawing_path(of: string, what: "map" | "section", { cam, valves, error, phaser }: Asked): string {
  const query = new URLSearchParams({ cam, valves, ...(error === undefined ? {} : { error: String(error) }), ...(phaser === undefined ? {} : { phaser }) });
  return `${of}/${what}.svg?${query.toString()}`;
}

// `of_case`: asked anew when it changes; of a definition "/", which is no case.
export function GapDrawing({ path, of_case, says }: { path: string; of_case: string; says: string }) {
  const asked = useAsked<string>(path, of_case);
  return (
    <figure class="cl_drawing">
      {asked.told ? <Drawing svg={asked.told} /> : <p class="faint" role="status">{said(asked.detail) || t("loading")}</p>}
      <figcaption>{says}</figcaption>
    </figure>
  );
}
