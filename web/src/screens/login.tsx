// SPDX-License-Identifier: Apache-2.0
// #/login?back=PLACE: name and PIN on a paired device, name and password elsewhere. Nobody's name is
// listed. `with=password`: for somebody who is logged in with a PIN and needs more.
import "../door/door.css";

import { useCallback, useEffect, useRef, useState } from "preact/hooks";

import { ask, logged_in, type Schemas } from "../ask";
import { Away } from "../door/away";
import { kLongestPin, PinPad } from "../door/pin_pad";
import { refusal, useSending } from "../door/refusal";
import { Sheet } from "../parts/sheet";
import { pair_address, type Route, way_back } from "../route";
import { ask_again, link_is } from "../state/live";
import { t } from "../texts";

type Door = "away" | "paired" | "not paired" | undefined; // undefined: not known yet

export function LoginScreen({ route }: { route: Route }) {
  const [door, set_door] = useState<Door>();
  const was_paired = useRef(false);
  const back = way_back(route);
  const wants_password = route.query["with"] === "password";
  const leave = useCallback(() => {
    logged_in();
    ask_again();
    location.replace(back);
  }, [back]);
  const look = useCallback(async () => {
    const [status, me] = await Promise.all([
      ask<Schemas["status"]>("GET", "/api/status"),
      ask<Schemas["me"]>("GET", "/api/me"),
    ]);
    link_is(status.status !== 0);
    if (!status.told) return set_door("away");
    // Somebody is logged in, or nobody needs to be.
    if (me.ok && !(wants_password && status.told.shared)) return leave();
    was_paired.current ||= status.told.paired;
    set_door(status.told.paired ? "paired" : "not paired");
  }, [leave, wants_password]);
  useEffect(() => void look(), [look]);
  return (
    <Sheet title={t("log_in")} door>
      <div class="door">
        {door === "away" ? <Away look={look} /> : null}
        {door === undefined ? <p role="status">{t("loading")}</p> : null}
        {door === "paired" || door === "not paired" ? (
          <Entrance key={door} is_paired={door === "paired"} was_paired={was_paired.current} begins_with_pin={!wants_password} look={look} leave={leave} />
        ) : null}
      </div>
    </Sheet>
  );
}

interface Props {
  is_paired: boolean;
  was_paired: boolean; // it may be taken off the list while somebody stands before it
  begins_with_pin: boolean;
  look: () => Promise<void>;
  leave: () => void;
}

function Entrance({ is_paired, was_paired, begins_with_pin, look, leave }: Props) {
  const [by_pin, choose] = useState(is_paired && begins_with_pin);
  const [name, set_name] = useState("");
  const [secret, set_secret] = useState("");
  const [wrong, set_wrong] = useState(was_paired && !is_paired ? t("door_unpaired_now") : "");
  const [is_resting, send] = useSending();
  const first = useRef<HTMLInputElement>(null);
  const second = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  const enter = async () => {
    const answer = by_pin
      ? await ask("POST", "/api/login/pin", { name, pin: secret })
      : await ask("POST", "/api/login", { name, password: secret });
    set_secret("");
    if (answer.ok) return leave(), undefined;
    set_wrong(refusal(answer, { 401: by_pin ? "door_wrong_pin" : "door_wrong_password" }));
    second.current?.focus();
    if (answer.status === 0 || (by_pin && answer.status === 401)) await look();
    return answer;
  };
  const other = () => {
    choose(!by_pin);
    set_secret("");
    set_wrong("");
    second.current?.focus();
  };
  return (
    <>
      <form
        class={by_pin ? "door-form with-pad" : "door-form"}
        onSubmit={(event) => {
          event.preventDefault();
          send(enter);
        }}
      >
        <div class="stack">
          <p role="status" class={wrong ? "wrong" : "faint"}>
            {wrong || t(by_pin ? "door_by_pin" : is_paired ? "door_by_password" : "door_not_paired")}
          </p>
          <label>
            {t("door_name")}
            <input ref={first} name="name" value={name} required maxLength={60} autocapitalize="words" spellcheck={false}
              autocomplete={is_paired ? "off" : "username"} onInput={(event) => set_name(event.currentTarget.value)} />
          </label>
          <Secret by_pin={by_pin} is_paired={is_paired} value={secret} on_value={set_secret} field={second} />
          {by_pin ? null : (
            <button class="main" disabled={is_resting}>
              {t("log_in")}
            </button>
          )}
          {is_paired ? (
            <button type="button" class="quiet" onClick={other}>
              {t(by_pin ? "door_use_password" : "door_use_pin")}
            </button>
          ) : null}
        </div>
        {by_pin ? <PinPad pin={secret} on_pin={set_secret} is_resting={is_resting} /> : null}
      </form>
      <Help is_paired={is_paired} />
    </>
  );
}

interface SecretProps {
  by_pin: boolean;
  is_paired: boolean;
  value: string;
  on_value: (value: string) => void;
  field: { current: HTMLInputElement | null };
}

// A shared tablet keeps neither: no browser may offer the last one's password to the next.
function Secret({ by_pin, is_paired, value, on_value, field }: SecretProps) {
  const kind = by_pin
    ? ({ name: "pin", inputMode: "none", maxLength: kLongestPin, pattern: "[0-9]{4,8}", title: t("door_pin_digits"), autocomplete: "off" } as const)
    : ({ name: "password", maxLength: 200, autocomplete: is_paired ? "off" : "current-password" } as const);
  return (
    <label>
      {t(by_pin ? "door_pin" : "door_password")}
      <input {...kind} ref={field} class={by_pin ? "door-pin" : ""} type="password" required value={value}
        onInput={(event) => on_value(event.currentTarget.value)} />
    </label>
  );
}

function Help({ is_paired }: { is_paired: boolean }) {
  return (
    <div class="stack faint door-help">
      {is_paired ? null : (
        <a class="button quiet" href={pair_address()}>
          {t("door_to_pair")}
        </a>
      )}
      {is_paired ? <p>{t("door_lost_pin")}</p> : null}
      <p>{t("door_lost")}</p>
    </div>
  );
}
