// SPDX-License-Identifier: Apache-2.0
// #/people: accounts and paired devices, for those who may manage. The lists are not kept on the
// device, unlike other answers.
import "../door/door.css";

import { useCallback, useEffect, useState } from "preact/hooks";

import { ask, type Schemas, type Told } from "../ask";
import { DeviceList } from "../door/device_list";
import { PeopleList } from "../door/people_list";
import { Sheet } from "../parts/sheet";
import { login_address, type Route } from "../route";
import { link_is } from "../state/live";
import { t } from "../texts";

interface Shop {
  is_shared: boolean;
  me: Told<Schemas["me"]>;
  accounts: Schemas["account_row"][];
  devices: Schemas["device_row"][];
}

async function shop_now(): Promise<Shop | string> {
  const [status, me] = await Promise.all([ask<Schemas["status"]>("GET", "/api/status"), ask<Schemas["me"]>("GET", "/api/me")]);
  link_is(status.status !== 0);
  if (!status.told || (!me.ok && me.status !== 401)) return status.detail || me.detail;
  const shop = { is_shared: status.told.shared, me, accounts: [], devices: [] };
  if (me.told?.role !== "manage") return shop;
  const [people, devices] = await Promise.all([
    ask<Schemas["account_list"]>("GET", "/api/accounts"),
    ask<Schemas["device_list"]>("GET", "/api/devices"),
  ]);
  if (!people.told || !devices.told) return people.detail || devices.detail;
  return { ...shop, accounts: people.told.accounts, devices: devices.told.devices };
}

export function PeopleScreen(_: { route: Route }) {
  const [shop, set] = useState<Shop | string | undefined>();
  const [said, say] = useState({ text: "", is_wrong: false });
  const again = useCallback(async () => set(await shop_now()), []);
  useEffect(() => void again(), [again]);
  const tell = (text: string, is_wrong: boolean) => {
    say({ text, is_wrong });
    scrollTo(0, 0);
  };
  const is_open = typeof shop === "object" && shop.me.told?.role === "manage";
  return (
    <Sheet title={t("people")} blocks={is_open ? [{ name: t("on_this_device"), says: shop.me.told?.name }] : []}>
      <div class="stack people">
        {typeof shop === "object" ? null : <p role="status">{shop ?? t("loading")}</p>}
        {is_open ? (
          <>
            <p role="status" class={said.is_wrong ? "wrong" : said.text ? "caution" : "faint"}>
              {said.text || t(shop.is_shared ? "people_is" : "people_not_shared")}
            </p>
            <div class="people-lists">
              <PeopleList accounts={shop.accounts} tell={tell} again={again} />
              <DeviceList devices={shop.devices} tell={tell} again={again} />
            </div>
            <p class="faint">{t("people_noted")}</p>
          </>
        ) : null}
        {typeof shop === "object" && shop.me.ok && !is_open ? <NotAllowed me={shop.me.told} /> : null}
      </div>
    </Sheet>
  );
}

// A PIN is less than its account: that is not the same as an account that may less.
function NotAllowed({ me }: { me: Schemas["me"] | undefined }) {
  return (
    <div class="stack">
      <p role="status">{t(me?.note ? "people_with_pin" : "people_only_manage")}</p>
      <a class="button" href={login_address({ with: "password" })}>
        {t("people_by_password")}
      </a>
    </div>
  );
}
