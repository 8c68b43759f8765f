// SPDX-License-Identifier: Apache-2.0
// The first sheet: where the engine stands, what is wanted, and the ways on.
import { useState } from "preact/hooks";

import { ask, type Schemas } from "../ask";
import { type Apart, type Said, turn_query, type Turned, why_not_turn } from "../case/turn_asked";
import { About } from "../parts/about";
import { Sheet } from "../parts/sheet";
import { time_words } from "../parts/time_words";
import { address, login_address, type Route } from "../route";
import { useAsked } from "../state/asked";
import { apply_light, type Light, light_now, set_light } from "../state/light";
import { link_is } from "../state/live";
import { forget_answers } from "../state/local";
import { type Key, language_now, set_language, t } from "../texts";
import "./first.css";

apply_light();

export function FirstScreen(_: { route: Route }) {
  return (
    <Sheet title="Tautmark" blocks={[{ name: t("on_this_device"), says: <Switches /> }]}>
      <div class="first">
        <Mark />
        <Before />
        <Tiles />
        <LastCases />
        <About />
      </div>
    </Sheet>
  );
}

// The mark at large: one link with its center line, and its measure as on a drawing.
function Mark() {
  return (
    <figure class="mark">
      <svg viewBox="-14 -14 124 60" aria-hidden="true">
        <path class="plate" d="M16 6a10 10 0 0 0 0 20q16-6 32-6t32 6a10 10 0 0 0 0-20q-16 6-32 6t-32-6z" />
        <circle cx="16" cy="16" r="4" />
        <circle cx="80" cy="16" r="4" />
        <path class="center" d="M-6 16h108M16-4v40M80-4v40" />
        <path class="help" d="M16 38v7M80 38v7M16 42h64" />
        <path class="arrow" d="M16 42l6-1.500v3zM80 42l-6-1.500v3z" />
      </svg>
      <figcaption>{t("what_it_is")}</figcaption>
    </figure>
  );
}

let said: Said = {}; // stays while the page is open

function Before() {
  const [now, set] = useState(said);
  const say = (more: Said) => set((said = { ...said, ...more }));
  const query = turn_query(now);
  return (
    <section class="before" aria-labelledby="before">
      <h2 id="before" class="heard">
        {t("ask_want")}
      </h2>
      <Question ask="ask_apart" choices={kApart} now={now.apart} say={(apart) => say({ apart })} />
      <Question ask="ask_turned" choices={kTurned} now={now.turned} say={(turned) => say({ turned })} />
      <div class="never" role="status">
        <strong>{t("first_never")}</strong>
        <span>{t(why_not_turn(now))}</span>
      </div>
      <div role="group" aria-label={t("ask_want")} class="question">
        <p>{t("ask_want")}</p>
        <div class="choices">
          <a class="button main" href={address(["quick", "turn"], query)}>
            {t("want_turn")}
          </a>
          <a class="button" href={address(["quick"], query)}>
            {t("want_mean")}
          </a>
          <a class="button" href={address(["cases"])}>
            {t("want_next")}
          </a>
        </div>
      </div>
    </section>
  );
}

const kApart: [Apart, Key][] = [
  ["no", "apart_no"],
  ["yes", "apart_yes"],
  ["unknown", "apart_unknown"],
];
const kTurned: [Turned, Key][] = [
  ["no", "turned_no"],
  ["yes", "turned_yes"],
  ["unknown", "turned_unknown"],
];

interface QuestionProps<T> {
  ask: Key;
  choices: [T, Key][];
  now: T | undefined;
  say: (choice: T) => void;
}

function Question<T extends string>({ ask, choices, now, say }: QuestionProps<T>) {
  return (
    <div role="group" aria-label={t(ask)} class="question">
      <p>{t(ask)}</p>
      <div class="choices">
        {choices.map(([choice, says]) => (
          <button key={choice} aria-pressed={now === choice} onClick={() => say(choice)}>
            {t(says)}
          </button>
        ))}
      </div>
    </div>
  );
}

function Tiles() {
  const tiles: [string, Key, Key][] = [
    [address(["quick"]), "tile_quick", "tile_quick_is"],
    [address(["new-engine"]), "tile_new_engine", "tile_new_engine_is"],
    [address(["cases"]), "tile_cases", "tile_cases_is"],
    [address(["cases"], {}, true), "tile_practice", "tile_practice_is"],
  ];
  return (
    <nav class="tiles" aria-label={t("ask_want")}>
      {tiles.map(([to, says, is]) => (
        <a key={says} href={to}>
          <b>{t(says)}</b>
          <small>{t(is)}</small>
        </a>
      ))}
    </nav>
  );
}

function LastCases() {
  const list = useAsked<Schemas["case_list"]>("/api/cases?limit=4");
  const rows = list.told?.cases ?? [];
  if (list.status === 401)
    return (
      <section class="last">
        <h2>{t("last_cases")}</h2>
        <p>
          {t("last_cases_locked")}{" "}
          <a class="button" href={login_address()}>
            {t("log_in")}
          </a>
        </p>
      </section>
    );
  if (rows.length === 0) return null;
  return (
    <section class="last">
      <h2>{t("last_cases")}</h2>
      <ul>
        {rows.map((row) => (
          <li key={row.uid}>
            <a href={address(["case", row.name])}>
              <b>{row.title ?? row.name}</b>
              <small>
                {[row.drive, time_words(row.changed)].filter(Boolean).join(" · ")}
                {row.invented ? ` · ${t("case_invented")}` : ""}
              </small>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Switches() {
  const [light, set] = useState(light_now);
  const choose = (wanted: Light) => {
    set_light(wanted);
    set(wanted);
  };
  const lights: [Light, Key][] = [
    ["day", "light"],
    ["dark", "dark"],
    ["device", "as_device"],
  ];
  const other = language_now() === "de" ? "en" : "de";
  return (
    <span class="switches">
      <span role="group" aria-label={t("device_light")}>
        {lights.map(([one, says]) => (
          <button key={one} class="quiet" aria-pressed={light === one} onClick={() => choose(one)}>
            {t(says)}
          </button>
        ))}
      </span>
      <button class="quiet" lang={other} onClick={() => set_language(other)}>
        {t("language")}
      </button>
      <Account />
    </span>
  );
}

// Logging in and out is only spoken of where the program is shared.
function Account() {
  const is_shared = useAsked<Schemas["status"]>("/api/status").told?.shared ?? false;
  const me = useAsked<Schemas["me"]>(is_shared ? "/api/me" : undefined);
  if (!is_shared) return null;
  const leave = async () => {
    const { status } = await ask("POST", "/api/logout");
    if (status === 0) return link_is(false); // still logged in
    await forget_answers().catch(() => undefined);
    location.replace(address(["login"], {}, false));
    location.reload(); // whoever comes next begins anew
  };
  return (
    <>
      {me.told ? (
        <>
          {me.told.role === "manage" ? (
            <a class="button" href={address(["people"])}>
              {t("people")}
            </a>
          ) : null}
          <button class="quiet" onClick={() => void leave()}>
            {t("log_out")} ({me.told.name})
          </button>
        </>
      ) : (
        <a class="button" href={login_address()}>
          {t("log_in")}
        </a>
      )}
    </>
  );
}
