// SPDX-License-Identifier: Apache-2.0
#include "clearance/phase_explained.h"

#include <fmt/format.h>

#include <cmath>

namespace tautmark::clearance {
namespace {

constexpr int kFewestTeeth = 6;

std::vector<TeethAndRest> fitting(const MeasuredPhase& phase, CrankAngle early, CrankAngle tooth) {
  const CrankAngle slack = phase.wheel_error + phase.U;
  const double least = (early - phase.wear_most - slack) / tooth;
  const double most = (early - phase.wear_least + slack) / tooth;
  std::vector<TeethAndRest> out;
  for (int k = static_cast<int>(std::ceil(least)); k <= most; ++k)
    out.push_back({k, early - k * tooth});
  return out;
}

std::string angle_words(CrankAngle early) {
  const double size = std::abs(in_crank_deg(early));
  if (size < 0.05) return "0.0° (crank)";
  return fmt::format("{:.1f}° {} (crank), {:.1f}° cam", size, early.si() < 0 ? "late" : "early",
                     size / 2);
}

std::string teeth_words(const TeethAndRest& one) {
  const int size = std::abs(one.teeth_early);
  if (size == 0) return "no tooth";
  return fmt::format("{} {} {}", size, size == 1 ? "tooth" : "teeth",
                     one.teeth_early < 0 ? "late" : "early");
}

std::string split_words(const TeethAndRest& one) {
  return teeth_words(one) + " and " + angle_words(one.rest);
}

std::string words_for(const MeasuredPhase& phase, const PhaseExplanation& out) {
  const std::string measured = angle_words(phase.early);
  switch (out.cause) {
    case PhaseCause::no_tooth:
      return measured + ": no tooth is off; wear and the zero of the reading explain it";
    case PhaseCause::jumped:
      return fmt::format("{}: {} of wear and zero, with one tooth {:.2f}° crank", measured,
                         split_words(out.fitting.front()), in_crank_deg(out.tooth));
    case PhaseCause::cannot_choose: {
      std::string both;
      for (const TeethAndRest& one : out.fitting)
        both += (both.empty() ? "" : ", or ") + split_words(one);
      return fmt::format("{}: cannot choose between {}. Measure closer, or count links", measured,
                         both);
    }
    case PhaseCause::unexplained:
      break;
  }
  return fmt::format(
      "{}: {:.2f} of a tooth ({:.2f}° crank), and no whole number of teeth with the wear expected "
      "explains it. Look at phaser lock, sprocket joint or key, and trigger wheel{}",
      measured, std::abs(phase.early / out.tooth), in_crank_deg(out.tooth),
      out.fits_as_cam_degrees ? "; and ask whether the number was cam degrees: then it would fit"
                              : "");
}

Result<void> check_phase(const MeasuredPhase& phase) {
  if (phase.cam_teeth < kFewestTeeth)
    return refuse(fmt::format("a camshaft sprocket has {} teeth or more", kFewestTeeth));
  for (const CrankAngle angle :
       {phase.early, phase.U, phase.wear_least, phase.wear_most, phase.wheel_error})
    if (!(std::abs(in_crank_deg(angle)) <= 720))
      return refuse("a phase and what explains it are angles within a cycle");
  if (phase.U.si() < 0 || phase.wheel_error.si() < 0)
    return refuse("an uncertainty cannot be negative");
  if (phase.wear_least > phase.wear_most)
    return refuse("the range of the wear is the wrong way round: late is the lower end");
  return {};
}

}  // namespace

Result<PhaseExplanation> explain_phase(const MeasuredPhase& phase) {
  if (const auto fine = check_phase(phase); !fine) return tl::make_unexpected(fine.error());
  PhaseExplanation out{.tooth = crank_deg(720.0 / phase.cam_teeth)};
  const int k = static_cast<int>(std::lround(phase.early / out.tooth));
  out.nearest = {k, phase.early - k * out.tooth};
  out.fitting = fitting(phase, phase.early, out.tooth);
  if (out.fitting.size() > 1)
    out.cause = PhaseCause::cannot_choose;
  else if (out.fitting.size() == 1)
    out.cause = out.fitting.front().teeth_early == 0 ? PhaseCause::no_tooth : PhaseCause::jumped;
  else
    out.fits_as_cam_degrees = !fitting(phase, 2 * phase.early, out.tooth).empty();
  out.words = words_for(phase, out);
  return out;
}

}  // namespace tautmark::clearance
