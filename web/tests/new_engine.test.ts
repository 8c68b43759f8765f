// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";

import { type Answers, drive_name, is_bare, loops, next_row, rows, short_name, strands, with_unit, without_fractions, without_row } from "../src/drives/answers";
import { steps_of } from "../src/drives/steps";
import { scalar } from "../src/drives/yaml_lines";
import { yaml_of_answers } from "../src/drives/yaml_of_answers";

const kThin: Answers = {
  title: "Thornholm 1.6",
  name: "thin-by-page",
  "source.origin": "maker",
  "source.document": "Thornholm service manual: volume 2",
  "source.page": "pp. 41-43",
  layout: "in line",
  camshafts: "one",
  seen_from: "front",
  rotation: "clockwise",
  "teeth.crank": "22",
  "teeth.camshaft": "44",
  "chain1.links": "116",
  pitch: "9.525 mm",
  journals: "4",
  "unit.sizes": "in",
  "limit.journal clearance.new": "0.001..0.003",
  "limit.journal clearance.service": "at most 0.004",
  "limit.end play.service": " ",
};

describe("the text of a new engine", () => {
  it("is a thin definition that the program takes", () => {
    // This very text went through `tautmark drive check`: no mistake, 4 of 26 questions answered.
    expect(yaml_of_answers(kThin).text).toBe(`tautmark: drive/1
name: thin-by-page
title: Thornholm 1.6
source:
  origin: maker
  document: "Thornholm service manual: volume 2"
  page: pp. 41-43
cylinders:
  layout: in line
crankshaft:
  rotation: clockwise
  seen_from: front
  sprockets:
    - teeth: 22
chains:
  - name: timing chain
    pitch: 9.525 mm
    links: 116
banks:
  - number: 1
    camshafts:
      - name: camshaft
        sprocket_teeth: 44
        journals: 4
fits:
  - quantity: journal clearance
    at: every journal
    new: 0.001..0.003 in
    service: at most 0.004 in
`);
  });
  it("says of each line which answer made it", () => {
    const { text, keys } = yaml_of_answers(kThin);
    const lines = text.trimEnd().split("\n");
    expect(keys).toHaveLength(lines.length);
    expect(keys[lines.findIndex((line) => line.includes("at most"))]).toBe("limit.journal clearance.service");
    expect(keys[lines.findIndex((line) => line.includes("sprocket_teeth"))]).toBe("teeth.camshaft");
  });
  it("holds nothing that was not said", () => {
    expect(yaml_of_answers({}).text).toBe("tautmark: drive/1\nname: new-engine\n");
    expect(yaml_of_answers({ title: "X" }, true).text).toContain("invented: true");
    // A length over an unknown number of links, counts of unknown what, a pressure nowhere.
    const said = { ...kThin, "limit.chain length.service": "at most 380 mm", "chain1.mark1.next": "60", "chain1.mark2.next": "56", "pressure1.limit": "at least 25 psi" };
    expect(yaml_of_answers(said).text).toBe(yaml_of_answers(kThin).text);
  });
  it("has strands only when all of them are there", () => {
    const half = { ...kThin, counted: "pitches", "chain1.mark1.at": "crank", "chain1.mark1.next": "60", "chain1.mark2.at": "bank 1 / camshaft" };
    expect(yaml_of_answers(half).text).not.toContain("strands");
    const whole = yaml_of_answers({ ...half, "chain1.mark2.next": "56" }).text;
    expect(whole).toContain("counted: pitches");
    expect(whole).toContain("- from: bank 1 / camshaft\n        to: crank\n        links: 56");
  });
  it("gives each bank its own chain, crank sprocket and port", () => {
    const v6 = {
      layout: "v", camshafts: "two", chains: "one per bank", "teeth.crank": "21", "chain1.links": "140", "chain2.links": "142",
      "pressure1.port": "head port", "pressure1.each_bank": "yes", "pressure1.limit": "at least 140 kPa",
    };
    const { text } = yaml_of_answers(v6);
    expect(text.match(/teeth: 21/g)).toHaveLength(2);
    expect(text).toContain("chain: bank 2 chain");
    expect(text).toContain("name: bank 2 chain\n    bank: 2\n    links: 142");
    expect(text).toContain("at: every head port");
    expect(text.match(/name: head port/g)).toHaveLength(2);
  });
  it("leaves a travel and a pitch as they were typed: which degrees, which unit is asked, not guessed", () => {
    const bare = { ...kThin, pitch: "9.525", phasers: "all", "phaser.camshaft.range": "50" };
    const { text } = yaml_of_answers(bare);
    expect(text).toContain('range: "50"\n');
    expect(text).toContain('pitch: "9.525"\n');
  });
  it("keeps torques and angles apart, and every single torque in the unit of its table", () => {
    const bolts = { "unit.torque": "lbf·in", "bolt1.name": "cap", "bolt1.steps": "106", "bolt2.name": "crank", "bolt2.steps": "100 N·m; 90 deg" };
    const { text } = yaml_of_answers(bolts);
    expect(text).toContain("torque: 106 lbf·in");
    expect(text).toContain("- torque: 100 N·m\n      - angle: 90 deg");
  });
});

