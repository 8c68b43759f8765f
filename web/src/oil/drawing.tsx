// SPDX-License-Identifier: Apache-2.0
// One of the program's drawings of the oil, as wide as its place, and as large as the screen.
import { useState } from "preact/hooks";

import { Large } from "../clearance/drawings";
import { Drawing } from "../drives/drawing";
import { t } from "../texts";

export function OilDrawing({ svg, says }: { svg: string; says: string }) {
  const [is_large, enlarge] = useState(false);
  return (
    <figure class="cl_drawing">
      <Drawing svg={svg} />
      <figcaption>
        {says} <button type="button" class="quiet" onClick={() => enlarge(true)}>{t("cl_enlarge")}</button>
      </figcaption>
      {is_large ? <Large svg={svg} says={says} on_close={() => enlarge(false)} /> : null}
    </figure>
  );
}
