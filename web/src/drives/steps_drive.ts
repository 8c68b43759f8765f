// SPDX-License-Identifier: Apache-2.0
// What is asked of chains, shafts, marks and sensors.
import { type Key, t } from "../texts";
import {
  type Answers, bank_count, camshaft_places, camshafts, is_listed, type Loop, loop_key, loops, next_row, rows, said, sprockets_of, strands,
} from "./answers";
import { type Add, choices, type Field, field, named, row_of, type Step } from "./field";

const kCount = { is_count: true };

function own_camshafts(answers: Answers, made: (of: string) => string): string[] {
  const own = camshaft_places(answers).map((place) => place.path).filter((path) => made(path) in answers);
  return [...camshafts(answers), ...own];
}

// Teeth at a camshaft can be asked for only when it is known which camshafts there are.
export function teeth(answers: Answers): Partial<Step> {
  const all = is_listed(answers) ? [] : loops(answers);
  const is_belt = said(answers, "loop") === "toothed belt";
  return {
    fields: [
      ...(is_listed(answers) ? [] : [field("teeth.crank", "manual_teeth_crank", { ...kCount, example: "22" })]),
      ...(camshafts(answers).length
        ? []
        : [field("camshafts", "manual_camshafts", { choices: choices({ one: "manual_one_cam", two: "manual_two_cams" }) })]),
      ...own_camshafts(answers, (of) => `teeth.${of}`).map((name) =>
        field(`teeth.${name}`, "manual_teeth_cam", { ...kCount, example: "44" }, { name })),
      ...all.map((loop, i) =>
        field(`${loop.key}.links`, is_belt ? "manual_belt_teeth" : "manual_links", { ...kCount, example: "116", starts: i === 0 }, { name: loop.name })),
      ...(is_listed(answers) ? [] : pitches(answers, all)),
      ...(camshafts(answers).length
        ? own_camshafts(answers, (of) => `journals.${of}`)
            .filter((name) => name.includes("/"))
            .map((name) => field(`journals.${name}`, "manual_journals_of", kCount, { name }))
        : []),
      ...(camshafts(answers).length ? [field("journals", "manual_journals", { ...kCount, example: "4", starts: true })] : []),
    ],
  };
}

function pitches(answers: Answers, all: Loop[]): Field[] {
  const more = { example: "9.525 mm", pieces: ["mm", "in"], help: t("manual_pitch_help") };
  const keys = [...new Set(all.map((loop) => loop_key(answers, loop, "pitch")))];
  return keys.map((key) => field(key, "manual_pitch", more));
}

// Several chains, one after the other, with the shafts between them.
export function chains(answers: Answers): Partial<Step> {
  if (!is_listed(answers)) return {};
  const own = rows(answers, "chain");
  const names = own.map((row) => said(answers, `${row}.name`)).filter(Boolean);
  return {
    fields: [
      ...own.flatMap((row) => chain_row(answers, row)),
      ...rows(answers, "idler").flatMap((row) => idler_row(answers, row, names)),
    ],
    adds: chain_adds(answers),
  };
}

function chain_row(answers: Answers, row: string): Field[] {
  const own = (name: string) => `${row}.${name}`;
  const is_two = bank_count(answers) > 1;
  const turns: Record<string, Key> = {
    all: "manual_turns_all",
    ...(is_two ? { "bank 1": "manual_turns_bank1" as Key, "bank 2": "manual_turns_bank2" as Key } : {}),
    ...(camshafts(answers).length > 1 ? { "intake camshaft": "manual_intake" as Key, "exhaust camshaft": "manual_exhaust" as Key } : {}),
    none: "manual_turns_none",
  };
  const types = choices({ roller: "manual_roller", bush: "manual_bush", "inverted tooth": "manual_silent", "toothed belt": "manual_belt" });
  return row_of(row, said(answers, own("name")) || t("manual_chain_row"), [
    field(own("name"), "manual_chain_name", { example: "primary chain" }),
    field(own("crank"), "manual_chain_crank", { ...kCount, help: t("manual_chain_crank_help") }),
    field(own("turns"), "manual_turns", { choices: choices(turns) }),
    field(own("loop"), "manual_chain_type", { choices: types }),
    field(own("links"), "manual_links_all", kCount),
    field(own("pitch"), "manual_pitch", { example: "9.525 mm", pieces: ["mm", "in"] }),
  ]);
}

function idler_row(answers: Answers, row: string, names: string[]): Field[] {
  const own = (name: string) => `${row}.${name}`;
  return row_of(row, said(answers, own("name")) || t("manual_idler_row"), [
    field(own("name"), "manual_idler_name", { example: "idler shaft" }),
    field(own("driven_by"), "manual_driven_by", { choices: named(names) }),
    field(own("teeth_in"), "manual_teeth_in", kCount),
    field(own("drives"), "manual_drives", { choices: named(names) }),
    field(own("teeth_out"), "manual_teeth_out", kCount),
  ]);
}

