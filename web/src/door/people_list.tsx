// SPDX-License-Identifier: Apache-2.0
// Accounts: each a line that opens, and a form for one more.
import { ask, type Schemas, type Told } from "../ask";
import { type Key, t } from "../texts";
import { refusal, useSending } from "./refusal";
import { SureButton } from "./sure_button";

type Account = Schemas["account_row"];
type Role = Account["role"];

export interface Tells {
  tell: (text: string, is_wrong: boolean) => void; // above the lists
  again: () => Promise<void>; // asks for the lists anew
}

const kRoles: [Role, Key][] = [
  ["read", "people_may_read"],
  ["write", "people_may_write"],
  ["manage", "people_may_manage"],
];

function role_words(role: Role): string {
  return t(kRoles.find(([one]) => one === role)?.[1] ?? "people_may_read");
}

function RoleAsked({ now }: { now?: Role }) {
  return (
    <label>
      {t("people_role")}
      <select name="role">
        {kRoles.map(([role, says]) => (
          <option key={role} value={role} selected={role === (now ?? "read")}>
            {t(says)}
          </option>
        ))}
      </select>
    </label>
  );
}

const kPassword = { name: "password", type: "password", minLength: 10, maxLength: 200, autocomplete: "new-password" } as const;

// What stands in the fields of a form.
function typed(event: SubmitEvent): Record<string, string> {
  event.preventDefault();
  const data = new FormData(event.currentTarget as HTMLFormElement);
  return Object.fromEntries([...data].map(([name, value]) => [name, String(value)]));
}

export function PeopleList({ accounts, tell, again }: Tells & { accounts: Account[] }) {
  return (
    <section class="stack" aria-labelledby="people-list">
      <h2 id="people-list">{t("people_list")}</h2>
      <div class="door-list">
        {accounts.map((account) => (
          <Person key={account.name} account={account} tell={tell} again={again} />
        ))}
        <Add tell={tell} again={again} />
      </div>
    </section>
  );
}

function Person({ account, tell, again }: Tells & { account: Account }) {
  const [is_resting, send] = useSending();
  const { name, role, has_pin, disabled } = account;
  const change = async (asked: Schemas["account_change"], says: string): Promise<Told<unknown>> => {
    const answer = await ask("PUT", `/api/accounts/${encodeURIComponent(name)}`, asked);
    if (answer.ok) await again();
    tell(answer.ok ? says : refusal(answer, {}), !answer.ok);
    return answer;
  };
  const submit = (event: SubmitEvent) => {
    const form = event.currentTarget as HTMLFormElement;
    const now = typed(event);
    const asked: Schemas["account_change"] = {
      ...(now["role"] !== role ? { role: now["role"] as Role } : {}),
      ...(now["pin"] ? { pin: now["pin"] } : {}),
      ...(now["password"] ? { password: now["password"] } : {}),
    };
    if (Object.keys(asked).length === 0) return tell(t("people_unchanged"), true);
    send(async () => {
      const answer = await change(asked, t("people_changed", { name }));
      // Not reset(): it would put the role back to the first one.
      if (answer.ok) for (const field of form.querySelectorAll("input")) field.value = "";
      return answer;
    });
  };
  const words = [role_words(role), t(has_pin ? "people_has_pin" : "people_no_pin"), disabled ? t("people_disabled") : ""];
  return (
    <details>
      <summary>
        <b>{name}</b> <span class="faint">{words.filter(Boolean).join(", ")}</span>
      </summary>
      <form class="stack" onSubmit={submit}>
        <RoleAsked now={role} />
        <label>
          {t("people_new_pin")}
          <input name="pin" type="password" inputMode="numeric" maxLength={8} pattern="[0-9]{4,8}" title={t("door_pin_digits")} autocomplete="off" />
        </label>
        <label>
          {t("people_new_password")}
          <input {...kPassword} />
        </label>
        <div class="row">
          <button class="main" disabled={is_resting}>{t("people_change")}</button>
          <SureButton
            says={t(disabled ? "people_let_in" : "people_disable")}
            act={() => send(() => change({ disabled: !disabled }, t(disabled ? "people_is_in" : "people_is_out", { name })))}
          />
        </div>
      </form>
    </details>
  );
}

function Add({ tell, again }: Tells) {
  const [is_resting, send] = useSending();
  const submit = (event: SubmitEvent) => {
    const form = event.currentTarget as HTMLFormElement;
    const asked = typed(event);
    send(async () => {
      const answer = await ask<Account>("POST", "/api/accounts", asked);
      if (answer.ok) form.reset();
      if (answer.ok) await again();
      tell(answer.told ? t("people_added", { name: answer.told.name }) : refusal(answer, { 409: "people_exists" }), !answer.ok);
      return answer;
    });
  };
  return (
    <details>
      <summary>
        <b>{t("people_add")}</b>
      </summary>
      <form class="stack" onSubmit={submit}>
        <label>
          {t("people_name")}
          <input name="name" required maxLength={60} autocomplete="off" spellcheck={false} />
        </label>
        <RoleAsked />
        <label>
          {t("people_first_password")}
          <input {...kPassword} required />
        </label>
        <button class="main" disabled={is_resting}>{t("people_add_do")}</button>
      </form>
    </details>
  );
}
