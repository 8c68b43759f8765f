// SPDX-License-Identifier: Apache-2.0
// Name and PIN on a paired device, name and password elsewhere. Nobody's name is listed.
import { ask, on_submit, place, say } from "/door.js";

// Back to the sheet that wanted it: its place stands behind "#".
const leave = () => location.replace(`/${location.hash}`);

let by_pin = false;

function choose(pin) {
  by_pin = pin;
  for (const id of ["by-pin", "pad"]) place(id).hidden = !pin;
  place("by-password").hidden = pin;
  place("enter").hidden = pin;
  place("pin").required = pin;
  place("password").required = !pin;
  place("pin").value = place("password").value = "";
  place("other").textContent = pin ? "Use the password instead" : "Use the PIN instead";
  place("form").classList.toggle("with-pad", pin);
}

function press(event) {
  const button = event.target.closest("button[type=button]");
  if (!button) return;
  const pin = place("pin");
  if (button.value === "") pin.value = pin.value.slice(0, -1);
  else if (pin.value.length < pin.maxLength) pin.value += button.value;
}

async function enter() {
  const name = place("name").value;
  const done = by_pin
    ? await ask("POST", "/api/login/pin", { name, pin: place("pin").value })
    : await ask("POST", "/api/login", { name, password: place("password").value });
  if (done.ok) return leave();
  const field = place(by_pin ? "pin" : "password");
  field.value = "";
  field.focus();
  say(done.detail, true);
  return done.wait;
}

async function begin() {
  const [status, me] = await Promise.all([ask("GET", "/api/status"), ask("GET", "/api/me")]);
  if (!status.ok) return say(status.detail, true);
  if (me.ok) return leave(); // somebody is logged in, or nobody needs to be
  const { paired } = status.told;
  choose(paired);
  place("other").hidden = place("no-pin").hidden = !paired;
  place("to-pair").hidden = paired;
  if (!paired) {
    place("name").autocomplete = "username";
    say("This device is not paired: name and password.", false);
  } else {
    say("Name and PIN.", false);
  }
  place("form").hidden = false;
  place("name").focus();
}

on_submit(place("form"), enter);
place("pad").addEventListener("click", press);
place("other").addEventListener("click", () => {
  choose(!by_pin);
  place(by_pin ? "pin" : "password").focus();
});
begin();