function chain_adds(answers: Answers): Add[] {
  const chain = next_row(answers, "chain");
  const idler = next_row(answers, "idler");
  const add = (label: Key, name: string, more: Answers = {}) => ({ label: t(label), sets: { [`${chain}.name`]: name, ...more } });
  const has = (name: string) => rows(answers, "chain").some((row) => said(answers, `${row}.name`) === name);
  const second = (bank: string) => add(`manual_add_second${bank}` as Key, bank ? `bank ${bank} chain` : "secondary chain", {
    [`${chain}.turns`]: bank ? `bank ${bank}` : "all", ...(bank ? { [`${chain}.bank`]: bank } : {}),
  });
  const all = [
    add("manual_add_primary", "primary chain", { [`${chain}.turns`]: "none" }),
    ...(bank_count(answers) > 1 ? [second("1"), second("2")] : [second("")]),
    add("manual_add_balance", "balance shaft chain", { [`${chain}.turns`]: "none" }),
    add("manual_add_pump", "oil pump chain", { [`${chain}.turns`]: "none" }),
  ].filter(({ sets }) => !has(sets[`${chain}.name`] ?? ""));
  const is_first = rows(answers, "idler").length === 0;
  return [
    ...all,
    { label: t("manual_add_chain"), sets: { [`${chain}.name`]: "" } },
    { label: t("manual_add_idler"), sets: { [`${idler}.name`]: is_first ? "idler shaft" : "" } },
  ];
}

// Gears in mesh: camshaft gears, balance shafts, pumps.
export function gears(answers: Answers): Partial<Step> {
  const row = next_row(answers, "gear");
  const idlers = rows(answers, "idler").map((each) => said(answers, `${each}.name`)).filter(Boolean);
  const shafts = ["crank", ...idlers, ...camshaft_places(answers).map((place) => place.path)];
  const fields = rows(answers, "gear").flatMap((each) => {
    const own = (name: string) => `${each}.${name}`;
    return row_of(each, said(answers, own("driven")) || t("manual_gear_row"), [
      field(own("driver"), "manual_driver", { choices: named(shafts) }),
      field(own("driver_teeth"), "manual_driver_teeth", kCount),
      field(own("driven"), "manual_driven", { example: "balance shaft" }),
      field(own("driven_teeth"), "manual_driven_teeth", kCount),
      field(own("backlash"), "manual_backlash", { example: "0.08 mm" }),
    ]);
  });
  const add = (label: Key, driven: string): Add => ({ label: t(label), sets: { [`${row}.driven`]: driven } });
  const cams = camshaft_places(answers).map((place) => ({ label: `+ ${place.path}`, sets: { [`${row}.driven`]: place.path } }));
  return {
    fields,
    adds: [add("manual_add_balance_gear", "balance shaft"), add("manual_add_pump_gear", "oil pump"), ...cams, add("manual_add_gear", "")],
  };
}

export function crank(answers: Answers): Partial<Step> {
  const sizes = ["mm", "in"];
  return {
    fields: [
      field("crank_mark", "manual_crank_mark", { example: "dot, at the casting arrow" }),
      field("marks_at", "manual_marks_at", { example: "0 deg crank", pieces: ["deg crank"], help: t("manual_marks_at_help") }),
      field("crank_key", "manual_crank_key", { example: "0 deg", help: t("manual_clock_help") }),
      field("cylinder.stroke", "manual_piston_stroke", { example: "90.0 mm", pieces: sizes, starts: true }),
      field("cylinder.rod", "manual_rod", { example: "143 mm", pieces: sizes }),
      ...(said(answers, "cylinder.bore") ? [field("cylinder.bore", "manual_bore", {})] : []),
    ],
  };
}

// The marked sprockets of one chain, in running direction, each with the count to the next one.
export function marks(answers: Answers, at: number): Partial<Step> {
  const all = loops(answers).filter((each) => each.name);
  const loop = all[at];
  if (!loop) return {};
  const prefix = `${loop.key}.mark`;
  const all_strands = strands(answers, loop);
  const own_key = `${loop.key}.counted`;
  const counted = field(own_key in answers ? own_key : "counted", "manual_counted", {
    choices: choices({ pitches: "manual_pitches", "both marks": "manual_both_marks", between: "manual_between" }),
    help: t("manual_counted_help"),
  });
  const is_counted = said(answers, counted.key) !== "";
  const fields = rows(answers, prefix).flatMap((row, i) => {
    const strand = is_counted ? all_strands[i] : undefined;
    const next = strand ? [field(strand.key, "manual_strand", { ...kCount, example: "60" }, { ...strand })] : [];
    return row_of(row, said(answers, `${row}.at`) || t("manual_mark_row"), [...mark_fields(answers, row, loop), ...next]);
  });
  return {
    fields: [...(rows(answers, prefix).length > 1 || is_counted ? [counted] : []), ...fields, ...marked_links(answers, loop)],
    adds: mark_adds(answers, loop, all),
  };
}

