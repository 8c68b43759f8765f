// SPDX-License-Identifier: Apache-2.0
// Accounts and paired devices, for those who may manage.
import { MAY, ask, on_second_press, on_submit, place, say } from "/door.js";

const day = (time) => time.slice(0, 10);

function tell(done, text) {
  if (done.status === 401) location.replace("/login");
  say(done.ok ? text : done.detail, !done.ok);
  scrollTo({ top: 0 });
}

async function change(account, asked, text) {
  const done = await ask("PUT", `/api/accounts/${encodeURIComponent(account.name)}`, asked);
  tell(done, text);
  if (done.ok) await show_people();
}

function person(account) {
  const shown = place("person").content.cloneNode(true);
  shown.querySelector("strong").textContent = account.name;
  shown.querySelector("span").textContent = [
    MAY[account.role],
    account.has_pin ? "has a PIN" : "no PIN yet",
    account.disabled ? "disabled" : "",
  ].filter(Boolean).join(", ");
  const form = shown.querySelector("form");
  form.role.value = account.role;
  on_submit(form, async () => {
    const asked = {};
    if (form.role.value !== account.role) asked.role = form.role.value;
    if (form.pin.value) asked.pin = form.pin.value;
    if (form.password.value) asked.password = form.password.value;
    if (Object.keys(asked).length) await change(account, asked, `Changed: ${account.name}.`);
    else say("Nothing was changed.", true);
  });
  const lock = form.querySelector("button[type=button]");
  lock.textContent = account.disabled ? "Let in again" : "Disable, and log out everywhere";
  on_second_press(lock, () =>
    change(account, { disabled: !account.disabled },
      account.disabled ? `${account.name} may log in again.` : `${account.name} is logged out.`));
  return shown;
}

async function show_people() {
  const list = await ask("GET", "/api/accounts");
  if (!list.ok) return tell(list, "");
  place("people-list").replaceChildren(...list.told.accounts.map(person));
}

function device(one) {
  const shown = place("device").content.cloneNode(true);
  shown.querySelector("strong").textContent = one.name;
  shown.querySelector("span").textContent = `last log-in ${day(one.last_seen)}`;
  on_second_press(shown.querySelector("button"), async () => {
    const done = await ask("DELETE", `/api/devices/${one.id}`);
    tell(done, `${one.name} is off the list and logged out.`);
    if (done.ok) show_devices();
  });
  return shown;
}

async function show_devices() {
  const list = await ask("GET", "/api/devices");
  if (!list.ok) return tell(list, "");
  const paired = list.told.devices.filter((one) => !one.revoked);
  place("device-list").replaceChildren(...paired.map(device));
  place("no-devices").hidden = paired.length > 0;
}

on_submit(place("add"), async () => {
  const asked = {
    name: place("name").value,
    role: place("role").value,
    password: place("password").value,
  };
  const done = await ask("POST", "/api/accounts", asked);
  tell(done, `${done.told.name} can log in. A PIN is set below the name.`);
  if (!done.ok) return;
  place("add").reset();
  await show_people();
});

on_submit(place("pairing"), async () => {
  const done = await ask("POST", "/api/pairing");
  if (!done.ok) return tell(done, "");
  place("new-code").textContent = done.told.code;
  // At the machine itself the page has an address that no other device can open.
  const is_here = /^(127\.|localhost$|\[::1\]$)/.test(location.hostname);
  place("where").textContent = is_here
    ? "the address that the program showed at its start, with /pair behind it,"
    : `${location.origin}/pair`;
  place("code-shown").hidden = false;
});

const me = await ask("GET", "/api/me");
if (me.ok && me.told.role === "manage") {
  say("Who may log in, and on which devices a PIN is enough.", false);
  show_people();
  show_devices();
} else if (me.status === 401) {
  location.replace("/login");
} else {
  say(me.ok ? "This is for those who may manage." : me.detail, true);
}
