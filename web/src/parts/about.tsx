// SPDX-License-Identifier: Apache-2.0
// Folded on the first sheet: the facts of the store, and one's own PIN and password.
import { useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { useAsked } from "../state/asked";
import { t } from "../texts";

const kNoCase = "/"; // no case is called so

export function About() {
  const status = useAsked<Schemas["status"]>("/api/status").told;
  const me = useAsked<Schemas["me"]>(status?.shared ? "/api/me" : undefined, kNoCase).told;
  if (!status) return null;
  return (
    <details class="about">
      <summary>{t("about")}</summary>
      <div class="stack">
        <Facts status={status} />
        {me ? <OwnSecrets me={me} /> : null}
      </div>
    </details>
  );
}

function Facts({ status }: { status: Schemas["status"] }) {
  const rows = [
    [t("about_program"), status.program],
    [t("about_cases"), String(status.cases)],
    [
      t("about_store"),
      t(status.store_kind === "server" ? "about_store_server" : "about_store_file") +
        (status.read_only ? `, ${t("about_read_only")}` : ""),
    ],
    [t("about_reach"), t(status.shared ? "about_shared" : "about_alone")],
  ];
  return (
    <dl class="facts">
      {rows.map(([name, says]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{says}</dd>
        </div>
      ))}
    </dl>
  );
}

function OwnSecrets({ me }: { me: Schemas["me"] }) {
  const [says, say] = useState({ text: "", is_wrong: false });
  const change = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const data = new FormData(form);
    const of = (name: string) => String(data.get(name) ?? "");
    const password = of("password");
    const done = await ask("PUT", "/api/me", {
      old_password: of("old"),
      ...(of("pin") ? { pin: of("pin") } : {}),
      ...(password ? { password } : {}),
    });
    say({ text: done.ok ? t(password ? "own_password_changed" : "own_pin_changed") : done.detail, is_wrong: !done.ok });
    if (done.ok) form.reset();
  };
  return (
    <form class="own stack" onSubmit={(event) => void change(event)}>
      <h3>{t("own_secrets", { name: me.name })}</h3>
      <label>
        {t("own_old")}
        <input name="old" type="password" required maxLength={200} autocomplete="current-password" />
      </label>
      <label>
        {t("own_pin")}
        <input name="pin" type="password" inputMode="numeric" pattern="[0-9]{4,8}" maxLength={8} title={t("own_pin_digits")} autocomplete="off" />
      </label>
      <label>
        {t("own_password")}
        <input name="password" type="password" maxLength={200} autocomplete="new-password" />
      </label>
      <p role="status" class={says.is_wrong ? "wrong" : ""}>
        {says.text}
      </p>
      <button type="submit">{t("own_change")}</button>
    </form>
  );
}
