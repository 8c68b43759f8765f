// SPDX-License-Identifier: Apache-2.0
// An answer of GET …/work small enough to be read here, with every kind of step in it. Invented.
const step = (number, name, more = {}) => ({
  number, name, what: `${name}, as the engine maker says.`, stage: "assemble", needs: [], gives: [], ends: [],
  tightens: [], fits: [], cautions: [], status: "to do", ...more,
});
const newton = (value, typed, spelled) => ({ torque: { value, unit: "N·m", typed, spelled } });
const angle = (deg) => ({ angle: { value: (deg * Math.PI) / 180, unit: "rad", typed: `${deg} deg` } });

export const steps = [
  step(1, "Photograph the marks", { stage: "open up", gives: ["marks recorded"], gate: "photo", status: "done", entry: "e1", gate_open: "a photo, named under shown_by", why: "a jump is proven now or never" }),
  step(2, "Lay the chain on", { bank: 1, gives: ["chain on"], fits: ["chain of 124 links"], status: "done", entry: "e2", cautions: ["Fingers out of the sprockets."] }),
  step(3, "Set the marks", { gives: ["marks set"], gate: "reading", needs: ["chain on"] }),
  step(4, "Draw the caps down evenly", {
    gives: ["caps final"], gate: "tick", why: "uneven, a cap cracks",
    cautions: ["12 N·m is 106 lbf·in. At 106 lbf·ft the bolt breaks.", "Fingers out from under the camshaft."],
    tightens: [{ fastener: "camshaft cap bolts", steps: [newton(12, "12 N·m", "12 N·m (8.85 lbf·ft, 106 lbf·in)")] }],
  }),
  step(5, "Tighten the phaser bolts", {
    gives: ["phaser bolt final"], gate: "second name", within: "10 min",
    tightens: [{ fastener: "phaser bolt", steps: [newton(35, "35 N·m", "35 N·m (25.8 lbf·ft, 309 lbf·in)"), angle(75)] }],
  }),
  step(6, "Let the camshafts go", {
    gives: ["camshaft free"],
    missing: [{ fact: "bank 1: marks confirmed", by_rule: true, may_override: true, why: "a camshaft that is let go on a wrong mark snaps round" }],
  }),
  step(7, "Turn two turns by hand", {
    stage: "prove", gives: ["two turns done"], gate: "tick", turns: "two turns", cautions: ["Stop at the slightest resistance."],
    missing: [{ fact: "bank 1: tensioner released", by_rule: true, may_override: false, why: "a chain without its tensioner jumps" }],
  }),
  step(8, "Close the covers", { stage: "prove", gives: ["covers on"] }),
];

const card = (fastener, more) => ({
  fastener, take_new: false, use: "may be used again within the maker's limits", steps: [], order: "", asks: [], clamp_load: "", cautions: [], ...more });
const pass = (target, torque_Nm, angle_deg, wrench, no_wrench = []) => ({ target, torque_Nm, angle_deg, wrench, no_wrench });

export const work = {
  schema: "work/1",
  after_record: 1e9, // whatever the store holds, this rests on it
  why: "",
  procedure: {
    schema: "procedure/1", drive: "vessgarth-v6-12", invented: true, case: "vessgarth-bay-3",
    state: ["bank 1: chain on", "bank 2: chain off", "bank 1: tensioner pinned", "bank 1: phaser locked", "bank 2: phaser locked", "bank 1: camshaft held", "crank at reference", "covers off", "old parts laid out"],
    turning: { answer: "DO NOT TURN", because: "the chain of bank 2 is off" },
    next: ["Draw the caps down evenly", "Tighten the phaser bolts"],
    last_done: "Lay the chain on",
    open: [{ step: "Photograph the marks", entry: "e1", gate: "a photo", words: "\"Photograph the marks\" was entered without its photo: what it gives is shown by nothing" }],
    interrupted: { step: "Set the marks", entry: "e3", words: "set the marks from the beginning" },
    said: [],
    steps: steps.map((one) => (one.number === 3 ? { ...one, status: "interrupted", entry: "e3" } : one)),
  },
  fasteners: [
    card("camshaft cap bolts", {
      count: 20,
      steps: [pass("12 N·m (8.85 lbf·ft, 106 lbf·in)", 12, null, "take quarter-inch wrench", ["half-inch wrench: 12 N·m is below its range"])],
      order: `drawn from the pattern (numbered along one row, then along the other in the same direction), common practice; the engine maker's order comes first: ${[5, 15, 6, 16, 4, 14, 7, 17, 3, 13, 8, 18, 2, 12, 9, 19, 1, 11, 10, 20].join(", ")}`,
      asks: ["ask whether thread and head are oiled or dry: not in the definition"],
      clamp_load: "no clamp load shown: whether thread and head are oiled or dry is not known",
      cautions: ["106 lbf·in, not lbf·ft"],
    }),
    card("phaser bolt", {
      count: 2, take_new: true, use: "used once: fit new",
      steps: [pass("35 N·m (25.8 lbf·ft, 309 lbf·in)", 35, null, "no wrench of the list fits: borrow or buy one that does", ["quarter-inch wrench: 35 N·m is above its range"]), pass("then 75 deg further, seen from the wrench", null, 75, "")],
      cautions: ["an angle lost in the middle: new bolt, from the first step on"],
    }),
  ],
  parts: [
    { name: "bank 1 chain set", bank: 1, holds: ["chain of 124 links", "tensioner of bank 1 with gasket", "fixed guide", "tensioner arm"], does_not_hold: ["phaser", "phaser bolt"] },
    { name: "crank bolt", single_use: true },
  ],
};

// Every question for the work in this page is answered so; `told` may change between two questions.
export async function answer_work(page, told = { now: work }) {
  await page.route(/\/api\/(cases|drives)\/[^/]+\/work$/, (route) => route.fulfill({ json: told.now }));
  return told;
}
