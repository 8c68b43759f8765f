// SPDX-License-Identifier: Apache-2.0
// Asks the program how it stands, and again whenever it says that something changed.
import { MAY, ask as ask_program, on_submit, place, say } from "/door.js";

const MOST_NEWS = 8;
const ASK_AGAIN = 15000; // ms, after the program could not be reached
const count = (number) => number.toLocaleString("en").replaceAll(",", "\u202f");

// Who is logged in; the log-in page when nobody is, and one has to be.
async function show_who() {
  const me = await ask_program("GET", "/api/me");
  if (me.status === 401) return location.replace("/login");
  if (!me.ok) return;
  place("who").textContent = me.told.name;
  place("may").textContent = [MAY[me.told.role], me.told.device].filter(Boolean).join(", ");
  place("people").hidden = me.told.role !== "manage";
  place("here").hidden = place("own").hidden = false;
  // A shared program tells strangers nothing of its cases: the status does not hold their number.
  const list = await ask_program("GET", "/api/cases?limit=1");
  if (list.ok) place("cases").textContent = count(list.told.found);
}

async function change_own() {
  const asked = { old_password: place("old").value };
  if (place("pin").value) asked.pin = place("pin").value;
  if (place("new").value) asked.password = place("new").value;
  const tell = (text, wrong) => {
    place("own-line").textContent = text;
    place("own-line").className = wrong ? "wrong" : "";
  };
  if (!asked.pin && !asked.password) return tell("Nothing new was given.", true);
  const done = await ask_program("PUT", "/api/me", asked);
  if (!done.ok) {
    tell(done.detail, true);
    return done.wait;
  }
  if (asked.password) return location.replace("/login"); // every session has ended
  place("own-form").reset();
  tell("The new PIN holds from now on.", false);
}

function show(status) {
  if (!status.shared) place("cases").textContent = count(status.cases);
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
  if (status.shared) show_who();
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

on_submit(place("own-form"), change_own);
place("out").addEventListener("click", async () => {
  const done = await ask_program("POST", "/api/logout");
  if (done.ok || done.status === 401) location.replace("/login");
  else say(done.detail, true);
});
ask();
listen();
