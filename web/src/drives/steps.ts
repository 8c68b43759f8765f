// SPDX-License-Identifier: Apache-2.0
// What is asked of a new engine, in the order of a service manual, one subject a step. What one
// answer makes needless is not asked.
import { type Key, t } from "../texts";
import { type Answers, bank_count, camshafts, drive_name, loops, said } from "./answers";
import { choices, type Field, field, type Step } from "./field";
import { cam_sensors, chains, crank, crank_sensor, gears, marks, teeth } from "./steps_drive";
import { bearings, bolts, chain_limits, oil, other_journals, parts, phasers, tensioners } from "./steps_limits";

type Made = (answers: Answers) => Partial<Step>;

const kSteps: readonly [string, Made][] = [
  ["identity", identity],
  ["layout", layout],
  ["chains", chains],
  ["teeth", teeth],
  ["gears", gears],
  ["crank", crank],
  ["marks", (answers) => marks(answers, 0)],
  ["crank_sensor", crank_sensor],
  ["cam_sensors", cam_sensors],
  ["bearings", bearings],
  ["journals", other_journals],
  ["chain", chain_limits],
  ["tensioner", tensioners],
  ["phaser", phasers],
  ["oil", oil],
  ["bolts", bolts],
  ["parts", parts],
];

export function steps_of(answers: Answers): Step[] {
  const asked = kSteps
    .flatMap(([key, made]) => (key === "marks" ? marks_steps(answers) : [step_of(key, key, made(answers))]))
    .filter((step) => step.fields.length > 0 || step.adds.length > 0);
  return [...asked, step_of("save", "save", {})];
}

function step_of(key: string, words: string, made: Partial<Step>): Step {
  return { key, title: t(`manual_step_${words}` as Key), help: t(`manual_help_${words}` as Key), fields: [], adds: [], ...made };
}

// Each chain has a step of its own: its marks are one list.
function marks_steps(answers: Answers): Step[] {
  const all = loops(answers).filter((loop) => loop.name);
  return all.map((loop, i) => {
    const step = step_of(i ? `marks ${loop.key}` : "marks", "marks", marks(answers, i));
    return all.length > 1 ? { ...step, title: t("manual_marks_of", { name: loop.name }) } : step;
  });
}

function identity(answers: Answers): Partial<Step> {
  const origin = choices({ maker: "manual_maker", shop: "manual_shop", "common practice": "manual_common" });
  return { fields: [
    field("title", "manual_title_of", { example: "Thornholm 1.6" }),
    field("name", "manual_name", { example: drive_name(answers), help: t("manual_name_help") }),
    field("source.origin", "manual_origin", { choices: origin, starts: true }),
    field("source.document", "manual_document", { example: "workshop manual, engine volume" }),
    field("source.edition", "manual_edition", { example: "3rd edition" }),
    field("source.page", "manual_page", { example: "pp. 41-43" }),
    field("decimal_sign", "manual_decimal", {
      choices: choices({ point: "manual_point", comma: "manual_comma" }), starts: true,
    }),
    field("recognise", "manual_recognise", { example: "cast letter B beside the cover" }),
  ] };
}

function layout(answers: Answers): Partial<Step> {
  const is_two = bank_count(answers) > 1;
  const fields: Field[] = [
    field("layout", "manual_layout", {
      choices: choices({ "in line": "manual_in_line", v: "manual_v", flat: "manual_flat" }),
    }),
    field("cylinders", "manual_cylinders", { is_count: true, example: "4" }),
    field("firing_order", "manual_firing", { example: "1-3-4-2" }),
    field("camshafts", "manual_camshafts", { choices: choices({ one: "manual_one_cam", two: "manual_two_cams" }) }),
    field("loop", "manual_loop", {
      starts: true,
      choices: choices({
        roller: "manual_roller", bush: "manual_bush", "inverted tooth": "manual_silent", "toothed belt": "manual_belt",
      }),
    }),
    field("chains", "manual_chains", {
      choices: choices({
        "one for all": "manual_one_loop", ...(is_two ? { "one per bank": "manual_loop_per_bank" as Key } : {}), listed: "manual_loops_listed",
      }),
    }),
    field("seen_from", "manual_seen_from", {
      starts: true, choices: choices({ front: "manual_front", "flywheel end": "manual_flywheel" }),
    }),
    field("rotation", "manual_rotation", {
      choices: choices({ clockwise: "manual_clockwise", counterclockwise: "manual_counter" }),
    }),
  ];
  if (is_two) fields.splice(3, 0, ...bank_fields(answers));
  const [one, two] = camshafts(answers);
  if (two)
    fields.push(field("phasers", "manual_phasers", {
      choices: choices({ none: "manual_no_phaser", intake: "manual_intake", exhaust: "manual_exhaust", all: "manual_both" }),
    }));
  else if (one)
    fields.push(field("phasers", "manual_phasers", { choices: choices({ none: "manual_no_phaser", all: "manual_yes" }) }));
  return { fields };
}

// Left and right mean nothing without the end from which they are meant.
function bank_fields(answers: Answers): Field[] {
  const sides = choices({ left: "manual_left", right: "manual_right" });
  const is_said = [1, 2].some((bank) => said(answers, `bank${bank}.side`));
  return [
    field("bank_angle", "manual_bank_angle", { example: "60 deg" }),
    field("bank1.side", "manual_bank_side", { choices: sides }, { bank: 1 }),
    ...(is_said
      ? [
          field("bank2.side", "manual_bank_side", { choices: sides }, { bank: 2 }),
          field("sides_from", "manual_sides_from", { choices: choices({ front: "manual_front", "flywheel end": "manual_flywheel" }) }),
        ]
      : []),
  ];
}
