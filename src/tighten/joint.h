// SPDX-License-Identifier: Apache-2.0
// Torque plus angle: how stiff bolt and clamped parts are, and where the step ends on the bolt's
// elastic-plastic line.
//
//   dF/dθ = (P/360°) / (δ_S + δ_P)                 clamp load per degree after snug, elastic
//   F_y   = A_s R_p0.2 / √(1 + 3 t²)               onset of yield while the thread is turned
//   F     = F_y + (θ - θ_y)(P/360°) / (δ_S + δ_P + 1/K_p)          beyond it
//   K_p   = (F_u - F_y) / (e_u L_p),  L_p = l_Gew + 0.5 d
//
//   δ_S  compliance of the bolt    δ_P  of the clamped parts     e_u  uniform strain of the bolt
//   F_u  as F_y with R_m           l_Gew free loaded thread      t    torsion share, preload.h
//
// Validity: one bolt, concentric, linear contact; from a snug point on. Real joints are 10 to 40 %
// softer in the toe. e_u = 0.04, bilinear hardening and L_p are assumptions. Source: VDI 2230
// part 1, cylinder model (from memory); fasteners.md 4.1 and 4.2. What comes out may raise caution
// or say that a bolt yields; it never approves a joint.
#pragma once

#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "tighten/preload.h"

namespace tautmark::tighten {

enum class Counterpart { nut, tapped_hole };
enum class HeadForm { hexagon, socket };

// A plain or waisted piece of the shank.
struct ShankPiece {
  Length length{}, diameter{};
};

struct Joint {
  Thread thread{};
  Strength strength{};
  Friction friction{};
  BearingFace face{};
  HeadForm head = HeadForm::hexagon;
  std::vector<ShankPiece> shank{};  // between head and thread
  Length free_thread{};             // l_Gew
  Counterpart counterpart = Counterpart::tapped_hole;
  Length clamped{};       // l_K
  Length sleeve_outer{};  // D_A of the clamped part
  Pressure bolt_modulus = Pressure::from_si(205e9);
  Pressure clamped_modulus{};      // E_P
  Pressure counterpart_modulus{};  // E_M
  double uniform_strain = 0.04;
};

// In m/N.
struct Compliance {
  double head = 0, shank = 0, free_thread = 0, engaged = 0, counterpart = 0;
  double parts = 0;
  [[nodiscard]] double bolt() const { return head + shank + free_thread + engaged + counterpart; }
};
// Refuses a size that is not positive, a clamped length of another length than shank and thread
// together, a sleeve no wider than its hole.
Result<Compliance> compliance(const Joint& joint);

struct TightenedBy {
  Torque snug{};
  Angle angle{};
};

struct Tightened {
  Force at_snug{}, preload{};
  Torque end_torque{};
  Force per_degree{};  // elastic slope
  Torque torque_per_degree{};
  Force yield{}, ultimate{};  // F_y, F_u
  Angle to_yield{};           // from snug; negative: snug is beyond it already
  Length plastic{};           // u_p: what the bolt stays longer by, as a length check finds it
  double plastic_strain = 0;  // u_p / L_p
  bool yields = false;
  double of_strain = 0;  // plastic strain over e_u: 1 is where the bolt begins to neck
};
// Refused as compliance(), for a snug torque or an angle that is negative or not finite, and for a
// snug torque that alone goes beyond F_u.
Result<Tightened> tightened(const Joint& joint, const TightenedBy& step);

}  // namespace tautmark::tighten
