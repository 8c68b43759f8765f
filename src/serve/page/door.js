// SPDX-License-Identifier: Apache-2.0
// What the pages at the door share.
export const place = (id) => document.getElementById(id);

export const MAY = {
  read: "may read",
  write: "may read and write",
  manage: "may read, write and manage",
};

export function say(text, wrong) {
  place("line").textContent = text;
  place("line").className = wrong ? "wrong" : "";
}

// "the name is wrong" -> "The name is wrong."
export function sentence(text) {
  const begun = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(begun) ? begun : `${begun}.`;
}

// Never throws: what went wrong is a sentence in `detail`, and `wait` the seconds to wait.
export async function ask(method, path, body) {
  try {
    const sent = { method, cache: "no-store", headers: {} };
    if (method !== "GET") sent.headers["Content-Type"] = "application/json";
    if (body !== undefined) sent.body = JSON.stringify(body);
    const answer = await fetch(path, sent);
    const told = answer.status === 204 ? {} : await answer.json();
    return {
      ok: answer.ok,
      status: answer.status,
      told,
      detail: answer.ok ? "" : sentence(told.detail || told.title),
      wait: Number(answer.headers.get("Retry-After") || 0),
    };
  } catch {
    const detail = "The program does not answer. Is the machine on, and this device in its network?";
    return { ok: false, status: 0, told: {}, detail, wait: 0 };
  }
}

// For what is not easily taken back: a glove may have touched the button by chance.
export function on_second_press(button, act) {
  const name = button.textContent;
  let calmed;
  button.addEventListener("click", () => {
    clearTimeout(calmed);
    const is_second = button.textContent !== name;
    button.textContent = is_second ? name : "Sure? Press again";
    if (is_second) act();
    else calmed = setTimeout(() => (button.textContent = name), 5000);
  });
}

// Sends a form once at a time; after too many tries its buttons rest as long as they must.
export function on_submit(form, act) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const buttons = [...form.querySelectorAll("button")];
    const rest = (is_resting) => buttons.forEach((button) => (button.disabled = is_resting));
    rest(true);
    const wait = await act();
    if (wait) setTimeout(() => rest(false), wait * 1000);
    else rest(false);
  });
}
