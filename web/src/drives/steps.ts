// SPDX-License-Identifier: Apache-2.0
// What is asked of a new engine, in the order of a service manual. What one answer makes needless
// is not asked.
import { type Key, t } from "../texts";
import {
  type Answers, bank_count, camshafts, drive_name, has_phaser, loops, orders, rows, said, strands,
} from "./answers";
import { kLimits, limit_key, type LimitTopic } from "./limits";

export interface Field {
  key: string;
  label: string;
  choices?: { value: string; label: string }[];
  example?: string;
  help?: string;
  is_count?: boolean;
  is_unit?: boolean; // the unit of a table, said once
  pieces?: string[]; // what a small keyboard has not
  starts?: boolean; // begins a new group
}

export interface Step {
  key: string;
  title: string;
  help: string;
  fields: Field[];
}

type Made = (answers: Answers) => Field[];

const kSteps: readonly [string, Made][] = [
  ["identity", identity],
  ["layout", layout],
  ["teeth", teeth],
  ["marks", marks],
  ["bearings", (answers) => bearings(answers)],
  ["chain", chain_limits],
  ["phaser", phasers],
  ["oil", oil],
  ["bolts", bolts],
];

export function steps_of(answers: Answers): Step[] {
  return kSteps
    .map(([key, made]) => ({
      key,
      title: t(`manual_step_${key}` as Key),
      help: t(`manual_help_${key}` as Key),
      fields: made(answers),
    }))
    .filter((step) => step.fields.length > 0);
}

function field(key: string, label: Key, more: Partial<Field> = {}, values = {}): Field {
  return { key, label: t(label, values), ...more };
}

function choices(of: Record<string, Key>): { value: string; label: string }[] {
  return Object.entries(of).map(([value, label]) => ({ value, label: t(label) }));
}

function units(...all: string[]): Partial<Field> {
  return { is_unit: true, choices: all.map((unit) => ({ value: unit, label: unit })) };
}

function identity(answers: Answers): Field[] {
  const origin = choices({ maker: "manual_maker", shop: "manual_shop", "common practice": "manual_common" });
  return [
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
  ];
}

function layout(answers: Answers): Field[] {
  const fields = [
    field("layout", "manual_layout", {
      choices: choices({ "in line": "manual_in_line", v: "manual_v", flat: "manual_flat" }),
    }),
    field("cylinders", "manual_cylinders", { is_count: true, example: "4" }),
    field("firing_order", "manual_firing", { example: "1-3-4-2" }),
    camshafts_field(),
    field("loop", "manual_loop", {
      starts: true,
      choices: choices({
        roller: "manual_roller", bush: "manual_bush", "inverted tooth": "manual_silent", "toothed belt": "manual_belt",
      }),
    }),
    field("seen_from", "manual_seen_from", {
      starts: true, choices: choices({ front: "manual_front", "flywheel end": "manual_flywheel" }),
    }),
    field("rotation", "manual_rotation", {
      choices: choices({ clockwise: "manual_clockwise", counterclockwise: "manual_counter" }),
    }),
  ];
  const each = choices({ "one for all": "manual_one_loop", "one per bank": "manual_loop_per_bank" });
  if (bank_count(answers) > 1) fields.splice(5, 0, field("chains", "manual_chains", { choices: each }));
  const [one, two] = camshafts(answers);
  if (two)
    fields.push(field("phasers", "manual_phasers", {
      choices: choices({ none: "manual_no_phaser", intake: "manual_intake", exhaust: "manual_exhaust", all: "manual_both" }),
    }));
  else if (one)
    fields.push(field("phasers", "manual_phasers", { choices: choices({ none: "manual_no_phaser", all: "manual_yes" }) }));
  return fields;
}

function camshafts_field(): Field {
  return field("camshafts", "manual_camshafts", { choices: choices({ one: "manual_one_cam", two: "manual_two_cams" }) });
}

