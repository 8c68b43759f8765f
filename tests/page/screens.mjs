// SPDX-License-Identifier: Apache-2.0
// Every screen there is, as a user sees it with the demonstration cases in the practice store.
// `ready` waits for what shows that it is complete.
export const screens = [
  { name: "first", at: "#/" },
  { name: "cases", at: "#/practice/cases", ready: "text=vessgarth" },
  ...["complaint", "tests", "open", "measure", "decide", "assemble", "prove", "hand-over"].map((stage) => ({
    name: `case-${stage}`,
    at: `#/practice/case/vessgarth-bay-3/${stage}`,
    ready: "main h2",
  })),
  { name: "about", at: "#/practice/about/vessgarth-bay-3", ready: "form.entry" },
  { name: "enter-reading", at: "#/practice/enter/vessgarth-bay-3/reading" },
  { name: "enter-state", at: "#/practice/enter/vessgarth-bay-3/state" },
  { name: "enter-pressure", at: "#/practice/enter/vessgarth-bay-3/pressure" },
  { name: "enter-marks", at: "#/practice/enter/vessgarth-bay-3/marks" },
  { name: "enter-decision", at: "#/practice/enter/vessgarth-bay-3/decision" },
  { name: "enter-attachment", at: "#/practice/enter/vessgarth-bay-3/attachment" },
  { name: "enter-photo", at: "#/practice/enter/vessgarth-bay-3/photo", ready: ".taking" },
  { name: "count", at: "#/practice/count/vessgarth-bay-3", ready: 'input[type="file"]' },
  { name: "case-history", at: "#/practice/case/vessgarth-bay-3/history", ready: ".entries" },
  { name: "turn", at: "#/practice/turn/vessgarth-bay-3", ready: "svg" },
  { name: "recordings", at: "#/practice/recording/vessgarth-bay-3", ready: "canvas, svg" },
  { name: "recording", at: "#/practice/recording/vessgarth-bay-3?file=recordings/cold-start.csv", ready: ".phases svg" },
  { name: "work", at: "#/practice/case/vessgarth-bay-3/work", ready: ".step_now" },
  { name: "work-tighten", at: "#/practice/case/vessgarth-bay-3/work?step=Tighten%20the%20phaser%20bolts", ready: ".tighten" },
  { name: "work-all", at: "#/practice/case/vessgarth-bay-3/work?see=all", ready: ".step_list" },
  { name: "work-parts", at: "#/practice/case/vessgarth-bay-3/work?see=parts", ready: ".set_box" },
  { name: "coverage", at: "#/coverage", ready: ".coverage" },
  { name: "work-drive", at: "#/drive/vessgarth-v6-12/work", ready: ".step_now" },
  { name: "quick", at: "#/quick" },
  { name: "quick-turn", at: "#/quick/turn" },
  { name: "quick-clearance", at: "#/quick/clearance" },
  { name: "drives", at: "#/drives", ready: "text=Vessgarth" },
  { name: "drive", at: "#/drive/vessgarth-v6-12", ready: "text=Vessgarth" },
  { name: "author", at: "#/drive/vessgarth-v6-12/author?step=Set%20the%20marks", ready: ".author_states" },
  { name: "beside", at: "#/drive/vessgarth-v6-12/beside?with=vessgarth-v6-12-tall", ready: ".beside" },
  { name: "new-engine", at: "#/new-engine" },
];

// Those of a shop that is shared (shared.mjs), as a stranger, a paired tablet or the manager sees them.
export const door_screens = [
  { name: "login", at: "#/login", as: "stranger", ready: "form" },
  { name: "login-pin", at: "#/login", as: "tablet", ready: ".door-pad" },
  { name: "pair", at: "#/pair", as: "stranger", ready: "form" },
  { name: "people", at: "#/people", as: "manager", ready: "text=tablet bay 3" },
];

export async function shown(page, server, screen) {
  // Leaving the page first makes every screen begin anew.
  await page.goto("about:blank");
  await page.goto(server.url + screen.at);
  await is_complete(page, screen);
}

// Turned to in the page that is open, as by a link: a third of the time.
export async function turned_to(page, screen) {
  await page.evaluate((at) => { location.hash = at; }, "#/nowhere");
  await page.waitForTimeout(50);
  await page.evaluate((at) => { location.hash = at; }, screen.at);
  await is_complete(page, screen);
}

async function is_complete(page, screen) {
  await page.waitForSelector("main");
  if (screen.ready) await page.waitForSelector(screen.ready, { timeout: 15000 });
  // What was asked of the program is there when nothing says that it is awaited.
  await page.waitForFunction(
    () => !/Asking the program|Frage das Programm/.test(document.body.textContent), null, { timeout: 15000 });
  await page.waitForTimeout(100);
}
