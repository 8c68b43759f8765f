// SPDX-License-Identifier: Apache-2.0
// Nobody is let in while the program is not reached: said plainly, and looked for again and again.
import { useEffect } from "preact/hooks";

import { t } from "../texts";

const kEvery = 5_000; // ms

export function Away({ look }: { look: () => void }) {
  useEffect(() => {
    const timer = setInterval(look, kEvery);
    addEventListener("online", look);
    return () => {
      clearInterval(timer);
      removeEventListener("online", look);
    };
  }, [look]);
  return (
    <section class="caution stack door-away" role="alert">
      <h2>{t("door_away")}</h2>
      <p>{t("door_away_is")}</p>
      <button class="main" onClick={look}>
        {t("door_try_again")}
      </button>
    </section>
  );
}
