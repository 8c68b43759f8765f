// SPDX-License-Identifier: Apache-2.0
// The oil network of one engine as fitted to its gauges, of oil/1 (docs/oil.md).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "judge/circuit_middle.h"
#include "judge/reference_reading.h"
#include "judge/wear_told.h"

namespace tautmark {

// {"condition", "oil", "explained", "places", "ways", "bank", "options", "choice", "highest",
// "measure_next", "left_out", "from_others", "curve", "gauges", "journals", "assumed", "evidence"}.
// Pressures in kPa, flows in L/min, clearances in mm; each with its 95 % range.
nlohmann::ordered_json network_json(const OilTold& told);

// The same engine with the clearances that a slider asks for: {"places": [kPa], "ways": [L/min],
// "authority"} in the order of `network_json`.
nlohmann::ordered_json solved_json(const CircuitSolved& solved);

// {"place", "kPa", "U_kPa", "entry"}
nlohmann::ordered_json gauge_json(const GaugeRead& read);

// {"likely": [names], "said", "next", ...}: whose wear explains the gauges.
nlohmann::ordered_json wear_json(const WearTold& told);

// {"port", "speed_per_min", "oil", "limit": [{"degC", "kPa", "indicative"}], "points"}.
nlohmann::ordered_json chart_json(const PressureChart& chart);

// "below the limit of the port", of a forecast.
std::string means_of(oil::ForecastAgainst pressure);
// "1.3 (1.0 to 1.7), slow that way", in words of the bands; of none, what is missing.
std::string_view slew_words(oil::SlewState state);
std::string authority_words(const std::optional<oil::Authority>& authority);

}  // namespace tautmark
