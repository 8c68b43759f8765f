// SPDX-License-Identifier: Apache-2.0
// #/pair/CODE, from the scanned address /pair#CODE: what stands behind # is never sent, and it is
// not kept in the history either.
import "../door/door.css";

import { useEffect, useRef, useState } from "preact/hooks";

import { ask } from "../ask";
import { Away } from "../door/away";
import { refusal, useSending } from "../door/refusal";
import { Sheet } from "../parts/sheet";
import { login_address, pair_address, type Route } from "../route";
import { t } from "../texts";

const kLongestCode = 20;

export function PairScreen({ route }: { route: Route }) {
  const [code, set_code] = useState("");
  const [name, set_name] = useState("");
  const [wrong, set_wrong] = useState("");
  const [is_away, set_away] = useState(false);
  const [is_resting, send] = useSending();
  const code_field = useRef<HTMLInputElement>(null);
  const name_field = useRef<HTMLInputElement>(null);
  const scanned = route.path[1];
  useEffect(() => {
    if (!scanned) return code_field.current?.focus();
    set_code(scanned.slice(0, kLongestCode));
    history.replaceState(null, "", pair_address());
    name_field.current?.focus();
  }, [scanned]);
  const pair = async () => {
    const answer = await ask("POST", "/api/pair", { code, name });
    set_away(answer.status === 0);
    if (answer.ok) return location.replace(login_address()), undefined;
    set_wrong(answer.status === 0 ? "" : refusal(answer, { 422: "pair_wrong" }));
    return answer;
  };
  const look = async () => set_away((await ask("GET", "/api/status")).status === 0);
  return (
    <Sheet title={t("pair_title")} back={login_address()} door>
      <div class="door">
        {is_away ? <Away look={look} /> : null}
        <form
          class="door-form"
          onSubmit={(event) => {
            event.preventDefault();
            send(pair);
          }}
        >
          <div class="stack">
            <p role="status" class={wrong ? "wrong" : "faint"}>
              {wrong || t("pair_is")}
            </p>
            <label>
              {t("pair_code")}
              <input ref={code_field} name="code" class="door-code" value={code} required maxLength={kLongestCode} autocomplete="one-time-code"
                autocapitalize="characters" spellcheck={false} aria-describedby="pair-code" onInput={(event) => set_code(event.currentTarget.value)} />
            </label>
            <p id="pair-code" class="faint">{t("pair_code_is")}</p>
            <label>
              {t("pair_name")}
              <input ref={name_field} name="device" value={name} required pattern=".*\S.*" maxLength={60} autocomplete="off" placeholder={t("pair_name_such_as")}
                aria-describedby="pair-name" onInput={(event) => set_name(event.currentTarget.value)} />
            </label>
            <p id="pair-name" class="faint">{t("pair_name_is")}</p>
            <button class="main" disabled={is_resting}>
              {t("pair_do")}
            </button>
          </div>
        </form>
        <div class="stack faint door-help">
          <a class="button quiet" href={login_address()}>
            {t("pair_without")}
          </a>
          <p>{t("pair_no_code")}</p>
          <p>{t("pair_stays")}</p>
        </div>
      </div>
    </Sheet>
  );
}
