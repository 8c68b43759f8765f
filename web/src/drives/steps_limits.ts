// SPDX-License-Identifier: Apache-2.0
// What is asked of limits, oil and bolts.
import { type Key, t } from "../texts";
import { type Answers, bank_count, camshaft_places, camshafts, has_phaser, loop_key, loops, next_row, rows, said } from "./answers";
import { type Add, choices, type Field, field, named, row_of, type Step, units, yes_no } from "./field";
import { kLimits, limit_key, type LimitTopic, unit_of_limit } from "./limits";

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

export function bearings(answers: Answers): Partial<Step> {
  return { fields: [
    kSizes(),
    ...limits(answers, "journal diameter", "bore diameter", "journal clearance", "end play"),
    field("head_material", "manual_head_material", {
      starts: true, choices: choices({ aluminium: "manual_aluminium", "cast iron": "manual_cast_iron" }),
    }),
    field("cam_material", "manual_cam_material", {
      choices: choices({ steel: "manual_steel", "cast iron": "manual_cast_iron" }),
    }),
  ] };
}

// Limits of some journals only: the first one, one bank, one camshaft.
export function other_journals(answers: Answers): Partial<Step> {
  if (camshafts(answers).length === 0) return {};
  const row = next_row(answers, "fit");
  const add = (quantity: string): Add => ({ label: `+ ${quantity_word(quantity)}`, sets: { [`${row}.quantity`]: quantity } });
  const all = ["journal diameter", "bore diameter", "journal clearance", "journal out-of-round", "journal taper", "end play"];
  return { fields: rows(answers, "fit").flatMap((each) => own_limit_row(answers, each)), adds: all.map(add) };
}

function quantity_word(quantity: string): string {
  const key = `manual_q_${quantity.replace(/[ -]/g, "_")}` as Key;
  return t(key) ?? quantity;
}

function own_limit_row(answers: Answers, row: string): Field[] {
  const own = (name: string) => `${row}.${name}`;
  const quantity = said(answers, own("quantity"));
  const name = quantity_word(quantity);
  const topic = kLimits.find((each) => each.quantity === quantity);
  const is_of_journals = /journal|bore/.test(quantity);
  const where = said(answers, own("at"))
    ? [field(own("at"), "manual_limit_at")]
    : [
        ...(bank_count(answers) > 1 ? [field(own("bank"), "manual_limit_bank", { choices: named(["1", "2"]) })] : []),
        ...(camshafts(answers).length > 1 ? [field(own("camshaft"), "manual_limit_camshaft", { choices: named(camshafts(answers)) })] : []),
        ...(is_of_journals ? [field(own("journals"), "manual_limit_journals", { example: "1; 3-5", help: t("manual_limit_journals_help") })] : []),
      ];
  const values = [
    field(own("new"), "manual_limit_new", { example: topic?.example_new ?? "", pieces: ["to"] }, { name }),
    field(own("service"), "manual_limit_used", { example: topic?.example ?? "", pieces: ["at most", "at least", "to"] }, { name }),
    ...(is_of_journals && said(answers, own("service"))
      ? [field(own("applies_to"), "manual_applies", { choices: choices({ mean: "manual_mean", worst: "manual_worst" }) }, { name })]
      : []),
  ];
  const unit = unit_of_limit(answers, quantity);
  return row_of(row, unit ? `${name} (${unit})` : name, [...where, ...values]);
}

export function chain_limits(answers: Answers): Partial<Step> {
  const guides = [...new Set(loops(answers).map((loop) => loop_key(answers, loop, "guides")))];
  const of = (key: string) => loops(answers).find((loop) => key.startsWith(`${loop.key}.`))?.name;
  return {
    fields: [
      kSizes(),
      ...limits(answers, "chain elongation", "chain length"),
      ...guides.map((key, i) => {
        const name = of(key);
        const more = { example: t("manual_guides_example"), starts: i === 0 };
        return name ? field(key, "manual_guides_of", more, { name }) : field(key, "manual_guides", more);
      }),
      ...limits(answers, "groove depth").map((each) => ({ ...each, starts: false })),
    ],
  };
}

export function tensioners(answers: Answers): Partial<Step> {
  const all = loops(answers).filter((loop) => loop.name);
  const several = all.length > 1;
  const keys = (name: string) => [...new Set(all.map((loop) => loop_key(answers, loop, `tensioner.${name}`)))];
  return {
    fields: [
      kSizes(),
      ...keys("stroke").map((key) => field(key, "manual_stroke", { example: "15 mm", starts: true })),
      ...keys("ratchet_step").map((key) => field(key, "manual_ratchet", { example: "1.5 mm" })),
      ...all.flatMap((loop) => [
        several
          ? field(`${loop.key}.side`, "manual_side_of", { example: "outboard", starts: true }, { name: loop.name })
          : field(`${loop.key}.side`, "manual_side", { example: "outboard", starts: true }),
        ...(several ? [field(`${loop.key}.recognise`, "manual_side_tell", { example: t("manual_side_tell_example") }, { name: loop.name })] : []),
      ]),
      ...limits(answers, "tensioner stroke left", "tensioner extension", "sink time"),
    ],
  };
}

