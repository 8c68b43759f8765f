// SPDX-License-Identifier: Apache-2.0
// Links or teeth counted by tapping them on a photo. The person counts, the page keeps the numbers.
import { useEffect, useRef, useState } from "preact/hooks";

import { case_path, in_store, type Schemas } from "../ask";
import { without_camera } from "../enter/picture";
import { Sheet } from "../parts/sheet";
import { address, go, type Route } from "../route";
import { Told } from "../said/told";
import { type Asked, count_query, is_turned_round, missing_of, type Tap } from "../see/photo_marks";
import { kMostZoom, usePinch, within } from "../see/pinch";
import { upload } from "../see/upload";
import { useAsked } from "../state/asked";
import { type Key, t } from "../texts";
import "./count.css";

export function CountScreen({ route }: { route: Route }) {
  const name = route.path[1] ?? "";
  const file = route.query.file;
  return (
    <Sheet
      title={t("count_title")}
      back={address(["case", name])}
      wide
      blocks={[{ name: t("turn_case"), says: name }, ...(file ? [{ name: t("count_photo"), says: file }] : [])]}
    >
      {file ? <Counting key={file} of_case={name} file={file} /> : <Photos of_case={name} />}
    </Sheet>
  );
}

function Photos({ of_case }: { of_case: string }) {
  const files = useAsked<Schemas["file_list"]>(case_path(of_case, "files"), of_case);
  const [wrong, set_wrong] = useState("");
  const take = async (photo: File | undefined) => {
    if (!photo) return;
    const clean = await without_camera(photo);
    if (!clean) return set_wrong(t("in_no_jpeg"));
    const { name, problem } = await upload(of_case, "photos", clean, () => undefined);
    set_wrong(problem);
    if (!problem) go(["count", of_case], { file: name });
  };
  const there = (files.told?.files ?? []).filter((one) => /\.(jpe?g|png|webp)$/i.test(one.name));
  if (files.status === 404) return <p role="status"><Told says={files.detail} /></p>;
  return (
    <div class="stack">
      <label>
        {t("count_choose")}
        <input type="file" accept="image/jpeg,image/png,image/webp" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      </label>
      {wrong ? <p class="wrong" role="alert"><Told says={wrong} /></p> : null}
      {there.map((one) => (
        <a key={one.name} class="button" href={address(["count", of_case], { file: one.name })}>{one.name}</a>
      ))}
    </div>
  );
}

function Counting({ of_case, file }: { of_case: string; file: string }) {
  const [taps, set_taps] = useState<Tap[]>([]);
  const [zoom, set_zoom] = useState(1);
  const [asked, set_asked] = useState<Asked>({ counted: "links", bank: "", end: "", mirrored: "", crank: "" });
  const add = (tap: Tap) => set_taps((before) => [...before, tap]);
  return (
    <div class="counting">
      <Photo of_case={of_case} file={file} taps={taps} zoom={zoom} set_zoom={set_zoom} add={add} />
      <div class="stack">
        <p class="large" aria-live="polite">{taps.length}</p>
        <div class="row">
          <button class="main" disabled={taps.length === 0} onClick={() => set_taps(taps.slice(0, -1))}>{t("count_undo")}</button>
          <button class="quiet" disabled={taps.length === 0} onClick={() => set_taps([])}>{t("count_again")}</button>
          <button class="quiet" disabled={zoom >= kMostZoom} onClick={() => set_zoom(within(zoom * 2))}>{t("rec_closer")}</button>
          <button class="quiet" disabled={zoom <= 1} onClick={() => set_zoom(within(zoom / 2))}>{t("rec_wider")}</button>
        </div>
        <Questions asked={asked} set={set_asked} />
        <Result of_case={of_case} file={file} asked={asked} taps={taps} />
      </div>
    </div>
  );
}

interface PhotoProps {
  of_case: string;
  file: string;
  taps: Tap[];
  zoom: number;
  set_zoom: (zoom: number) => void;
  add: (tap: Tap) => void;
}