describe("words", () => {
  it("stand in quotes where they could mean something else", () => {
    for (const text of ["yes", "2021", "a: b", "# x", "- x", "{x}", "", "a #b", 'he "said"', "~", "null", "1.5", "@x"])
      expect(scalar(text)).toBe(JSON.stringify(text));
    for (const text of ["pp. 41-43", "at most 0.35 %", "650 ± 25 1/min", "Zündfolge", "30 lbf·ft", "0W-20"])
      expect(scalar(text)).toBe(text);
  });
  it("get the unit of the table only when they have none", () => {
    expect(with_unit("at most 0.11", "mm")).toBe("at most 0.11 mm");
    expect(with_unit("0.004 in", "mm")).toBe("0.004 in");
    expect(with_unit("27.960..27.980", "")).toBe("27.960..27.980");
    expect(is_bare("")).toBe(false);
    expect(is_bare("650 ± 25")).toBe(true);
  });
  it("become a name that a file can have", () => {
    expect(short_name("Größer & Söhne 1.6 (2019)")).toBe("gro-er-sohne-1-6-2019");
    expect(drive_name({ title: "Thornholm 1.6" })).toBe("thornholm-1-6");
    expect(drive_name({ title: "§" })).toBe("new-engine");
  });
});

describe("the layout", () => {
  it("names chains, camshafts and strands as readings speak of them", () => {
    const one = {
      layout: "in line", camshafts: "two", "chain1.mark1.at": "crank", "chain1.mark2.at": "bank 1 / exhaust camshaft", "chain1.mark4.at": "bank 1 / intake camshaft",
    };
    const [loop] = loops(one);
    expect(strands(one, loop!).map((each) => `${each.from} > ${each.to}`)).toEqual([
      "crank > bank 1 / exhaust camshaft",
      "bank 1 / exhaust camshaft > bank 1 / intake camshaft",
      "bank 1 / intake camshaft > crank",
    ]);
    expect(loops({ loop: "toothed belt" })[0]?.name).toBe("timing belt");
  });
});

describe("rows of a list", () => {
  const some = { "bolt1.name": "a", "bolt10.name": "", "bolt2.steps": "1", "bolts.name": "no row" };
  it("are there as soon as they have a key, and are taken away whole", () => {
    expect(rows(some, "bolt")).toEqual(["bolt1", "bolt2", "bolt10"]);
    expect(next_row(some, "bolt")).toBe("bolt11");
    expect(rows(without_row(some, "bolt1"), "bolt")).toEqual(["bolt2", "bolt10"]);
  });
  it("give single journals their own limits, one by one", () => {
    const own = { ...kThin, "fit1.quantity": "journal diameter", "fit1.journals": "1; 3-4", "fit1.service": "at least 1 1/8", "unit.sizes": "in" };
    const { text } = yaml_of_answers(own);
    for (const n of [1, 3, 4]) expect(text).toContain(`at: bank 1 / camshaft / journal ${n}\n    service: at least 1.125 in  # printed: at least 1 1/8 in`);
    expect(text).not.toContain("journal 2");
  });
});

describe("fractions of an inch", () => {
  it("are their decimal, and nothing else is", () => {
    expect(without_fractions("3/8 in")).toBe("0.375 in");
    expect(without_fractions("1 1/8 in")).toBe("1.125 in");
    expect(without_fractions("at least 1-7/64 in")).toBe("at least 1.109375 in");
    for (const text of ["650 ± 25 1/min", "1/3 in", "0.004 in", "M12x1.25", "1/0 in"]) expect(without_fractions(text)).toBeUndefined();
  });
});

describe("several chains, one after the other", () => {
  it("are chains of their names, with the shaft between them, and each camshaft at its own", () => {
    const two = {
      camshafts: "two", chains: "listed", "chain1.name": "primary chain", "chain1.crank": "20", "chain1.turns": "none",
      "chain2.name": "secondary chain", "chain2.turns": "all", "chain2.pitch": "8 mm",
      "idler1.name": "idler shaft", "idler1.driven_by": "primary chain", "idler1.teeth_in": "40", "idler1.drives": "secondary chain", "idler1.teeth_out": "21",
      "gear1.driven": "balance shaft", "gear1.driver": "crank", "gear1.driver_teeth": "60",
    };
    const { text } = yaml_of_answers(two);
    expect(text).toContain("sprockets:\n    - teeth: 20\n      chain: primary chain\n");
    expect(text).toContain("idlers:\n  - name: idler shaft\n    driven_by: primary chain\n    teeth_in: 40\n    drives: secondary chain\n    teeth_out: 21\n");
    expect(text.match(/chain: secondary chain/g)).toHaveLength(2);
    expect(text, "half a pair of gears is none").not.toContain("gears");
    expect(yaml_of_answers({ ...two, "gear1.driven_teeth": "30" }).text).toContain("driven: balance shaft");
  });
});

describe("the steps", () => {
  it("ask nothing twice, and only what an answer has not made needless", () => {
    for (const answers of [{}, kThin, { layout: "v", camshafts: "two", chains: "one per bank", phasers: "all", counted: "between" }]) {
      for (const step of steps_of(answers)) {
        const keys = step.fields.map((field) => field.key);
        expect(new Set(keys).size, step.key).toBe(keys.length);
        for (const field of step.fields) expect(field.label, field.key).toBeTruthy();
      }
    }
    expect(steps_of({}).map((step) => step.key)).not.toContain("phaser");
    expect(steps_of({ camshafts: "one", phasers: "all" }).map((step) => step.key)).toContain("phaser");
  });
  it("ask for each thing that the text can hold", () => {
    const asked = new Set(steps_of({ ...kThin, counted: "pitches" }).flatMap((step) => step.fields.map((field) => field.key)));
    for (const key of Object.keys(kThin)) expect(asked, key).toContain(key);
  });
});