// Teeth at a camshaft can be asked for only when it is known which camshafts there are.
function teeth(answers: Answers): Field[] {
  const counts = { is_count: true };
  const all = loops(answers);
  return [
    field("teeth.crank", "manual_teeth_crank", { ...counts, example: "22" }),
    ...(camshafts(answers).length ? [] : [camshafts_field()]),
    ...camshafts(answers).map((name) =>
      field(`teeth.${name}`, "manual_teeth_cam", { ...counts, example: "44" }, { name })),
    ...all.map((loop, i) =>
      field(`${loop.key}.links`, "manual_links", { ...counts, example: "116", starts: i === 0 }, { name: loop.name })),
    field("pitch", "manual_pitch", { example: "9.525 mm", pieces: ["mm", "in"], help: t("manual_pitch_help") }),
    ...(camshafts(answers).length
      ? [field("journals", "manual_journals", { ...counts, example: "4", starts: true })]
      : []),
  ];
}

function marks(answers: Answers): Field[] {
  const counted = choices({ pitches: "manual_pitches", "both marks": "manual_both_marks", between: "manual_between" });
  const fields = [
    field("crank_mark", "manual_crank_mark", { example: "dot, at the casting arrow" }),
    field("marked_links", "manual_marked_links", { example: "two copper links at the camshaft, one at the crank" }),
    field("counted", "manual_counted", { choices: counted, starts: true, help: t("manual_counted_help") }),
  ];
  if (!said(answers, "counted")) return fields;
  for (const loop of loops(answers)) {
    const possible = orders(loop).map((order) => ({ value: order, label: `crank → ${order.replace("; ", " → ")} → crank` }));
    const values = { name: loop.name };
    if (possible.length === 2)
      fields.push(field(`${loop.key}.order`, "manual_order", { choices: possible, starts: true }, values));
    else if (possible.length === 0 && loop.drives.length > 0)
      fields.push(field(`${loop.key}.order`, "manual_order", {
        starts: true, example: loop.drives.map((place) => place.path).join("; "),
      }, values));
    for (const strand of strands(answers, loop))
      fields.push(field(strand.key, "manual_strand", { is_count: true, example: "60" }, { ...strand, ...values }));
  }
  return fields;
}

function limit_fields(topic: LimitTopic): Field[] {
  const name = t(`manual_q_${topic.quantity.replace(/[ -]/g, "_")}` as Key);
  const key = (of: string) => limit_key(topic.quantity, of);
  const pieces = ["at most", "at least", "to"];
  const fields: Field[] = [];
  if (topic.is_new_usual)
    fields.push(field(key("new"), "manual_limit_new", { example: topic.example_new, pieces: ["to"], starts: true }, { name }));
  fields.push(field(key("service"), "manual_limit_used", {
    example: topic.example, pieces, starts: !topic.is_new_usual,
  }, { name }));
  if (topic.mean_or_worst)
    fields.push(field(key("applies_to"), "manual_applies", { choices: choices({ mean: "manual_mean", worst: "manual_worst" }) }, { name }));
  for (const also of topic.also ?? [])
    fields.push(field(key(also.key), `manual_also_${also.key}` as Key, { example: also.example }));
  return fields;
}

function limits(answers: Answers, ...quantities: string[]): Field[] {
  return kLimits
    .filter((topic) => quantities.includes(topic.quantity))
    .flatMap(limit_fields)
    // Asked only when there is a limit that it can be about.
    .filter((each) => !each.key.endsWith("applies_to") || said(answers, each.key.replace("applies_to", "service")));
}

const kSizes = (): Field => field("unit.sizes", "manual_unit", units("mm", "in"));