function Photo({ of_case, file, taps, zoom, set_zoom, add }: PhotoProps) {
  const [shown, set_shown] = useState("");
  const [wrong, set_wrong] = useState("");
  const frame = useRef<HTMLDivElement>(null);
  const picture = useRef<HTMLDivElement>(null);
  const [at, set_at] = useState<Tap>({ x: 0.5, y: 0.5 }); // of the cross that keys move
  useEffect(() => {
    let made = "";
    const name = new URLSearchParams({ name: file });
    fetch(in_store(`${case_path(of_case, "file")}?${name}`))
      .then(async (answer) => {
        if (!answer.ok) return set_wrong(t("count_no_photo"));
        // Files are given out as bytes, never as a page; here they become a picture of this page.
        made = URL.createObjectURL(new Blob([await answer.arrayBuffer()], { type: photo_type(file) }));
        set_shown(made);
      })
      .catch(() => set_wrong(t("no_answer")));
    return () => URL.revokeObjectURL(made);
  }, [of_case, file]);
  usePinch(frame, zoom, set_zoom);
  const tap = (event: MouseEvent) => {
    const box = picture.current?.getBoundingClientRect();
    if (box) add({ x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height });
  };
  const keys = (event: KeyboardEvent) => {
    const step = 0.01 / zoom;
    const [dx, dy] = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key] ?? [0, 0];
    if (event.key === "Enter" || event.key === " ") add(at);
    else if (!dx && !dy) return;
    else set_at({ x: Math.min(Math.max(at.x + (dx ?? 0), 0), 1), y: Math.min(Math.max(at.y + (dy ?? 0), 0), 1) });
    event.preventDefault();
  };
  if (wrong) return <p class="wrong" role="alert">{wrong}</p>;
  return (
    <div ref={frame} class="counted_photo" tabIndex={0} role="application" aria-label={t("count_keys")} onKeyDown={keys}>
      <div ref={picture} class="taken" style={{ width: `${100 * zoom}%` }} onClick={tap}>
        {shown ? <img src={shown} alt={t("count_photo")} onError={() => set_wrong(t("count_no_photo"))} /> : <p>{t("loading")}</p>}
        {taps.map((one, i) => <Tick key={i} at={one} words={String(i + 1)} />)}
        <Tick at={at} words="+" />
      </div>
    </div>
  );
}

function photo_type(file: string): string {
  return /\.png$/i.test(file) ? "image/png" : /\.webp$/i.test(file) ? "image/webp" : "image/jpeg";
}

function Tick({ at, words }: { at: Tap; words: string }) {
  return (
    <span class={words === "+" ? "tick cross" : "tick"} style={{ left: `${100 * at.x}%`, top: `${100 * at.y}%` }} aria-hidden="true">
      {words}
    </span>
  );
}

function Questions({ asked, set }: { asked: Asked; set: (asked: Asked) => void }) {
  const choice = (key: "counted" | "end" | "mirrored", title: Key, choices: [string, Key][]) => (
    <fieldset>
      <legend>{t(title)}</legend>
      <div class="row">
        {choices.map(([value, words]) => (
          <button key={value} class="quiet" aria-pressed={asked[key] === value} onClick={() => set({ ...asked, [key]: value })}>{t(words)}</button>
        ))}
      </div>
    </fieldset>
  );
  return (
    <>
      {choice("counted", "count_what", [["links", "count_links"], ["teeth", "count_teeth"]])}
      {choice("end", "count_end", [["front", "count_front"], ["flywheel", "count_flywheel"]])}
      {choice("mirrored", "count_mirrored", [["no", "count_not_mirrored"], ["yes", "count_is_mirrored"]])}
      <label>
        {t("count_bank")}
        <input value={asked.bank} onInput={(event) => set({ ...asked, bank: event.currentTarget.value })} />
      </label>
      <label>
        {t("count_crank")}
        <input value={asked.crank} onInput={(event) => set({ ...asked, crank: event.currentTarget.value })} />
      </label>
    </>
  );
}

const kMissing: Record<keyof Asked | "taps", Key> = {
  taps: "count_needs_taps",
  counted: "count_what",
  bank: "count_bank",
  end: "count_end",
  mirrored: "count_mirrored",
  crank: "count_crank",
};

function remark_of(file: string, asked: Asked, taps: Tap[]): string {
  const said = { n: taps.length, file, bank: asked.bank.trim(), crank: asked.crank.trim() };
  const words = [t(asked.counted === "links" ? "count_said_links" : "count_said_teeth", said)];
  if (asked.mirrored === "yes") words.push(t("count_is_mirrored"));
  return words.join("; ");
}

function Result({ of_case, file, asked, taps }: { of_case: string; file: string; asked: Asked; taps: Tap[] }) {
  const missing = missing_of(asked, taps);
  return (
    <>
      <p class="caution">{t("count_yours")}</p>
      {asked.end && asked.mirrored && is_turned_round(asked) ? <p class="caution">{t("count_turned_round")}</p> : null}
      {missing.length ? (
        <p role="status">{t("count_missing", { what: missing.map((key) => t(kMissing[key])).join("; ") })}</p>
      ) : (
        <a class="button main" href={address(["enter", of_case, "marks"], count_query(asked, remark_of(file, asked, taps)))}>{t("count_use", { n: taps.length })}</a>
      )}
    </>
  );
}
