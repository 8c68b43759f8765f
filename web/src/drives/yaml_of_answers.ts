// SPDX-License-Identifier: Apache-2.0
// The definition that the answers make, drive/1: only what was said (docs/formats/drive.md).
import {
  type Answers, bank_count, camshaft_key, camshaft_places, drive_name, has_phaser, is_listed, type Loop,
  loop_key, loops, names_in, type Place, rows, said, strands, with_unit,
} from "./answers";
import { write_fasteners, write_fits, write_oil, write_parts } from "./yaml_of_limits";
import { Lines, words_list, type Written } from "./yaml_lines";

export function yaml_of_answers(answers: Answers, is_invented = false, with_ids = false): Written {
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
  words_list(out, 0, "recognise", names_in(said(answers, "recognise")), "recognise");
  write_cylinders(out, answers);
  write_crankshaft(out, answers);
  const all = loops(answers);
  out.part(0, "chains", (chains) => {
    for (const loop of all) write_chain(chains, answers, loop, all.length);
  });
  write_shafts(out, answers);
  write_banks(out, answers);
  write_fits(out, answers);
  write_oil(out, answers);
  write_fasteners(out, answers);
  write_parts(out, answers);
  return out.written(with_ids);
}

// "1-3-4-2" -> [1, 3, 4, 2]
function firing_order(text: string): string {
  const numbers = text.split(/[^\d]+/).filter(Boolean);
  return numbers.length ? `[${numbers.join(", ")}]` : "";
}

function write_cylinders(out: Lines, answers: Answers): void {
  out.part(0, "cylinders", (cylinders) => {
    cylinders.bare(1, "count", said(answers, "cylinders"), "cylinders");
    cylinders.bare(1, "layout", said(answers, "layout"), "layout");
    cylinders.value(1, "bank_angle", with_unit(said(answers, "bank_angle"), "deg"), "bank_angle");
    const sizes = said(answers, "unit.sizes");
    for (const field of ["bore", "stroke", "rod"])
      cylinders.value(1, field, with_unit(said(answers, `cylinder.${field}`), sizes), `cylinder.${field}`);
    const order = firing_order(said(answers, "firing_order"));
    if (order) cylinders.add(1, `firing_order: ${order}`, "firing_order");
  });
}

function write_crankshaft(out: Lines, answers: Answers): void {
  out.part(0, "crankshaft", (crankshaft) => {
    crankshaft.bare(1, "rotation", said(answers, "rotation"), "rotation");
    crankshaft.bare(1, "seen_from", said(answers, "seen_from"), "seen_from");
    crankshaft.part(1, "sprockets", (sprockets) => {
      const all = loops(answers);
      for (const loop of all) {
        const teeth = said(answers, loop.crank);
        if (!teeth) continue;
        sprockets.item(2, loop.key, (sprocket) => {
          sprocket.bare(3, "teeth", teeth, loop.crank);
          if (all.length > 1) sprocket.value(3, "chain", loop.name, "");
        });
      }
    });
    crankshaft.value(1, "mark", said(answers, "crank_mark"), "crank_mark");
    crankshaft.value(1, "marks_at", with_unit(said(answers, "marks_at"), "deg crank"), "marks_at");
    crankshaft.value(1, "key", with_unit(said(answers, "crank_key"), "deg"), "crank_key");
    crankshaft.part(1, "sensor", (sensor) => {
      for (const field of ["wheel", "edge", "kind", "gap"])
        sensor.value(2, field, said(answers, `sensor.${field}`), `sensor.${field}`);
      const first = with_unit(said(answers, "sensor.first_tooth"), "deg crank");
      sensor.value(2, "first_tooth", first, "sensor.first_tooth");
    });
  });
}

