// SPDX-License-Identifier: Apache-2.0
// The definition that the answers make, drive/1: only what was said (docs/formats/drive.md).
import {
  type Answers, bank_count, camshafts, drive_name, has_phaser, type Loop, loops, names_in, rows,
  said, strands, with_unit,
} from "./answers";
import { kLimits, limit_key, type LimitTopic } from "./limits";
import { Lines, type Written } from "./yaml_lines";

export function yaml_of_answers(answers: Answers, is_invented = false): Written {
  const out = new Lines();
  out.add(0, "tautmark: drive/1");
  out.value(0, "name", drive_name(answers), "name");
  out.value(0, "title", said(answers, "title"), "title");
  if (is_invented) out.add(0, "invented: true");
  out.part(0, "source", (source) => {
    source.bare(1, "origin", said(answers, "source.origin"), "source.origin");
    for (const field of ["document", "edition", "page"])
      source.value(1, field, said(answers, `source.${field}`), `source.${field}`);
  });
  out.bare(0, "decimal_sign", said(answers, "decimal_sign"), "decimal_sign");
  words_list(out, 0, "recognise", said(answers, "recognise"), "recognise");
  write_engine(out, answers);
  out.part(0, "chains", (chains) => {
    const all = loops(answers);
    for (const loop of all) write_chain(chains, answers, loop, all.length);
  });
  write_banks(out, answers);
  out.part(0, "fits", (fits) => {
    for (const topic of kLimits) write_limit(fits, answers, topic);
  });
  write_oil(out, answers);
  out.part(0, "fasteners", (fasteners) => {
    for (const row of rows(answers, "bolt", "name")) write_fastener(fasteners, answers, row);
  });
  return out.written();
}

function words_list(out: Lines, depth: number, name: string, text: string, key: string): void {
  out.part(depth, name, (list) => {
    for (const each of names_in(text))
      list.item(depth + 1, (item) => item.add(depth + 1, JSON.stringify(each), key));
  });
}

// "1-3-4-2" -> [1, 3, 4, 2]
function firing_order(text: string): string {
  const numbers = text.split(/[^\d]+/).filter(Boolean);
  return numbers.length ? `[${numbers.join(", ")}]` : "";
}

function write_engine(out: Lines, answers: Answers): void {
  out.part(0, "cylinders", (cylinders) => {
    cylinders.bare(1, "count", said(answers, "cylinders"), "cylinders");
    cylinders.bare(1, "layout", said(answers, "layout"), "layout");
    const order = firing_order(said(answers, "firing_order"));
    if (order) cylinders.add(1, `firing_order: ${order}`, "firing_order");
  });
  out.part(0, "crankshaft", (crankshaft) => {
    crankshaft.bare(1, "rotation", said(answers, "rotation"), "rotation");
    crankshaft.bare(1, "seen_from", said(answers, "seen_from"), "seen_from");
    crankshaft.value(1, "mark", said(answers, "crank_mark"), "crank_mark");
    crankshaft.part(1, "sprockets", (sprockets) => {
      const all = loops(answers);
      for (const loop of all) {
        const teeth = said(answers, "teeth.crank");
        if (!teeth) continue;
        sprockets.item(2, (sprocket) => {
          sprocket.bare(3, "teeth", teeth, "teeth.crank");
          if (all.length > 1) sprocket.value(3, "chain", loop.name, "");
        });
      }
    });
  });
}

function write_chain(out: Lines, answers: Answers, loop: Loop, of: number): void {
  const own = (field: string) => said(answers, `${loop.key}.${field}`);
  const inner = new Lines();
  inner.bare(2, "type", said(answers, "loop"), "loop");
  inner.value(2, "pitch", said(answers, "pitch"), "pitch");
  inner.bare(2, "links", own("links"), `${loop.key}.links`);
  write_strands(inner, answers, loop);
  inner.value(2, "marked_links", said(answers, "marked_links"), "marked_links");
  inner.part(2, "tensioner", (tensioner) => {
    for (const field of ["stroke", "ratchet_step"]) {
      const key = `tensioner.${field}`;
      tensioner.value(3, field, with_unit(said(answers, key), said(answers, "unit.sizes")), key);
    }
    const side = loop.bank ? `tensioner${loop.bank}.side` : "tensioner.side";
    tensioner.value(3, "side", said(answers, side), side);
  });
  words_list(inner, 2, "guides", said(answers, "guides"), "guides");
  // A single chain of which nothing is known is no chain: the engine may have gears.
  if (inner.written().keys.length === 0 && of === 1) return;
  out.item(1, (chain) => {
    chain.add(2, `name: ${loop.name}`);
    if (loop.bank) chain.add(2, `bank: ${loop.bank}`);
    chain.append(inner);
  });
}

