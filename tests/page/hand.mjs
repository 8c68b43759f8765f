// SPDX-License-Identifier: Apache-2.0
// A hand that is counted: taps, letters, steps. A tap at two seconds and a letter at half a second
// are slow hands; reading the page of the manual is given a minute a step. From memory, no source.
export function hand_on(page) {
  const hand = { taps: 0, letters: 0, steps: 0 };
  const nth = (found, at) => (at < 0 ? found.last() : found.nth(at));
  hand.tap = async (name) => {
    ++hand.taps;
    await page.getByRole("button", { name, exact: true }).first().click();
  };
  // Of several fields of one name: in which row.
  hand.tap_in = async (group, name, row = 0) => {
    ++hand.taps;
    await nth(page.getByRole("group", { name: group, exact: true }), row).getByRole("button", { name, exact: true }).click();
  };
  // A piece beside the field that it is put into.
  hand.tap_by = async (label, name, row = 0) => {
    ++hand.taps;
    const field = nth(page.getByLabel(label, { exact: true }), row);
    await field.locator("..").getByRole("button", { name, exact: true }).click();
  };
  hand.type = async (label, text) => {
    ++hand.taps;
    hand.letters += text.length;
    await page.getByLabel(label, { exact: true }).first().fill(text);
  };
  hand.next = async (title) => {
    ++hand.taps;
    ++hand.steps;
    await page.getByRole("button", { name: /^(Next|Not in the manual: next)/ }).first().click();
    if (title) await page.getByRole("heading", { name: title, exact: true, level: 2 }).waitFor();
  };
  hand.seconds = () => 2 * hand.taps + 0.5 * hand.letters + 60 * hand.steps;
  return hand;
}
