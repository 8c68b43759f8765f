// SPDX-License-Identifier: Apache-2.0
// One function per check; each has a file of its own name in this folder and a row in table.cc.
#pragma once

#include <string_view>
#include <vector>

#include "judge/check.h"

namespace tautmark::checks {

std::vector<Finding> journal_diameter(const CheckInput& input);
std::vector<Finding> bolt_diameter(const CheckInput& input);
std::vector<Finding> bolt_length(const CheckInput& input);
std::vector<Finding> bore_diameter(const CheckInput& input);
std::vector<Finding> journal_clearance(const CheckInput& input);
std::vector<Finding> journal_out_of_round(const CheckInput& input);
std::vector<Finding> journal_taper(const CheckInput& input);
std::vector<Finding> end_play(const CheckInput& input);
std::vector<Finding> chain_elongation(const CheckInput& input);
std::vector<Finding> groove_depth(const CheckInput& input);
std::vector<Finding> lock_play(const CheckInput& input);
std::vector<Finding> sink_time(const CheckInput& input);
std::vector<Finding> tensioner_stroke_left(const CheckInput& input);
std::vector<Finding> link_counts(const CheckInput& input);
std::vector<Finding> marks_seen(const CheckInput& input);
inline constexpr std::string_view kAsPutTogether = "camshafts as put together";
std::vector<Finding> cam_timing(const CheckInput& input);
std::vector<Finding> timing_meaning(const CheckInput& input);
std::vector<Finding> phaser_behaviour(const CheckInput& input);
std::vector<Finding> no_codes(const CheckInput& input);
std::vector<Finding> sensor_signals(const CheckInput& input);
std::vector<Finding> top_dead_center(const CheckInput& input);
std::vector<Finding> lobe_center(const CheckInput& input);
std::vector<Finding> compression(const CheckInput& input);
std::vector<Finding> leak_down(const CheckInput& input);
std::vector<Finding> phase_stability(const CheckInput& input);
std::vector<Finding> oil_pressure(const CheckInput& input);
std::vector<Finding> pressure_at_reference(const CheckInput& input);
std::vector<Finding> oil_in_it_found(const CheckInput& input);
std::vector<Finding> head_pressure(const CheckInput& input);
std::vector<Finding> oil_wear(const CheckInput& input);
std::vector<Finding> phaser_again(const CheckInput& input);
std::vector<Finding> phaser_oil(const CheckInput& input);
std::vector<Finding> phaser_slew(const CheckInput& input);
std::vector<Finding> tensioner_oil(const CheckInput& input);
std::vector<Finding> torque_trace(const CheckInput& input);
std::vector<Finding> fastener_reuse(const CheckInput& input);
std::vector<Finding> parts_fit(const CheckInput& input);
std::vector<Finding> procedure_gates(const CheckInput& input);
std::vector<Finding> readings_plausible(const CheckInput& input);
std::vector<Finding> what_if_clearance(const CheckInput& input);
std::vector<Finding> what_if_head_pressure(const CheckInput& input);
std::vector<Finding> what_if_hot(const CheckInput& input);
std::vector<Finding> what_if_worn_timing(const CheckInput& input);
std::vector<Finding> what_if_worn_stroke(const CheckInput& input);

}  // namespace tautmark::checks
