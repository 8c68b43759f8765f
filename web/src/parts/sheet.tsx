// SPDX-License-Identifier: Apache-2.0
// Every screen is a sheet: a frame, and along its foot a title block as on a drawing, which says
// what this is, in which state, and whether the program is reached.
import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";

import { is_login_needed } from "../ask";
import { address, here, login_address } from "../route";
import { useHeard } from "../state/heard";
import { is_drop_refused, is_dragged_over } from "../state/drops";
import { link_lost_since } from "../state/live";
import { is_page_newer } from "../state/offline";
import { all_waiting } from "../state/outbox";
import { language_now, t } from "../texts";
import { clock_words } from "./time_words";
import { TimerBar } from "./timers";

export interface Block {
  name: string; // what the field holds: "Drive"
  says: ComponentChildren;
}

interface Props {
  title: string;
  back?: string; // where the arrow leads; by default the first page
  blocks?: Block[]; // fields of the title block
  wide?: boolean; // uses the whole width
  door?: boolean; // says itself whether the program is reached; nothing entered there is sent later
  children: ComponentChildren;
}

export function Sheet({ title, back, blocks = [], wide = false, door = false, children }: Props) {
  useEffect(focus_lost, []);
  useEffect(() => {
    document.documentElement.lang = language_now();
    document.title = title ? `${title} · Tautmark` : "Tautmark";
  });
  return (
    <div class={wide ? "sheet wide" : "sheet"}>
      <a class="skip" href="#main" onClick={to_main}>
        {t("to_content")}
      </a>
      <header class="top">
        <div class="head">
          {here().path.length > 0 ? (
            <a class="back" href={back ?? address([])} aria-label={t("back")}>
              <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
                <path d="M21 12H4M11 4l-8 8 8 8" />
              </svg>
            </a>
          ) : null}
          <h1>{title}</h1>
        </div>
        {here().practice ? <p class="practice">{t("practice")}</p> : null}
        {door ? null : <LogIn />}
        {door ? null : <Link />}
        <Newer />
        {door ? null : <Dropping />}
        <TimerBar />
      </header>
      <main id="main" tabIndex={-1}>
        {children}
      </main>
      <footer class="block">
        {blocks.map((block) => (
          <p key={block.name}>
            <span>{block.name}</span> {block.says}
          </p>
        ))}
        <p class="rule">{t("maker_first")}</p>
      </footer>
    </div>
  );
}

// The link that led here is gone with its sheet: who works by keyboard goes on at the content, not
// at the first link of the page anew. The very first sheet is begun at its beginning.
let has_moved = false;
addEventListener("hashchange", () => (has_moved = true));
export function is_focus_lost(): boolean {
  const at = document.activeElement;
  return has_moved && (!at || at === document.body || at.id === "main");
}

function focus_lost(): void {
  if (is_focus_lost()) document.getElementById("main")?.focus({ preventScroll: true });
}

function to_main(event: Event): void {
  event.preventDefault();
  document.getElementById("main")?.focus();
}

// What was refused waits for the log-in; the first sheet says so itself.
function LogIn() {
  useHeard("login");
  if (!is_login_needed() || here().path.length === 0) return null;
  return (
    <p class="link row" role="status">
      {t("login_needed")}
      <a class="button" href={login_address()}>
        {t("log_in")}
      </a>
    </p>
  );
}

// Said only when something is the matter.
function Link() {
  useHeard("link", "outbox");
  const lost = link_lost_since();
  const refused = all_waiting().filter((one) => one.refused && one.practice === here().practice);
  const waiting = all_waiting().length - refused.length;
  if (!lost && waiting === 0 && refused.length === 0) return null;
  return (
    <p class="link" role="status">
      {lost ? t("link_lost", { time: clock_words(lost) }) : ""}{" "}
      {waiting === 1 ? t("not_sent_one") : waiting > 1 ? t("not_sent", { n: waiting }) : ""}{" "}
      {refused[0] ? <a href={address(["enter", refused[0].case])}>{t("not_taken")}</a> : null}
    </p>
  );
}

// A newer page is loaded when somebody says so: an entry that is half typed is not worth less.
function Newer() {
  useHeard("newer");
  if (!is_page_newer()) return null;
  return (
    <p class="link row" role="status">
      {t("page_newer")}
      <button type="button" class="quiet" onClick={() => location.reload()}>
        {t("page_load")}
      </button>
    </p>
  );
}

function Dropping() {
  useHeard("drop-said");
  if (is_dragged_over()) return <p class="let_go"><span>{t("drop_here")}</span></p>;
  return is_drop_refused() ? <p class="link" role="alert">{t("drop_not_now")}</p> : null;
}
