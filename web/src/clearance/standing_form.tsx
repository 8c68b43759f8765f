// SPDX-License-Identifier: Apache-2.0
// Where crankshaft and camshafts stand now, and what the gaps rest on. Everything begins as not
// known; what is not known forbids, and the program says so.
import { useState } from "preact/hooks";

import { Choices, YesNo } from "../enter/choices";
import { value_parts } from "../enter/decimal_sign";
import type { FormProps } from "../enter/entry_form";
import type { Values } from "../enter/form";
import { kLockProofs } from "../enter/state_form";
import { choice_word, word_in } from "../enter/words";
import { number_words, said } from "../said/said";
import { t } from "../texts";
import { type Box, BoxButton, BoxPad } from "./boxes";
import { half_of, kMostCrank, type Way, with_half } from "./half";

type Name = "crank" | "within" | "wanted";
const kUnit = "deg crank";
const kMostTeeth = 4;
const kWithin = ["1 deg crank", "2 deg crank", "3 deg crank", "5 deg crank", "10 deg crank"];

export function StandingForm({ fields, values, on_values, mistakes, drive }: FormProps) {
  const [numbers, set_numbers] = useState<Record<Name, string>>(() => half_of(values).numbers ?? numbers_of(values));
  const [at, set_at] = useState<Name | undefined>(numbers.crank === "" ? "crank" : undefined);
  const set = (name: string) => (value: unknown) => on_values({ ...values, [name]: value === "" ? undefined : value });
  const field_of = (name: string) => fields.find((one) => one.name === name);
  const field = (name: string) => word_in(fields, name);
  const choices = (name: string) => (
    <Choices name={`entry/${name}`} label={field(name)} choices={field_of(name)?.choices ?? []} value={String(values[name] ?? "")} word={choice_word} on_value={set(name)} wrong={mistakes[`entry/${name}`]} />
  );
  const yes_no = (name: string) => <YesNo name={`entry/${name}`} label={field(name)} value={values[name]} on_value={set(name)} wrong={mistakes[`entry/${name}`]} />;
  const box = (key: Name): Box => ({ key, value: numbers[key], unit: "°", label: t(key === "crank" ? "cl_crank_at" : key === "within" ? "cl_crank_within" : "cl_crank_wanted") });
  const typed = (name: Name, value: string) => {
    const next = { ...numbers, [name]: value };
    set_numbers(next);
    const wanted = next.wanted === "" ? undefined : `${next.wanted} ${kUnit}`;
    on_values(with_half({ ...values, crank: crank_text(next), wanted, wanted_after: wanted && values["wanted_after"] }, { numbers: next }));
  };
  const boxes = (all: Name[]) => (
    <>
      <div class="cl_pair">{all.map((name) => <BoxButton key={name} box={box(name)} is_at={at === name} on_at={() => set_at(at === name ? undefined : name)} />)}</div>
      {at && all.includes(at) ? (
        <BoxPad key={at} box={box(at)} on_value={(value) => typed(at, value)} next={t(at === "crank" ? "cl_next_within" : "cl_done")}
          on_next={() => set_at(at === "crank" ? "within" : undefined)} />
      ) : null}
    </>
  );
  const cams = (drive?.banks ?? []).flatMap((bank) => (bank.camshafts ?? []).map((cam) => ({ at: `bank ${bank.number} / ${cam.name}`, has_phaser: cam.phaser !== undefined })));
  const stands = (values["camshafts"] ?? []) as Values[];
  const ways = half_of(values).ways ?? {};
  return (
    <>
      <p class="caution">{t("cl_standing_rule")}</p>
      <h2>{t("cl_the_crank")}</h2>
      {boxes(["crank", "within"])}
      {past_two_turns(numbers.crank)}
      {numbers.crank !== "" && numbers.within === "" ? <p>{t("cl_lacks_within")}</p> : null}
      {mistakes["entry/crank"] ? <p class="wrong">{mistakes["entry/crank"]}</p> : null}
      {choices("after")}
      {choices("crank_proof")}
      <h2>{t("cl_the_camshafts")}</h2>
      {cams.length === 0 ? <p>{t("cl_no_camshafts")}</p> : null}
      {cams.map((cam) => (
        <OneCam key={cam.at} at={cam.at} has_phaser={cam.has_phaser} fields={field_of("camshafts")?.fields ?? []} wrong={mistakes[`entry/camshafts/${stands.findIndex((one) => one["at"] === cam.at)}/stands`]}
          values={stands.find((one) => one["at"] === cam.at) ?? {}} begun={ways[cam.at]}
          on_values={(next, way) => on_values(with_half({ ...values, camshafts: with_cam(stands, cam.at, next) }, { ways: way === undefined ? ways : { ...ways, [cam.at]: way } }))} />
      ))}
      <h2>{t("cl_since")}</h2>
      {choices("since_jump")}
      {choices("valves_straight")}
      {choices("adjusters")}
      {yes_no("surfaced")}
      {yes_no("other_parts")}
      {yes_no("in_cylinders")}
      <h2>{t("cl_where_to")}</h2>
      <p>{t("cl_where_to_help")}</p>
      {boxes(["wanted"])}
      {past_two_turns(numbers.wanted)}
      {numbers.wanted !== "" ? choices("wanted_after") : null}
      {numbers.wanted !== "" && values["wanted_after"] === undefined ? <p>{t("cl_lacks_wanted_after")}</p> : null}
    </>
  );
}

