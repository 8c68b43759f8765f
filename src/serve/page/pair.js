// SPDX-License-Identifier: Apache-2.0
// The scanned address is /pair#CODE. What stands behind # is not sent; it is not kept either.
import { ask, on_submit, place, say } from "/door.js";

function take_code() {
  let code = location.hash.slice(1);
  try {
    code = decodeURIComponent(code);
  } catch {
    // taken as it stands
  }
  if (!code) return;
  place("code").value = code.slice(0, place("code").maxLength);
  history.replaceState(null, "", location.pathname);
  place("name").focus();
}

on_submit(place("form"), async () => {
  const asked = { code: place("code").value, name: place("name").value };
  const done = await ask("POST", "/api/pair", asked);
  if (done.ok) return location.replace("/login");
  say(done.detail, true);
  return done.wait;
});
addEventListener("hashchange", take_code);
place("code").focus();
take_code();
