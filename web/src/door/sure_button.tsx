// SPDX-License-Identifier: Apache-2.0
// For what is not easily taken back: a glove may have touched the button by chance.
import { useEffect, useState } from "preact/hooks";

import { t } from "../texts";

const kCalm = 5_000; // ms until the first press is forgotten

export function SureButton({ says, act }: { says: string; act: () => void }) {
  const [is_asked, ask_whether] = useState(false);
  useEffect(() => {
    if (!is_asked) return;
    const timer = setTimeout(() => ask_whether(false), kCalm);
    return () => clearTimeout(timer);
  }, [is_asked]);
  return (
    <button
      type="button"
      class="quiet"
      onClick={() => {
        ask_whether(!is_asked);
        if (is_asked) act();
      }}
    >
      {is_asked ? t("people_sure") : says}
    </button>
  );
}
