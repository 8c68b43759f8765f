// SPDX-License-Identifier: Apache-2.0
#include "drive/measurand.h"

#include <algorithm>
#include <iterator>

namespace tautmark {
namespace {

constexpr Kind kLength[] = {Kind::length};
constexpr Kind kRatio[] = {Kind::ratio};
constexpr Kind kTime[] = {Kind::time};
constexpr Kind kLengthOrRatio[] = {Kind::length, Kind::ratio};
constexpr Kind kCrankAngle[] = {Kind::crank_angle};
constexpr Kind kPressure[] = {Kind::pressure};
constexpr Kind kAngleOrLength[] = {Kind::cam_angle, Kind::length};

constexpr double kDegree = kRadiansPerDegree;

constexpr MeasurandInfo kTable[] = {
    {Measurand::journal_diameter, "journal diameter", PlaceType::journal, kLength, true, 8e-3,
     120e-3, "micrometer, two directions at 90°, off the oil hole, three readings each"},
    {Measurand::bore_diameter, "bore diameter", PlaceType::journal, kLength, true, 8e-3, 120e-3,
     "caps in their own place at full torque; bore gauge, two directions, not at the parting line, "
     "three readings each"},
    {Measurand::journal_clearance, "journal clearance", PlaceType::journal, kLength, true, 0,
     0.6e-3,
     "bore minus journal; a plastic strip (camshaft not turned, cap torqued) only confirms"},
    {Measurand::journal_out_of_round, "journal out-of-round", PlaceType::journal, kLength, false, 0,
     0.5e-3, "largest minus smallest diameter of one journal, four directions or more"},
    {Measurand::journal_taper, "journal taper", PlaceType::journal, kLength, false, 0, 0.5e-3,
     "difference of the diameters at the two ends of one journal"},
    {Measurand::end_play, "end play", PlaceType::camshaft, kLength, true, 0, 2e-3,
     "dial indicator on the camshaft nose, push and pull, three readings"},
    {Measurand::chain_length, "chain length", PlaceType::chain, kLength, true, 20e-3, 3,
     "chain pulled straight; caliper from pin to pin over a counted number of links, three places"},
    {Measurand::chain_elongation, "chain elongation", PlaceType::chain, kRatio, false, -0.01, 0.05,
     "from the chain length over a counted number of links"},
    {Measurand::groove_depth, "groove depth", PlaceType::guide, kLength, true, 0, 8e-3,
     "depth gauge in the groove worn by the chain, three places"},
    {Measurand::lock_play, "lock play", PlaceType::phaser, kAngleOrLength, true, 0, 10 * kDegree,
     "phaser locked, camshaft held at its flats; dial on the rim at a known radius, light torque "
     "both ways, three readings"},
    {Measurand::sink_time, "sink time", PlaceType::tensioner, kTime, true, 0.01, 3600,
     "tensioner primed with the specified oil; time to sink the stated way under the stated force, "
     "three readings"},
    {Measurand::tensioner_extension, "tensioner extension", PlaceType::tensioner, kLength, true, 0,
     80e-3, "depth gauge or photo with a ruler, before the tensioner is relieved"},
    {Measurand::tensioner_stroke_left, "tensioner stroke left", PlaceType::tensioner,
     kLengthOrRatio, false, -0.2, 1, "from the extension in place and the stroke"},
    {Measurand::phase_scatter, "phase scatter", PlaceType::camshaft, kCrankAngle, false, 0,
     60 * kDegree,
     "standard deviation of the actual cam angle at constant command, ten samples or more"},
    {Measurand::phase_peak_to_peak, "phase peak to peak", PlaceType::camshaft, kCrankAngle, false,
     0, 120 * kDegree, "largest less smallest actual cam angle at constant command"},
    {Measurand::bolt_length, "bolt length", PlaceType::fastener, kLength, true, 5e-3, 0.6,
     "bolt out and clean; caliper over the length that the maker gives, three readings"},
    {Measurand::bolt_diameter, "bolt diameter", PlaceType::fastener, kLength, true, 2e-3, 40e-3,
     "micrometer where the bolt is thinnest, along the shank and in the free thread, three "
     "readings"},
    {Measurand::compression, "compression", PlaceType::cylinder, kPressure, true, 0, 8e6,
     "engine warm, every plug out, throttle open, spark and fuel off, same number of strokes each"},
    {Measurand::leak_down, "leak-down", PlaceType::cylinder, kRatio, true, 0, 1,
     "this cylinder at its firing dead center with its valves shut as the camshafts really stand; "
     "crank held, tool off the bolt, stand clear"},
    {Measurand::center_line_error, "center line error", PlaceType::camshaft, kCrankAngle, false,
     -360 * kDegree, 360 * kDegree,
     "zero of the wheel by a positive stop; then lift of a valve by a dial indicator against the "
     "wheel, turning forward only"},
};
static_assert(std::size(kTable) == std::size(ChoiceNames<Measurand>::names));

}  // namespace

std::string_view place_type_name(PlaceType type) {
  switch (type) {
    case PlaceType::journal:
      return "journal";
    case PlaceType::camshaft:
      return "camshaft";
    case PlaceType::phaser:
      return "phaser";
    case PlaceType::chain:
      return "chain";
    case PlaceType::tensioner:
      return "tensioner";
    case PlaceType::guide:
      return "guide";
    case PlaceType::oil_port:
      return "port";
    case PlaceType::fastener:
      return "fastener";
    case PlaceType::cylinder:
      return "cylinder";
  }
  return "";
}

const MeasurandInfo& measurand_info(Measurand measurand) {
  return kTable[static_cast<std::size_t>(measurand)];
}

std::span<const MeasurandInfo> all_measurands() { return kTable; }

bool accepts_kind(const MeasurandInfo& info, Kind kind) {
  return std::find(info.kinds.begin(), info.kinds.end(), kind) != info.kinds.end();
}

}  // namespace tautmark
