// SPDX-License-Identifier: Apache-2.0
// Paired devices, and the code for one more.
import { useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { time_words } from "../parts/time_words";
import { t } from "../texts";
import type { Tells } from "./people_list";
import { refusal, useSending } from "./refusal";
import { SureButton } from "./sure_button";

type Device = Schemas["device_row"];

export function DeviceList({ devices, tell, again }: Tells & { devices: Device[] }) {
  const paired = devices.filter((device) => !device.revoked);
  const take_off = async ({ id, name }: Device) => {
    const answer = await ask("DELETE", `/api/devices/${encodeURIComponent(id)}`);
    if (answer.ok) await again();
    tell(answer.ok ? t("people_taken_off", { name }) : refusal(answer, {}), !answer.ok);
  };
  return (
    <section class="stack" aria-labelledby="device-list">
      <h2 id="device-list">{t("people_devices")}</h2>
      <div class="door-list">
        {paired.length === 0 ? <p>{t("people_no_devices")}</p> : null}
        {paired.map((device) => (
          <div key={device.id} class="door-device">
            <p>
              <b>{device.name}</b> <span class="faint">{t("people_last_seen", { time: time_words(device.last_seen) })}</span>
            </p>
            <SureButton says={t("people_take_off")} act={() => void take_off(device)} />
          </div>
        ))}
      </div>
      <NewCode tell={tell} />
    </section>
  );
}

function NewCode({ tell }: Pick<Tells, "tell">) {
  const [code, set_code] = useState("");
  const [is_resting, send] = useSending();
  const make = async () => {
    const answer = await ask<Schemas["pairing_code"]>("POST", "/api/pairing");
    if (answer.told) set_code(answer.told.code);
    else tell(refusal(answer, {}), true);
    return answer;
  };
  // At the machine itself the page has an address that no other device can open.
  const is_here = /^(127\.|localhost$|\[::1\]$)/.test(location.hostname);
  const where = is_here ? t("people_where_shown") : `${location.origin}/pair`;
  return (
    <>
      <button class="main" disabled={is_resting} onClick={() => send(make)}>
        {t("people_new_code")}
      </button>
      <div role="status">
        {code ? (
          <>
            <p class="large door-new-code">{code}</p>
            <p>{t("people_code_where", { where })}</p>
          </>
        ) : null}
      </div>
    </>
  );
}
