// SPDX-License-Identifier: Apache-2.0
// The questions in the words of the caller, and what to have at hand.
import type { Key } from "../texts";
import type { Question } from "./says";

export const kTiles: Record<string, { says: Key; needs: Key }> = {
  turn: { says: "quick_turn", needs: "quick_turn_needs" },
  phase: { says: "quick_phase", needs: "quick_phase_needs" },
  marks: { says: "quick_marks", needs: "quick_marks_needs" },
  returns: { says: "quick_returns", needs: "quick_returns_needs" },
  links: { says: "quick_links", needs: "quick_links_needs" },
  teeth: { says: "quick_teeth", needs: "quick_teeth_needs" },
  clearance: { says: "quick_clearance", needs: "quick_clearance_needs" },
  chain: { says: "quick_chain", needs: "quick_chain_needs" },
  life: { says: "quick_life", needs: "quick_life_needs" },
  torque: { says: "quick_torque", needs: "quick_torque_needs" },
  bolt: { says: "quick_bolt", needs: "quick_bolt_needs" },
  pin: { says: "quick_pin", needs: "quick_pin_needs" },
  tensioner: { says: "quick_tensioner", needs: "quick_tensioner_needs" },
  convert: { says: "quick_convert", needs: "quick_convert_needs" },
  adapter: { says: "quick_adapter", needs: "quick_adapter_needs" },
  "dead-center": { says: "quick_dead_center", needs: "quick_dead_center_needs" },
  centerline: { says: "quick_centerline", needs: "quick_centerline_needs" },
};

// As they are asked most; what this page does not know comes last.
export function tile_order(questions: Question[]): Question[] {
  const order = Object.keys(kTiles);
  const place = (question: Question) => {
    const at = order.indexOf(question.name);
    return at < 0 ? order.length : at;
  };
  return [...questions].sort((a, b) => place(a) - place(b));
}