// The strands of a chain are a loop: some of them alone say nothing, nor does a count of unknown what.
function write_strands(out: Lines, answers: Answers, loop: Loop): void {
  const counted = said(answers, "counted");
  const all = strands(answers, loop);
  if (!counted || all.length === 0 || all.some(({ key }) => !said(answers, key))) return;
  out.bare(2, "counted", counted, "counted");
  out.part(2, "strands", (list) => {
    for (const { from, to, key } of all) {
      list.item(3, (strand) => {
        strand.value(4, "from", from, `${loop.key}.order`);
        strand.value(4, "to", to, `${loop.key}.order`);
        strand.bare(4, "links", said(answers, key), key);
      });
    }
  });
}

function write_banks(out: Lines, answers: Answers): void {
  const names = camshafts(answers);
  if (names.length === 0) return;
  out.part(0, "banks", (banks) => {
    for (let number = 1; number <= bank_count(answers); ++number) {
      banks.item(1, (bank) => {
        bank.add(2, `number: ${number}`);
        bank.value(2, "head_material", said(answers, "head_material"), "head_material");
        bank.part(2, "camshafts", (list) => {
          for (const name of names) write_camshaft(list, answers, name);
        });
      });
    }
  });
}

function write_camshaft(out: Lines, answers: Answers, name: string): void {
  out.item(3, (camshaft) => {
    camshaft.add(4, `name: ${name}`);
    camshaft.bare(4, "sprocket_teeth", said(answers, `teeth.${name}`), `teeth.${name}`);
    camshaft.bare(4, "journals", said(answers, "journals"), "journals");
    camshaft.value(4, "material", said(answers, "cam_material"), "cam_material");
    if (!has_phaser(answers, name)) return;
    const own = (field: string) => said(answers, `phaser.${name}.${field}`);
    if (!own("base") && !own("range")) return camshaft.add(4, "phaser: {}", "phasers");
    camshaft.part(4, "phaser", (phaser) => {
      phaser.bare(5, "base", own("base"), `phaser.${name}.base`);
      phaser.value(5, "range", own("range"), `phaser.${name}.range`);
    });
  });
}

function write_limit(out: Lines, answers: Answers, topic: LimitTopic): void {
  const key = (field: string) => limit_key(topic.quantity, field);
  const unit = (of: string) => (of.startsWith("unit.") ? said(answers, of) : of);
  const range = (field: string) => with_unit(said(answers, key(field)), unit(topic.unit));
  if (!range("new") && !range("service")) return;
  // A length over an unknown number of links limits nothing.
  if (topic.quantity === "chain length" && !said(answers, key("links"))) return;
  out.item(1, (fit) => {
    fit.add(2, `quantity: ${topic.quantity}`);
    fit.add(2, `at: ${topic.at}`);
    fit.value(2, "new", range("new"), key("new"));
    fit.value(2, "service", range("service"), key("service"));
    fit.bare(2, "applies_to", said(answers, key("applies_to")), key("applies_to"));
    for (const also of topic.also ?? [])
      fit.bare(2, also.field, with_unit(said(answers, key(also.key)), unit(also.unit)), key(also.key));
  });
}

function write_oil(out: Lines, answers: Answers): void {
  const limits = rows(answers, "pressure", "port").filter((row) => said(answers, `${row}.port`));
  out.part(0, "oil", (oil) => {
    oil.value(1, "grade", said(answers, "oil.grade"), "oil.grade");
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
    out.item(2, (port) => {
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
  out.item(2, (pressure) => {
    pressure.value(3, "at", is_in_each_bank(answers, row) ? `every ${port}` : port, `${row}.port`);
    pressure.value(3, "limit", limit, `${row}.limit`);
    pressure.value(3, "speed", own("speed", "1/min"), `${row}.speed`);
    const at = own("temperature", said(answers, "unit.temperature"));
    pressure.value(3, "oil_temperature", at, `${row}.temperature`);
  });
}

function write_fastener(out: Lines, answers: Answers, row: string): void {
  const name = said(answers, `${row}.name`);
  if (!name) return;
  out.item(1, (bolt) => {
    bolt.value(2, "name", name, `${row}.name`);
    bolt.value(2, "thread", said(answers, `${row}.thread`), `${row}.thread`);
    const steps = names_in(said(answers, `${row}.steps`));
    bolt.part(2, "steps", (list) => {
      for (const step of steps) {
        // "35; 75" may be a torque and an angle: only a single bare number is the table's.
        const text = steps.length === 1 ? with_unit(step, said(answers, "unit.torque")) : step;
        const what = /deg|°/.test(text) ? "angle" : "torque";
        list.item(3, (item) => item.value(4, what, text, `${row}.steps`));
      }
    });
    bolt.bare(2, "single_use", said(answers, `${row}.single_use`), `${row}.single_use`);
  });
}