function marked_links(answers: Answers, loop: Loop): Field[] {
  const key = loop_key(answers, loop, "marked_links");
  return said(answers, key) || rows(answers, `${loop.key}.mark`).length === 0
    ? [field(key, "manual_marked_links", { example: t("manual_marked_links_example"), starts: true })]
    : [];
}

function mark_fields(answers: Answers, row: string, loop: Loop): Field[] {
  const own = (name: string) => `${row}.${name}`;
  const is_known = sprockets_of(answers, loop).includes(said(answers, own("at")));
  return [
    ...(is_known ? [] : [field(own("at"), "manual_mark_at", { example: "idler shaft" })]),
    field(own("links"), "manual_mark_links", { choices: named(["1", "2", "3"]) }),
    field(own("color"), "manual_mark_color", { example: "copper", pieces: ["copper", "black", "white", "blue"] }),
    field(own("sits"), "manual_mark_sits", { choices: choices({ tooth: "manual_on_tooth", gap: "manual_in_gap" }) }),
    field(own("mark"), "manual_mark_look", { example: "dot", pieces: ["dot", "line", "arrow"] }),
    field(own("clock"), "manual_mark_clock", { example: "330 deg", help: t("manual_clock_help") }),
  ];
}

function mark_adds(answers: Answers, loop: Loop, all: Loop[]): Add[] {
  const prefix = `${loop.key}.mark`;
  const row = next_row(answers, prefix);
  const taken = rows(answers, prefix).map((each) => said(answers, `${each}.at`));
  const free = sprockets_of(answers, loop).filter((one) => !taken.includes(one));
  const before = all.find((one) => one !== loop && one.bank && loop.bank && rows(answers, `${one.key}.mark`).length > 0);
  return [
    ...free.map((one) => ({ label: `+ ${one}`, sets: { [`${row}.at`]: one } })),
    { label: t("manual_add_mark"), sets: { [`${row}.at`]: "" } },
    ...(before && taken.length === 0 ? [{ label: t("manual_add_marks_as", { name: before.name }), sets: marks_like(answers, before, loop) }] : []),
  ];
}

// The marks of the other bank's chain; counts and places on the clock differ and are not taken over.
function marks_like(answers: Answers, from: Loop, to: Loop): Answers {
  const prefix = `${from.key}.mark`;
  return Object.fromEntries(
    Object.entries(answers)
      .filter(([key]) => key.startsWith(prefix) && !/\.(next|clock)$/.test(key))
      .map(([key, text]) => [`${to.key}.mark${key.slice(prefix.length)}`, text.replace(`bank ${from.bank}`, `bank ${to.bank}`)]),
  );
}

const edges = () => choices({ rising: "manual_rising", falling: "manual_falling" });

export function crank_sensor(): Partial<Step> {
  return {
    fields: [
      field("sensor.wheel", "manual_wheel", { example: "60-2", help: t("manual_wheel_help"), pieces: ["60-2", "36-1", "36-2"] }),
      field("sensor.kind", "manual_sensor_kind", { choices: choices({ hall: "manual_hall", inductive: "manual_coil" }) }),
      field("sensor.edge", "manual_sensor_edge", { choices: edges() }),
      field("sensor.gap", "manual_sensor_gap", { choices: choices({ low: "manual_low", high: "manual_high" }) }),
      field("sensor.first_tooth", "manual_first_tooth", { example: "60 deg crank", pieces: ["deg crank"] }),
    ],
  };
}

export function cam_sensors(answers: Answers): Partial<Step> {
  return {
    fields: camshaft_places(answers).flatMap((place) => {
      const key = (name: string) => `cam.${place.path}.${name}`;
      const name = { name: place.path };
      return [
        field(key("wheel"), "manual_cam_wheel", { example: "4", starts: true }, name),
        field(key("edges"), "manual_cam_edges", { example: "52; 232; 412; 592", pieces: [";"], help: t("manual_cam_edges_help") }, name),
        ...(said(answers, key("edges"))
          ? [
              field(key("edge"), "manual_cam_edge", { choices: edges() }, name),
              field(key("window"), "manual_cam_window", { example: "3.0 deg crank", pieces: ["deg crank"] }, name),
            ]
          : []),
      ];
    }),
  };
}