export function phasers(answers: Answers): Partial<Step> {
  const bases = choices({ "full advance": "manual_full_advance", "full retard": "manual_full_retard", "mid travel": "manual_mid" });
  const with_phaser = camshaft_places(answers).filter((place) => has_phaser(answers, place));
  if (with_phaser.length === 0) return {};
  const own = with_phaser.map((place) => place.path).filter((path) => ["base", "range", "base_check"].some((of) => `phaser.${path}.${of}` in answers));
  const shared = [...new Set(with_phaser.filter((place) => !own.includes(place.path)).map((place) => place.camshaft))];
  const of_each = [...shared, ...own].flatMap((name) => [
    field(`phaser.${name}.base`, "manual_base", { choices: bases, starts: true }, { name }),
    field(`phaser.${name}.range`, "manual_range", { example: "50 deg crank", pieces: ["deg crank", "deg cam"] }, { name }),
    field(`phaser.${name}.base_check`, "manual_base_check", { example: t("manual_base_check_example") }, { name }),
  ]);
  return { fields: [...of_each, ...limits(answers, "lock play")] };
}

export function oil(answers: Answers): Partial<Step> {
  const row = next_row(answers, "pressure");
  const add = (label: Key, port: string): Add => ({ label: t(label), sets: { [`${row}.port`]: port } });
  return {
    fields: [
      field("oil.grade", "manual_grade", { example: "5W-30" }),
      field("oil.fill", "manual_fill", { example: "6.0 L" }),
      field("unit.pressure", "manual_unit", units("kPa", "bar", "psi")),
      field("unit.temperature", "manual_unit_temperature", units("degC", "degF")),
      ...rows(answers, "pressure").flatMap((each) =>
        row_of(each, said(answers, `${each}.port`) || t("manual_pressure_row"), [
          field(`${each}.port`, "manual_port", { example: "main gallery" }),
          ...(bank_count(answers) > 1 ? [field(`${each}.each_bank`, "manual_each_bank", { choices: yes_no() })] : []),
          field(`${each}.limit`, "manual_pressure", { example: "at least 140 kPa", pieces: ["at least", "at most", "to"] }),
          field(`${each}.speed`, "manual_speed", { example: "650 ± 25 1/min", pieces: ["±", "to"] }),
          field(`${each}.temperature`, "manual_temperature", { example: "at least 90 degC", pieces: ["at least", "to"] }),
        ])),
    ],
    adds: [add("manual_add_gallery", "main gallery"), add("manual_add_head_port", "head port"), add("manual_add_port", "")],
  };
}

export function bolts(answers: Answers): Partial<Step> {
  const row = next_row(answers, "bolt");
  const add = (label: Key, name: string): Add => ({ label: t(label), sets: { [`${row}.name`]: name } });
  return {
    fields: [
      field("unit.torque", "manual_unit", units("N·m", "lbf·ft", "lbf·in")),
      ...rows(answers, "bolt").flatMap((each) =>
        row_of(each, said(answers, `${each}.name`) || t("manual_bolt_row"), [
          field(`${each}.name`, "manual_bolt", { example: "phaser bolt" }),
          field(`${each}.steps`, "manual_bolt_steps", {
            example: "35 N·m; 75 deg", help: t("manual_bolt_steps_help"), pieces: ["N·m", "lbf·ft", ";", "deg"],
          }),
          field(`${each}.single_use`, "manual_single_use", { choices: yes_no() }),
          field(`${each}.thread`, "manual_thread", { example: "M12x1.25" }),
          field(`${each}.condition`, "manual_condition", { example: t("manual_condition_example") }),
          ...["class", "count", "note"].filter((name) => said(answers, `${each}.${name}`)).map((name) =>
            field(`${each}.${name}`, `manual_bolt_${name}` as Key)),
        ])),
    ],
    adds: [
      add("manual_add_phaser_bolt", "phaser bolt"), add("manual_add_crank_bolt", "crank bolt"), add("manual_add_cap_bolts", "camshaft cap bolts"),
      add("manual_add_head_bolts", "cylinder head bolts"), add("manual_add_bolt", ""),
    ],
  };
}

// Sets of parts: what is in them, what is not, what is used once only.
export function parts(answers: Answers): Partial<Step> {
  const row = next_row(answers, "part");
  const is_two = bank_count(answers) > 1;
  const set = (bank: string): Add => ({
    label: t(bank ? "manual_add_set_of" : "manual_add_set", { bank }),
    sets: { [`${row}.name`]: bank ? `bank ${bank} chain set` : "chain set", ...(bank ? { [`${row}.bank`]: bank } : {}) },
  });
  return {
    fields: rows(answers, "part").flatMap((each) =>
      row_of(each, said(answers, `${each}.name`) || t("manual_part_row"), [
        field(`${each}.name`, "manual_part", { example: "chain set" }),
        ...(is_two ? [field(`${each}.bank`, "manual_part_bank", { choices: named(["1", "2"]) })] : []),
        field(`${each}.single_use`, "manual_single_use", { choices: yes_no() }),
        field(`${each}.holds`, "manual_holds", { example: t("manual_holds_example"), pieces: [";"] }),
        field(`${each}.does_not_hold`, "manual_holds_not", { example: t("manual_holds_not_example"), pieces: [";"] }),
      ])),
    adds: [...(is_two ? [set("1"), set("2")] : [set("")]), { label: t("manual_add_part"), sets: { [`${row}.name`]: "" } }],
  };
}