function write_chain(out: Lines, answers: Answers, loop: Loop, of: number): void {
  const own = (field: string) => loop_key(answers, loop, field);
  const told = (field: string) => said(answers, own(field));
  const inner = new Lines();
  inner.bare(2, "type", told("loop"), own("loop"));
  inner.value(2, "pitch", told("pitch"), own("pitch"));
  inner.bare(2, "links", said(answers, `${loop.key}.links`), `${loop.key}.links`);
  write_strands(inner, answers, loop);
  inner.value(2, "marked_links", told("marked_links"), own("marked_links"));
  inner.part(2, "marks", (marks) => {
    for (const row of rows(answers, `${loop.key}.mark`)) write_mark(marks, answers, row);
  });
  inner.part(2, "tensioner", (tensioner) => {
    for (const field of ["stroke", "ratchet_step"]) {
      const key = own(`tensioner.${field}`);
      tensioner.value(3, field, with_unit(said(answers, key), said(answers, "unit.sizes")), key);
    }
    for (const field of ["side", "recognise"])
      tensioner.value(3, field, said(answers, `${loop.key}.${field}`), `${loop.key}.${field}`);
  });
  inner.part(2, "guides", (guides) => {
    for (const [i, name] of names_in(told("guides")).entries()) write_guide(guides, name, own("guides"), i);
  });
  // A single chain of which nothing is known is no chain: the engine may have gears.
  if ((inner.is_empty() && of === 1 && !is_listed(answers)) || !loop.name) return;
  out.item(1, loop.key, (chain) => {
    chain.value(2, "name", loop.name, `${loop.key}.name`);
    if (loop.bank) chain.add(2, `bank: ${loop.bank}`, `${loop.key}.bank`);
    chain.append(inner);
  });
}

// "tensioner arm (slack strand)": the strand that it guides.
function write_guide(out: Lines, text: string, key: string, i: number): void {
  const [, name, side] = /^(.*?)\s*\(([^()]*)\)$/.exec(text) ?? [];
  out.item(3, `guide${i}`, (guide) => {
    if (!name || !side) return guide.add(3, JSON.stringify(text), key);
    guide.value(4, "name", name, key);
    guide.value(4, "side", side, key);
  });
}

// The strands of a chain are a loop: some of them alone say nothing, nor does a count of unknown what.
function write_strands(out: Lines, answers: Answers, loop: Loop): void {
  const key = loop_key(answers, loop, "counted");
  const counted = said(answers, key) || said(answers, "counted");
  const all = strands(answers, loop);
  if (!counted || all.length === 0 || all.some((one) => !said(answers, one.key) || !one.from)) return;
  out.bare(2, "counted", counted, key);
  out.part(2, "strands", (list) => {
    for (const strand of all) {
      list.item(3, strand.key, (item) => {
        item.value(4, "from", strand.from, strand.key);
        item.value(4, "to", strand.to, strand.key);
        item.bare(4, "links", said(answers, strand.key), strand.key);
      });
    }
  });
}

export const kMarkFields = ["links", "color", "sits", "mark", "clock"];

// A sprocket of which only a count is known is no mark yet.
function write_mark(out: Lines, answers: Answers, row: string): void {
  const own = (field: string) => said(answers, `${row}.${field}`);
  if (!own("at") || kMarkFields.every((field) => !own(field))) return;
  out.item(3, row, (mark) => {
    mark.value(4, "at", own("at"), `${row}.at`);
    mark.bare(4, "links", own("links"), `${row}.links`);
    for (const field of ["color", "sits", "mark"]) mark.value(4, field, own(field), `${row}.${field}`);
    mark.value(4, "clock", with_unit(own("clock"), "deg"), `${row}.clock`);
  });
}

// [key of the definition, are they counts]
export const kIdler = [["name", false], ["driven_by", false], ["teeth_in", true], ["drives", false], ["teeth_out", true]] as const;
export const kGear = [["driver", false], ["driver_teeth", true], ["driven", false], ["driven_teeth", true], ["backlash", false], ["radius", false]] as const;

