// SPDX-License-Identifier: Apache-2.0
// What the gauges of an engine told through its oil network, as drawings.
#pragma once

#include <string>

#include "draw/authority_curve.h"
#include "draw/oil_circuit.h"
#include "draw/pressure_chart.h"
#include "drive/load.h"
#include "judge/circuit_middle.h"
#include "judge/reference_reading.h"

namespace tautmark {

// As fitted to the gauges: with ranges, what they read, and the limits that hold there.
CircuitDrawing circuit_drawing_of(const LoadedDrive& loaded, const OilTold& told);
// With other clearances of journals: no gauge has read that.
CircuitDrawing circuit_drawing_of(const LoadedDrive& loaded, const OilTold& told,
                                  const CircuitSolved& solved,
                                  std::span<const KnownClearance> asked);

AuthorityDrawing authority_drawing_of(const LoadedDrive& loaded, const OilTold& told,
                                      const AuthorityCurve& curve);
PressureDrawing pressure_drawing_of(const LoadedDrive& loaded, const PressureChart& chart);

}  // namespace tautmark