function bearings(answers: Answers): Field[] {
  return [
    kSizes(),
    ...limits(answers, "journal diameter", "bore diameter", "journal clearance", "end play"),
    field("head_material", "manual_head_material", {
      starts: true, choices: choices({ aluminium: "manual_aluminium", "cast iron": "manual_cast_iron" }),
    }),
    field("cam_material", "manual_cam_material", {
      choices: choices({ steel: "manual_steel", "cast iron": "manual_cast_iron" }),
    }),
  ];
}

function chain_limits(answers: Answers): Field[] {
  const sides = loops(answers).filter((loop) => loop.bank);
  return [
    kSizes(),
    ...limits(answers, "chain elongation", "chain length"),
    field("guides", "manual_guides", { example: "fixed guide; tensioner arm", starts: true }),
    ...limits(answers, "groove depth").map((each) => ({ ...each, starts: false })),
    field("tensioner.stroke", "manual_stroke", { example: "15 mm", starts: true }),
    field("tensioner.ratchet_step", "manual_ratchet", { example: "1.5 mm" }),
    ...(sides.length
      ? sides.map((loop) => field(`tensioner${loop.bank}.side`, "manual_side_of", { example: "outboard" }, { name: loop.name }))
      : [field("tensioner.side", "manual_side", { example: "outboard" })]),
    ...limits(answers, "tensioner stroke left", "tensioner extension", "sink time"),
  ];
}

function phasers(answers: Answers): Field[] {
  const bases = choices({ "full advance": "manual_full_advance", "full retard": "manual_full_retard", "mid travel": "manual_mid" });
  const own = camshafts(answers).filter((name) => has_phaser(answers, name));
  if (own.length === 0) return [];
  const of_each = own.flatMap((name) => [
    field(`phaser.${name}.base`, "manual_base", { choices: bases, starts: true }, { name }),
    field(`phaser.${name}.range`, "manual_range", { example: "50 deg crank", pieces: ["deg crank", "deg cam"] }, { name }),
  ]);
  return [...of_each, ...limits(answers, "lock play")];
}

function oil(answers: Answers): Field[] {
  const each = choices({ yes: "manual_yes", no: "manual_no" });
  return [
    field("oil.grade", "manual_grade", { example: "5W-30" }),
    field("unit.pressure", "manual_unit", units("kPa", "bar", "psi")),
    field("unit.temperature", "manual_unit_temperature", units("degC", "degF")),
    ...rows(answers, "pressure", "port").flatMap((row, i) => [
      field(`${row}.port`, i ? "manual_port_more" : "manual_port", { example: "main gallery", starts: true }),
      ...(said(answers, `${row}.port`)
        ? [
            ...(bank_count(answers) > 1 ? [field(`${row}.each_bank`, "manual_each_bank", { choices: each })] : []),
            field(`${row}.limit`, "manual_pressure", { example: "at least 140 kPa", pieces: ["at least", "at most", "to"] }),
            field(`${row}.speed`, "manual_speed", { example: "650 ± 25 1/min", pieces: ["±", "to"] }),
            field(`${row}.temperature`, "manual_temperature", { example: "at least 90 degC", pieces: ["at least", "to"] }),
          ]
        : []),
    ]),
  ];
}

function bolts(answers: Answers): Field[] {
  return [
    field("unit.torque", "manual_unit", units("N·m", "lbf·ft", "lbf·in")),
    ...rows(answers, "bolt", "name").flatMap((row, i) => [
      field(`${row}.name`, i ? "manual_bolt_more" : "manual_bolt", { example: "phaser bolt", starts: true }),
      ...(said(answers, `${row}.name`)
        ? [
            field(`${row}.steps`, "manual_bolt_steps", {
              example: "35 N·m; 75 deg", help: t("manual_bolt_steps_help"), pieces: ["N·m", "lbf·ft", ";", "deg"],
            }),
            field(`${row}.single_use`, "manual_single_use", { choices: choices({ yes: "manual_yes", no: "manual_no" }) }),
            field(`${row}.thread`, "manual_thread", { example: "M12x1.25" }),
          ]
        : []),
    ]),
  ];
}
