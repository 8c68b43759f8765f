// SPDX-License-Identifier: Apache-2.0
// The second half of a definition: limits, oil, fasteners and parts, as they were said.
import { type Answers, bank_count, camshaft_places, names_in, numbers_in, rows, said, with_unit } from "./answers";
import { kLimits, limit_key, type LimitTopic, unit_of_limit } from "./limits";
import { type Lines, words_list } from "./yaml_lines";

export function write_fits(out: Lines, answers: Answers): void {
  out.part(0, "fits", (fits) => {
    for (const topic of kLimits) write_limit(fits, answers, topic);
    for (const row of rows(answers, "fit")) write_own_limit(fits, answers, row);
  });
}

function write_limit(out: Lines, answers: Answers, topic: LimitTopic): void {
  const key = (field: string) => limit_key(topic.quantity, field);
  const unit = (of: string) => (of.startsWith("unit.") ? said(answers, of) : of);
  const range = (field: string) => with_unit(said(answers, key(field)), unit(topic.unit));
  if (!range("new") && !range("service")) return;
  // A length over an unknown number of links limits nothing.
  if (topic.quantity === "chain length" && !said(answers, key("links"))) return;
  out.item(1, topic.quantity, (fit) => {
    fit.add(2, `quantity: ${topic.quantity}`);
    fit.add(2, `at: ${topic.at}`);
    fit.value(2, "new", range("new"), key("new"));
    fit.value(2, "service", range("service"), key("service"));
    fit.bare(2, "applies_to", said(answers, key("applies_to")), key("applies_to"));
    for (const also of topic.also ?? [])
      fit.bare(2, also.field, with_unit(said(answers, key(also.key)), unit(also.unit)), key(also.key));
    fit.value(2, "measure", said(answers, key("measure")), key("measure"));
  });
}

export const kFitFields = ["applies_to", "links", "drop", "force", "speed", "oil_temperature", "measure"];

// A limit of some places only: one of the definition for each of them.
function write_own_limit(out: Lines, answers: Answers, row: string): void {
  const own = (field: string) => said(answers, `${row}.${field}`);
  const unit = unit_of_limit(answers, own("quantity"));
  if (!own("quantity") || (!own("new") && !own("service"))) return;
  for (const at of places_of_limit(answers, row)) {
    out.item(1, `${row} ${at}`, (fit) => {
      fit.value(2, "quantity", own("quantity"), `${row}.quantity`);
      fit.value(2, "at", at, `${row}.at`);
      for (const field of ["new", "service"]) fit.value(2, field, with_unit(own(field), unit), `${row}.${field}`);
      for (const field of kFitFields) fit.value(2, field, own(field), `${row}.${field}`);
    });
  }
}

// The most special place wins over "every journal", so what is left open here stays a pattern.
function places_of_limit(answers: Answers, row: string): string[] {
  const own = (field: string) => said(answers, `${row}.${field}`);
  if (own("at")) return [own("at")];
  const banks = own("bank");
  const camshaft = own("camshaft");
  const journals = numbers_in(own("journals"));
  const is_of = (place: { bank: number; camshaft: string }) =>
    (!banks || place.bank === Number(banks)) && (!camshaft || place.camshaft === camshaft);
  if (journals.length)
    return camshaft_places(answers).filter(is_of).flatMap((place) => journals.map((n) => `${place.path} / journal ${n}`));
  const last = /end play|phase/.test(own("quantity")) ? "every camshaft" : "every journal";
  const from = [banks ? `bank ${banks}` : camshaft ? "every bank" : "", camshaft];
  if (last === "every camshaft" && camshaft) return camshaft_places(answers).filter(is_of).map((place) => place.path);
  return [[...from, last].filter(Boolean).join(" / ")];
}

