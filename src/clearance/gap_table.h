// SPDX-License-Identifier: Apache-2.0
// The least gap of one valve over a whole cycle, chain on, for a camshaft that is so many crank
// degrees early (positive) or late: by error in teeth and by place of the phaser.
//
//   c_min(eps) = min over theta of c(s(theta), L(theta + eps))     geometry.md 7.1
//   d c_min / d eps = -L'(theta* + eps)                            the envelope rule
//
// Uncertainty is carried linearly, each sign the worst, at the coverage the inputs are stated with:
//   U = (cos γ or 1 / cos γ) (U_deck + U_gasket) + U_recession + U_lift, and the phase by the
//   largest lift within +- U_phase of every angle (never less than |L'| U_phase).
// "No contact expected" only where gap - U keeps the required minimum, for floor, wall and the
// other valve; nothing missing, and the lift no assumption. All 720 crank degrees are looked at.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "clearance/gap.h"
#include "clearance/valve_pair.h"

namespace tautmark::clearance {

// Half widths, not negative. A gap measured on this engine holds deck, gasket and recession.
struct GapUncertainty {
  std::optional<Length> measured_gap{};  // of c0 itself; then the next three are not asked
  std::optional<Length> deck{};          // along the bore
  std::optional<Length> gasket{};        // along the bore
  std::optional<Length> recession{};     // along the valve
  std::optional<Length> lift{};
  std::optional<CrankAngle> phase{};  // camshaft against crankshaft
  std::optional<Length> sides{};      // of the gap to the pocket wall
};

struct OtherValve {
  ValvePair heads{};  // a: this valve, b: the other one
  std::shared_ptr<const LiftCurve> lift{};
  std::vector<CrankAngle> early{};      // where the other camshaft may stand; all are looked at
  std::optional<Length> uncertainty{};  // of the way, with that of the other one's lift
};

// What is known of one valve. `top` of EngineValve is of no use here: every angle is that of the
// cylinder's own cycle.
struct ValveInputs {
  std::string name{};
  std::optional<Slider> slider{};
  std::shared_ptr<const LiftCurve> lift{};  // null: not known
  bool lift_is_assumed = false;             // a law instead of the maker's or a measured curve
  std::optional<Angle> inclination{};
  std::optional<bool> flat_crown{};
  std::optional<Length> gap_shut{};
  std::optional<Length> wall_height{};
  std::optional<PocketSides> sides{};
  std::optional<OtherValve> other{};  // no other valve can be near: see no_other_valve
  bool no_other_valve = false;
  GapUncertainty uncertainty{};
  std::optional<Length> required{};        // of floor or crown
  std::optional<Length> required_sides{};  // of wall and of the other valve; empty: `required`
};

// Names in the words of the shop, "piston gap (valve shut, top dead center)"; in a fixed order.
std::vector<std::string> missing_for_gap(const ValveInputs& inputs);    // no gap without these
std::vector<std::string> missing_for_proof(const ValveInputs& inputs);  // nor "no contact expected"
// Empty while missing_for_gap() names something. Takes off the uncertainty of everything but the
// phase, and nothing for what is missing; `required_sides` beyond `required` is taken off the wall.
std::optional<EngineValve> engine_valve(const ValveInputs& inputs, CrankAngle top);

enum class Contact { expected, below_required, not_known, none_expected };

struct LeastGap {
  Length least{};
  CrankAngle at{};  // of the cycle
  Nearest nearest = Nearest::floor;
};
// Floor or crown and wall each for itself; the uncertainty of the phase is `within`.
LeastGap least_axial(const EngineValve& valve, CrankAngle early, CrankAngle within = {});
std::optional<LeastGap> least_wall(const EngineValve& valve, CrankAngle early,
                                   CrankAngle within = {});

// How early or late (sign of `towards`) the camshaft must be until the axial gap has fallen to
// `level`; empty when it does not within a whole cycle.
std::optional<CrankAngle> phase_at_gap(const EngineValve& valve, Length level, bool towards_early);
// ceil(|eps| N / 720)
int teeth_to_contact(CrankAngle phase, int cam_teeth);

struct TableCell {
  double teeth = 0;     // of the camshaft sprocket, positive early
  CrankAngle phaser{};  // positive early
  Contact contact = Contact::not_known;
  std::optional<Length> axial{};        // the gap to floor or crown as computed
  std::optional<Length> uncertainty{};  // of it
  std::optional<Length> wall{};
  std::optional<Length> other{};
  CrankAngle at{};                     // of the nearest part
  Nearest nearest = Nearest::floor;    // what has least to spare over what it must have
  std::optional<Length> spare{};       // least of gap - U - required; below 0: not proven
  std::vector<std::string> missing{};  // why it is not known
};

TableCell gap_cell(const ValveInputs& inputs, double teeth, CrankAngle phaser, int cam_teeth);
// Every place of the phaser for every error, errors from `first` to `last`.
std::vector<TableCell> gap_table(const ValveInputs& inputs, int first, int last,
                                 const std::vector<CrankAngle>& phaser, int cam_teeth);

}  // namespace tautmark::clearance
