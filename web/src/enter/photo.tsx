// SPDX-License-Identifier: Apache-2.0
// A photo from the camera: shrunk, stamped, the mark circled, an angle from three taps if wanted.
// It supports what somebody says; the program reads nothing out of it.
import { useEffect, useRef, useState } from "preact/hooks";

import type { Schemas } from "../ask";
import { time_words } from "../parts/time_words";
import { case_address } from "../route";
import { enter, type NewEntry } from "../state/outbox";
import { t } from "../texts";
import { angle_of, shown_angle } from "./angle";
import { Choices } from "./choices";
import { as_jpeg, draw, kNoMarks, loaded, type Marks } from "./picture";
import { places_of } from "./positions";
import { choice_word } from "./words";

interface Props {
  name: string;
  drive: Schemas["drive"] | undefined;
  query: Record<string, string>;
}

const kTapSd = 4; // CSS pixels that a finger is off, by our own judgment

export function PhotoForm({ name, drive, query }: Props) {
  const [picture, set_picture] = useState<ImageBitmap | undefined>();
  const [told, set_told] = useState({ bank: "", view: "", step: query["for_step"] ?? "", place: query["subject"] ?? "" });
  const [marks, set_marks] = useState<Marks>(kNoMarks);
  const [tool, set_tool] = useState("circle");
  const [problem, set_problem] = useState("");
  const [taken, set_taken] = useState(new Date());
  const canvas = useRef<HTMLCanvasElement>(null);
  const is_sent = useRef(false);
  const [a, b, c] = marks.taps;
  const angle = a && b && c ? angle_of(a, b, c, kTapSd * scale_of(canvas.current)) : undefined;
  const when = time_words(taken);
  const stamp = [told.bank && t("in_bank_n", { n: told.bank }), told.view && choice_word(told.view), told.step, when].filter(Boolean).join(" · ");
  useEffect(() => {
    if (canvas.current && picture) draw(canvas.current, picture, marks, stamp, angle);
  });

  async function take(file: File | undefined): Promise<void> {
    if (!file) return;
    set_problem("");
    try {
      set_picture(await loaded(file));
      set_marks(kNoMarks);
      set_taken(new Date());
    } catch {
      set_problem(t("in_no_picture"));
    }
  }

  async function send(): Promise<void> {
    if (is_sent.current) return; // pressed twice
    is_sent.current = true;
    const bytes = canvas.current && (await as_jpeg(canvas.current));
    if (!bytes) {
      is_sent.current = false;
      return set_problem(t("in_no_jpeg"));
    }
    const file = `photos/${taken.toISOString().replace(/[:.]/g, "-")}.jpg`;
    const shows = [told.step, told.bank && `bank ${told.bank}`, told.view && `seen from ${told.view}`, angle && `angle by taps ${shown_angle(angle)}, supporting only`];
    const entry = { kind: "attachment", file, shows: shows.filter(Boolean).join(", "), ...(told.place ? { place: told.place } : {}) };
    await enter(name, entry as unknown as NewEntry, { name: file, bytes });
    location.hash = case_address(name);
  }

  const banks = (drive?.banks ?? []).map((one) => String(one.number));
  const set = (field: keyof typeof told) => (value: string) => set_told({ ...told, [field]: value });
  return (
    <div class="stack taking">
      <label class="button main">
        {picture ? t("in_photo_again") : t("in_photo_take")}
        <input class="heard" type="file" accept="image/*" capture="environment" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      </label>
      {problem ? <p class="wrong" role="alert">{problem}</p> : null}
      {banks.length > 1 ? <Choices label={t("in_f_bank")} choices={banks} value={told.bank} on_value={set("bank")} /> : null}
      <Choices label={t("in_f_seen_from")} choices={["front", "flywheel end", "above", "below"]} value={told.view} on_value={set("view")} word={choice_word} />
      <label>
        {t("in_photo_shows")}
        <input value={told.step} onInput={(event) => set("step")(event.currentTarget.value)} />
      </label>
      <label>
        {t("in_f_place")} {t("in_if_known")}
        <input list="photo-places" value={told.place} onInput={(event) => set("place")(event.currentTarget.value)} />
        <datalist id="photo-places">{drive ? places_of(drive).map((one) => <option value={one.path} key={one.path} />) : null}</datalist>
      </label>
      {picture ? (
        <>
          <Choices label={t("in_photo_tool")} choices={["circle", "angle"]} value={tool} on_value={(one) => set_tool(one || tool)} word={choice_word} />
          <p class="faint">{t(tool === "angle" ? "in_photo_angle_how" : "in_photo_circle_how")}</p>
          <canvas ref={canvas} aria-label={stamp} {...finger(tool, marks, set_marks)} />
          {angle ? <p class="large">{shown_angle(angle)} <small>{t("in_photo_supporting")}</small></p> : null}
          <div class="row">
            <button type="button" class="main" onClick={() => void send()} disabled={told.step.trim() === ""}>{t("in_enter_it")}</button>
            <button type="button" class="quiet" onClick={() => set_marks(kNoMarks)}>{t("in_clear_all")}</button>
          </div>
          {told.step.trim() === "" ? <p class="faint">{t("in_photo_lacks_step")}</p> : null}
        </>
      ) : null}
    </div>
  );
}

// Pixels of the picture for one of the screen.
function scale_of(canvas: HTMLCanvasElement | null): number {
  const wide = canvas?.getBoundingClientRect().width ?? 0;
  return canvas && wide > 0 ? canvas.width / wide : 1;
}

// A circle is drawn from its middle; taps are the vertex, then both arms.
function finger(tool: string, marks: Marks, set: (marks: Marks) => void) {
  const at = (event: PointerEvent) => {
    const canvas = event.currentTarget as HTMLCanvasElement;
    const box = canvas.getBoundingClientRect();
    const scale = scale_of(canvas);
    return { x: (event.clientX - box.left) * scale, y: (event.clientY - box.top) * scale };
  };
  return {
    onPointerDown: (event: PointerEvent) => {
      (event.currentTarget as HTMLCanvasElement).setPointerCapture(event.pointerId);
      if (tool === "circle") set({ ...marks, circle: { center: at(event), radius: 1 } });
      else set({ ...marks, taps: marks.taps.length >= 3 ? [at(event)] : [...marks.taps, at(event)] });
    },
    onPointerMove: (event: PointerEvent) => {
      if (tool !== "circle" || event.buttons === 0 || !marks.circle) return;
      const { center } = marks.circle;
      const to = at(event);
      set({ ...marks, circle: { center, radius: Math.max(1, Math.hypot(to.x - center.x, to.y - center.y)) } });
    },
  };
}