function past_two_turns(deg: string) {
  return Number(deg || 0) > kMostCrank ? <p class="wrong" role="alert">{t("cl_past_two_turns", { deg: number_words(deg) })}</p> : null;
}

function numbers_of(values: Values): Record<Name, string> {
  const [at = "", within = ""] = String(values["crank"] ?? "").replaceAll(",", ".").split("±");
  return {
    crank: value_parts(at).values[0] ?? "",
    within: value_parts(within).values[0] ?? "",
    wanted: value_parts(String(values["wanted"] ?? "").replace(",", ".")).values[0] ?? "",
  };
}

function crank_text({ crank, within }: Record<Name, string>): string | undefined {
  if (crank === "") return undefined;
  return within === "" ? `${crank} ${kUnit}` : `${crank} ± ${within} ${kUnit}`;
}

// Of which nothing is said is left out.
export function with_cam(all: readonly Values[], at: string, next: Values): Values[] | undefined {
  const others = all.filter((one) => one["at"] !== at);
  const says = Object.entries(next).some(([name, value]) => name !== "at" && value !== undefined && value !== "");
  const now = says ? [...others, { ...next, at }] : others;
  return now.length > 0 ? now : undefined;
}

interface CamStands {
  way: Way | "";
  teeth: number; // 0: not said yet
}

// "2 teeth late" -> late by 2; what was entered in other words stays as it is.
export function cam_stands(text: unknown): CamStands {
  if (text === "right") return { way: "right", teeth: 0 };
  const found = /^(\d+) (?:tooth|teeth) (early|late)$/.exec(String(text ?? ""));
  return found ? { way: found[2] as Way, teeth: Number(found[1]) } : { way: "", teeth: 0 };
}

export function stands_text({ way, teeth }: CamStands): string | undefined {
  if (way === "right") return "right";
  return way === "" || teeth === 0 ? undefined : `${teeth} ${teeth === 1 ? "tooth" : "teeth"} ${way}`;
}

interface CamProps {
  at: string;
  has_phaser: boolean;
  fields: FormProps["fields"];
  values: Values;
  begun: Way | "" | undefined; // tapped, without teeth yet
  on_values: (values: Values, way?: Way | "") => void;
  wrong: string | undefined;
}

function OneCam({ at, has_phaser, fields, values, begun, on_values, wrong }: CamProps) {
  const [way, set_way] = useState<Way | "">(() => cam_stands(values["stands"]).way || (begun ?? ""));
  const { teeth } = cam_stands(values["stands"]);
  const field = (name: string) => word_in(fields, name);
  const set = (name: string) => (value: string) => on_values({ ...values, [name]: value || undefined });
  const turn = (next: string) => {
    set_way(next as Way | "");
    on_values({ ...values, stands: stands_text({ way: next as Way | "", teeth: next === way ? 0 : teeth }) }, next as Way | "");
  };
  const is_off = way === "early" || way === "late";
  return (
    <fieldset class="field_group stack cl_cam" name={at}>
      <legend>{said(at)}</legend>
      <Choices label={t("cl_stands")} choices={["early", "right", "late"]} value={way} word={way_word} on_value={turn} wrong={wrong} />
      {is_off ? (
        <Choices label={t("cl_by_teeth")} choices={Array.from({ length: kMostTeeth }, (_, i) => String(i + 1))} value={teeth === 0 ? "" : String(teeth)}
          on_value={(one) => set("stands")(stands_text({ way, teeth: Number(one) }) ?? "")} />
      ) : null}
      <p class="cl_says" aria-live="polite">{values["stands"] ? choice_word(String(values["stands"])) : t(is_off ? "cl_lacks_teeth" : "cl_not_known")}</p>
      <Choices label={field("within")} choices={kWithin} value={String(values["within"] ?? "")} on_value={set("within")} />
      {has_phaser ? (
        <>
          <Choices label={field("phaser")} choices={fields.find((one) => one.name === "phaser")?.choices ?? []} value={String(values["phaser"] ?? "")} word={choice_word}
            on_value={(one) => on_values({ ...values, phaser: one || undefined, phaser_checked_how: one === "locked" ? values["phaser_checked_how"] : undefined })} />
          {values["phaser"] === "locked" ? (
            <Choices label={field("phaser_checked_how")} choices={kLockProofs} value={String(values["phaser_checked_how"] ?? "")} word={choice_word} on_value={set("phaser_checked_how")} />
          ) : null}
        </>
      ) : null}
    </fieldset>
  );
}

const way_word = (way: string): string => t(way === "early" ? "in_early" : way === "late" ? "in_late" : "cl_right");