export function write_oil(out: Lines, answers: Answers): void {
  const limits = rows(answers, "pressure").filter((row) => said(answers, `${row}.port`));
  out.part(0, "oil", (oil) => {
    oil.value(1, "grade", said(answers, "oil.grade"), "oil.grade");
    oil.value(1, "fill", said(answers, "oil.fill"), "oil.fill");
    oil.part(1, "ports", (ports) => {
      const named = new Set<string>();
      for (const row of limits) {
        const name = said(answers, `${row}.port`);
        if (named.has(name)) continue;
        named.add(name);
        write_port(ports, answers, row, name);
      }
    });
    oil.part(1, "pressures", (pressures) => {
      for (const row of limits) write_pressure(pressures, answers, row);
    });
  });
}

function is_in_each_bank(answers: Answers, row: string): boolean {
  return bank_count(answers) > 1 && said(answers, `${row}.each_bank`) === "yes";
}

function write_port(out: Lines, answers: Answers, row: string, name: string): void {
  const banks = is_in_each_bank(answers, row) ? [1, 2] : [0];
  for (const bank of banks) {
    out.item(2, `${name} ${bank}`, (port) => {
      port.value(3, "name", name, `${row}.port`);
      if (bank) port.add(3, `bank: ${bank}`);
    });
  }
}

function write_pressure(out: Lines, answers: Answers, row: string): void {
  const own = (field: string, unit: string) => with_unit(said(answers, `${row}.${field}`), unit);
  const limit = own("limit", said(answers, "unit.pressure"));
  if (!limit) return;
  const port = said(answers, `${row}.port`);
  out.item(2, row, (pressure) => {
    pressure.value(3, "at", is_in_each_bank(answers, row) ? `every ${port}` : port, `${row}.port`);
    pressure.value(3, "limit", limit, `${row}.limit`);
    pressure.value(3, "speed", own("speed", "1/min"), `${row}.speed`);
    const at = own("temperature", said(answers, "unit.temperature"));
    pressure.value(3, "oil_temperature", at, `${row}.temperature`);
  });
}

export const kBoltFields = ["thread", "class", "count", "condition"];

export function write_fasteners(out: Lines, answers: Answers): void {
  out.part(0, "fasteners", (fasteners) => {
    for (const row of rows(answers, "bolt")) if (said(answers, `${row}.name`)) write_fastener(fasteners, answers, row);
  });
}

function write_fastener(out: Lines, answers: Answers, row: string): void {
  const own = (field: string) => said(answers, `${row}.${field}`);
  out.item(1, row, (bolt) => {
    bolt.value(2, "name", own("name"), `${row}.name`);
    for (const field of kBoltFields)
      if (field === "count") bolt.bare(2, field, own(field), `${row}.${field}`);
      else bolt.value(2, field, own(field), `${row}.${field}`);
    const steps = names_in(own("steps"));
    bolt.part(2, "steps", (list) => {
      for (const [i, step] of steps.entries()) {
        // "35; 75" may be a torque and an angle: only a single bare number is the table's.
        const text = steps.length === 1 ? with_unit(step, said(answers, "unit.torque")) : step;
        const what = /deg|°/.test(text) ? "angle" : "torque";
        list.item(3, `step${i}`, (item) => item.value(4, what, text, `${row}.steps`));
      }
    });
    bolt.bare(2, "single_use", own("single_use"), `${row}.single_use`);
    bolt.value(2, "note", own("note"), `${row}.note`);
  });
}

export function write_parts(out: Lines, answers: Answers): void {
  out.part(0, "parts", (parts) => {
    for (const row of rows(answers, "part")) {
      const own = (field: string) => said(answers, `${row}.${field}`);
      if (!own("name")) continue;
      parts.item(1, row, (part) => {
        part.value(2, "name", own("name"), `${row}.name`);
        part.bare(2, "bank", own("bank"), `${row}.bank`);
        words_list(part, 2, "holds", names_in(own("holds")), `${row}.holds`);
        words_list(part, 2, "does_not_hold", names_in(own("does_not_hold")), `${row}.does_not_hold`);
        part.bare(2, "single_use", own("single_use"), `${row}.single_use`);
      });
    }
  });
}
