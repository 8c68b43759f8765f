// SPDX-License-Identifier: Apache-2.0
// The last step of a new engine: save it, then work with it.
import { useEffect, useRef, useState } from "preact/hooks";

import { ask, case_path } from "../ask";
import { proposed_case } from "../quick/said";
import { address, go } from "../route";
import { t } from "../texts";

export interface Stored {
  name: string;
  text: string;
  sha256: string;
}

interface Props {
  name: string;
  text: string;
  is_empty: boolean; // nothing was typed
  is_wrong: boolean; // the program finds mistakes in it
  pages: Blob[];
  stored: Stored | undefined; // as it was saved from here last
  set_stored: (stored: Stored) => void;
  forget: () => void; // the draft is no longer needed
}

export function SaveEngine({ name, text, is_empty, is_wrong, pages, stored, set_stored, forget }: Props) {
  const [why, set_why] = useState("");
  const is_saved = stored?.name === name && stored.text === text;
  const save = async () => {
    const body = stored?.name === name ? { text, replaces: stored.sha256 } : { text };
    const put = await ask<{ sha256: string }>("PUT", `/api/drives/${encodeURIComponent(name)}`, body);
    if (put.told) set_stored({ name, text, sha256: put.told.sha256 });
    set_why(put.detail);
  };
  return (
    <section class="card stack">
      <p>{t("manual_save_help", { name })}</p>
      {is_empty ? <p class="faint">{t("manual_nothing_yet")}</p> : null}
      {is_wrong ? <p class="wrong">{t("manual_wrong")}</p> : null}
      {why ? (
        <p class="wrong" role="alert">
          {why} {t("manual_not_saved")}
        </p>
      ) : null}
      <div class="row">
        {is_saved ? null : (
          <button type="button" class="main" disabled={is_wrong || is_empty} onClick={() => void save()}>
            {t("manual_save")}
          </button>
        )}
        <button type="button" onClick={() => download(`${name}.drive.yaml`, text)}>
          {t("drives_download")}
        </button>
      </div>
      {is_saved ? <NewCase name={name} pages={pages} forget={forget} /> : null}
    </section>
  );
}

function NewCase({ name, pages, forget }: Pick<Props, "name" | "pages" | "forget">) {
  const [why, set_why] = useState("");
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => first.current?.focus(), []); // the button that saved it is gone
  const make = async () => {
    const in_case = proposed_case(name, new Date());
    const made = await ask("POST", "/api/cases", { name: in_case, drive: name });
    if (!made.ok) return set_why(made.detail);
    const lost = await send_pages(in_case, pages);
    if (lost) return set_why(t("manual_pages_lost", { why: lost }));
    forget();
    go(["case", in_case]);
  };
  return (
    <>
      <p role="status">
        <strong>{t("manual_saved", { name })}</strong>
      </p>
      <div class="row">
        <button ref={first} type="button" class="main" onClick={() => void make()}>
          {t("manual_case")}
        </button>
        <a class="button" href={address(["drive", name])} onClick={forget}>
          {t("manual_look")}
        </a>
      </div>
      {why ? <p class="wrong" role="alert">{why}</p> : null}
    </>
  );
}

// Empty: every page is with the case.
async function send_pages(in_case: string, pages: Blob[]): Promise<string> {
  for (const [i, page] of pages.entries()) {
    const ending = page.type === "image/png" ? "png" : "jpg";
    const path = `${case_path(in_case, "files")}?name=manual-page-${i + 1}.${ending}`;
    const sent = await ask("POST", path, page.slice(0, page.size, "application/octet-stream"));
    if (!sent.ok) return sent.detail;
  }
  return "";
}

export function download(name: string, text: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/yaml" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