// What is not whole yet would be a mistake of the text, not of the person: it waits for its last figure.
function write_shafts(out: Lines, answers: Answers): void {
  const list = (name: string, row_name: string, fields: typeof kIdler | typeof kGear, needed: number) =>
    out.part(0, name, (items) => {
      for (const row of rows(answers, row_name)) {
        if (fields.slice(0, needed).some(([field]) => !said(answers, `${row}.${field}`))) continue;
        items.item(1, row, (item) => {
          for (const [field, is_count] of fields) {
            const text = said(answers, `${row}.${field}`);
            const is_size = field === "backlash" || field === "radius";
            if (is_count) item.bare(2, field, text, `${row}.${field}`);
            else item.value(2, field, is_size ? with_unit(text, said(answers, "unit.sizes")) : text, `${row}.${field}`);
          }
        });
      }
    });
  list("idlers", "idler", kIdler, 5);
  list("gears", "gear", kGear, 4);
}

function write_banks(out: Lines, answers: Answers): void {
  const places = camshaft_places(answers);
  if (places.length === 0) return;
  out.part(0, "banks", (banks) => {
    for (let number = 1; number <= bank_count(answers); ++number) {
      banks.item(1, `bank${number}`, (bank) => {
        bank.add(2, `number: ${number}`);
        const side = said(answers, `bank${number}.side`);
        bank.bare(2, "side", side, `bank${number}.side`);
        if (side) bank.bare(2, "seen_from", said(answers, "sides_from"), "sides_from");
        bank.value(2, "head_material", said(answers, "head_material"), "head_material");
        bank.part(2, "camshafts", (list) => {
          for (const place of places) if (place.bank === number) write_camshaft(list, answers, place);
        });
      });
    }
  });
}

function write_camshaft(out: Lines, answers: Answers, place: Place): void {
  const key = (field: string) => camshaft_key(answers, place, (of) => `${field}.${of}`);
  out.item(3, place.path, (camshaft) => {
    camshaft.add(4, `name: ${place.camshaft}`);
    const own = is_listed(answers) ? loops(answers).find((loop) => loop.drives.some((one) => one.path === place.path)) : undefined;
    if (own) camshaft.value(4, "chain", own.name, `${own.key}.turns`);
    camshaft.bare(4, "sprocket_teeth", said(answers, key("teeth")), key("teeth"));
    const journals = `journals.${place.path}`;
    const counted = journals in answers ? journals : "journals";
    camshaft.bare(4, "journals", said(answers, counted), counted);
    camshaft.value(4, "material", said(answers, "cam_material"), "cam_material");
    if (has_phaser(answers, place)) write_phaser(camshaft, answers, place);
    write_cam_sensor(camshaft, answers, place);
  });
}

function write_phaser(out: Lines, answers: Answers, place: Place): void {
  const key = (field: string) => camshaft_key(answers, place, (of) => `phaser.${of}.${field}`);
  const fields = ["base", "range", "base_check"].filter((field) => said(answers, key(field)));
  if (fields.length === 0) return out.add(4, "phaser: {}", "phasers");
  out.part(4, "phaser", (phaser) => {
    for (const field of fields) phaser.value(5, field, said(answers, key(field)), key(field));
  });
}

// "52; 232 falling": each edge with its own word, or with that of all of them.
function write_cam_sensor(out: Lines, answers: Answers, place: Place): void {
  const key = (field: string) => `cam.${place.path}.${field}`;
  const own = (field: string) => said(answers, key(field));
  out.part(4, "sensor", (sensor) => {
    sensor.value(5, "wheel", own("wheel"), key("wheel"));
    sensor.part(5, "edges", (edges) => {
      for (const [i, text] of names_in(own("edges")).entries()) {
        const word = /\b(rising|falling)$/.exec(text)?.[1] ?? own("edge");
        const at = with_unit(text.replace(/\s*(rising|falling)$/, ""), "deg crank");
        edges.item(6, `edge${i}`, (edge) => {
          edge.value(7, "at", at, key("edges"));
          edge.bare(7, "edge", word, key("edges"));
        });
      }
    });
    sensor.value(5, "window", with_unit(own("window"), "deg crank"), key("window"));
  });
}
