// SPDX-License-Identifier: Apache-2.0
// Asks the program how it stands, and again whenever it says that something changed.
const MOST_NEWS = 8;
const ASK_AGAIN = 15000; // ms, after the program could not be reached
const place = (id) => document.getElementById(id);

function say(text, wrong) {
  place("line").textContent = text;
  place("line").className = wrong ? "wrong" : "";
}

function show(status) {
  place("cases").textContent = status.cases.toLocaleString("en").replaceAll(",", "\u202f");
  place("store").textContent =
    (status.store_kind === "server" ? "PostgreSQL" : "one file on this machine") +
    (status.read_only ? ", may only be read" : "");
  place("shared").textContent = status.shared
    ? "the shop's network, with log-in"
    : "this machine only";
  place("program").textContent = `${status.program}, API ${status.api}`;
  place("time").textContent = status.time.slice(0, 19).replace("T", " ") + " UTC";
  place("time").dateTime = status.time;
  place("facts").hidden = false;
  if (status.read_only) say("The program runs; the store may only be read.", true);
  else say("The program runs.", false);
}

let again;
async function ask() {
  clearTimeout(again);
  try {
    const answer = await fetch("/api/status", { cache: "no-store" });
    const told = await answer.json();
    if (answer.ok) show(told);
    else say(told.detail, true);
  } catch {
    say("The program does not answer. What is shown may be old.", true);
    again = setTimeout(ask, ASK_AGAIN);
  }
}

function note(event) {
  const item = document.createElement("li");
  let told = {};
  try {
    told = JSON.parse(event.data);
  } catch {
    told = { case: event.data };
  }
  const time = new Date().toTimeString().slice(0, 8);
  item.textContent = [time, told.case, told.gone ? "deleted" : ""].filter(Boolean).join("  ");
  place("news").prepend(item);
  while (place("news").children.length > MOST_NEWS) place("news").lastChild.remove();
  place("no-news").hidden = true;
  ask();
}

function listen() {
  const events = new EventSource("/api/events");
  events.onopen = ask;
  events.onmessage = note;
  events.addEventListener("reload", ask);
  events.onerror = ask; // the browser itself tries again
}

ask();
listen();
