// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_sizes.h"

#include <fmt/format.h>

#include "drive/lint.h"

namespace tautmark {
namespace {

constexpr double kMillimeter = 1e-3;
constexpr double kCelsius = 273.15;
constexpr double kTurn = 360 * kRadiansPerDegree;

// In SI. Common practice, no source; wide on purpose.
struct Size {
  double lower;
  double upper;
};
constexpr Size kBore{10 * kMillimeter, 1.2};
constexpr Size kStroke{10 * kMillimeter, 4};
constexpr Size kRod{15 * kMillimeter, 6};
constexpr Size kPinOffset{-50 * kMillimeter, 50 * kMillimeter};
constexpr Size kBankAngle{0, kTurn / 2};
constexpr Size kPitch{2 * kMillimeter, 0.2};
constexpr Size kTensionerStroke{0.5 * kMillimeter, 0.4};
constexpr Size kRatchetStep{0.05 * kMillimeter, 50 * kMillimeter};
constexpr Size kPhaserRange{0, kTurn / 2};
constexpr Size kOilFill{10e-6, 100};
constexpr Size kWay{0.05 * kMillimeter, 0.2};
constexpr Size kForce{0.1, 100e3};
constexpr Size kTorque{0.05, 100e3};
constexpr Size kTightening{0.5 * kRadiansPerDegree, 3 * kTurn};
constexpr Size kPressure{0, 5e6};
constexpr Size kSpeed{0, 30000.0 / 60};
constexpr Size kLift{0.3 * kMillimeter, 0.15};
constexpr Size kDuration{60 * kRadiansPerDegree, kTurn * 5 / 4};
constexpr Size kRocker{0.4, 4};
constexpr Size kHead{5 * kMillimeter, 0.6};
constexpr Size kRim{0.2 * kMillimeter, 60 * kMillimeter};
constexpr Size kMargin{0.1 * kMillimeter, 20 * kMillimeter};
constexpr Size kSpring{5, 50e3};
constexpr Size kVane{2 * kMillimeter, 0.2};
constexpr Size kPin{1 * kMillimeter, 30 * kMillimeter};
constexpr Size kPinForce{0.05, 500};
constexpr Size kCamTorque{-50, 200};
constexpr Size kControlBand{0, 20 * kRadiansPerDegree};
constexpr Size kPlunger{3 * kMillimeter, 80 * kMillimeter};
constexpr Size kPlungerGap{1e-6, 1 * kMillimeter};
constexpr Size kFeedHole{0.1 * kMillimeter, 20 * kMillimeter};
constexpr Size kOilTemperature{kCelsius - 60, kCelsius + 250};

bool is_inside(double value, const Size& size) {
  return value >= size.lower && value <= size.upper;
}

void refuse(LintReport& report, const std::string& path, const std::string& text,
            std::string_view what) {
  report.error(path,
               fmt::format("{} cannot be {} of any piston engine: is the unit right?", text, what));
}

template <class Q>
void check(LintReport& report, const std::string& path, const std::optional<Written<Q>>& value,
           const Size& size, std::string_view what) {
  if (value && !is_inside(value->value.si(), size)) refuse(report, path, value->text, what);
}

template <class Q>
void check(LintReport& report, const std::string& path, const std::optional<WrittenRange<Q>>& range,
           const Size& size, std::string_view what) {
  if (!range) return;
  for (const auto& end : {range->lower, range->upper}) {
    if (!end || is_inside(end->si(), size)) continue;
    refuse(report, path, range->text, what);
    return;
  }
}

void check_chain(LintReport& report, const Chain& chain, const std::string& path) {
  check(report, path + ".pitch", chain.pitch, kPitch, "the pitch");
  if (!chain.tensioner) return;
  check(report, path + ".tensioner.stroke", chain.tensioner->stroke, kTensionerStroke,
        "a tensioner's stroke");
  check(report, path + ".tensioner.ratchet_step", chain.tensioner->ratchet_step, kRatchetStep,
        "a ratchet step");
}

void check_lobe(LintReport& report, const Lobe& lobe, const std::string& path) {
  check(report, path + ".lift", lobe.lift, kLift, "the lift of a valve");
  check(report, path + ".duration", lobe.duration, kDuration, "the duration of a lobe");
  check(report, path + ".ratio", lobe.ratio, kRocker, "the ratio of a rocker");
  if (lobe.lift && lobe.lift->value.si() > kMostProvenLift.si() &&
      lobe.lift->value.si() <= kLift.upper)
    report.warning(path + ".lift",
                   fmt::format("a lift of {} counts as not proven: more than 30 mm is rare. Is the "
                               "unit right?",
                               lobe.lift->text));
}

void check_valves(LintReport& report, const Valves& valves, const std::string& path) {
  if (valves.lobe) check_lobe(report, *valves.lobe, path + ".lobe");
  check(report, path + ".head_diameter", valves.head_diameter, kHead, "the head of a valve");
  check(report, path + ".head_thickness", valves.head_thickness, kRim, "the rim of a valve");
  check(report, path + ".pocket_diameter", valves.pocket_diameter, kHead, "a pocket");
  check(report, path + ".margin", valves.margin, kMargin, "a least gap");
  check(report, path + ".margin_between", valves.margin_between, kMargin, "a least gap");
  check(report, path + ".spring_shut", valves.spring_shut, kSpring, "a valve spring");
  check(report, path + ".spring_open", valves.spring_open, kSpring, "a valve spring");
  if (valves.gap_at_top && valves.gap_at_top->value.value.si > kMostProvenGap.si())
    report.warning(path + ".gap_at_top",
                   fmt::format("a gap of {} counts as not proven: more than 20 mm at a dead center "
                               "is rare. Is the unit right?",
                               valves.gap_at_top->text));
}

void check_oil(LintReport& report, const Oil& oil) {
  check(report, "oil.fill", oil.fill, kOilFill, "the oil filling");
  for (std::size_t i = 0; i < oil.pressures.size(); ++i) {
    const PressureLimit& limit = oil.pressures[i];
    const std::string path = fmt::format("oil.pressures[{}]", i);
    check(report, path + ".speed", limit.speed, kSpeed, "a speed");
    check(report, path + ".oil_temperature", limit.oil_temperature, kOilTemperature,
          "an oil temperature");
    const AnyInterval& value = limit.limit.value;
    if (value.kind != Kind::pressure) continue;
    for (const auto& end : {value.lower_si, value.upper_si}) {
      if (!end || is_inside(*end, kPressure)) continue;
      refuse(report, path + ".limit", limit.limit.text, "an oil pressure");
      break;
    }
  }
}

void check(LintReport& report, const std::string& path, const std::optional<WrittenMeasured>& value,
           const Size& size, std::string_view what) {
  if (value && !is_inside(value->value.value.si, size)) refuse(report, path, value->text, what);
}

void check_phaser(LintReport& report, const Phaser& phaser, const std::string& path) {
  check(report, path + ".range", phaser.range, kPhaserRange, "a phaser's range");
  check(report, path + ".vane_inner", phaser.vane_inner, kVane, "the foot of a vane");
  check(report, path + ".vane_outer", phaser.vane_outer, kVane, "the tip of a vane");
  check(report, path + ".vane_width", phaser.vane_width, kVane, "the width of a vane");
  check(report, path + ".cam_torque", phaser.cam_torque, kCamTorque, "the torque of a camshaft");
  check(report, path + ".bias_spring", phaser.bias_spring, kCamTorque, "a phaser's bias spring");
  check(report, path + ".friction", phaser.friction, {0, kCamTorque.upper}, "a phaser's friction");
  check(report, path + ".pin_diameter", phaser.pin_diameter, kPin, "a lock pin");
  check(report, path + ".pin_force", phaser.pin_force, kPinForce, "the spring of a lock pin");
  check(report, path + ".control_band", phaser.control_band, kControlBand, "a dead band");
  if (phaser.vane_inner && phaser.vane_outer &&
      phaser.vane_inner->value >= phaser.vane_outer->value)
    report.error(path + ".vane_inner",
                 fmt::format("the foot of a vane at {} lies outside its tip at {}",
                             phaser.vane_inner->text, phaser.vane_outer->text));
  if (phaser.control_band && phaser.range && phaser.control_band->value >= phaser.range->value)
    report.error(path + ".control_band",
                 fmt::format("a dead band of {} is all of its range, {}", phaser.control_band->text,
                             phaser.range->text));
}

void check_oil_of(LintReport& report, const Tensioner& tensioner, const std::string& path) {
  check(report, path + ".plunger_diameter", tensioner.plunger_diameter, kPlunger, "a plunger");
  check(report, path + ".plunger_clearance", tensioner.plunger_clearance, kPlungerGap,
        "the clearance of a plunger");
  check(report, path + ".feed_hole", tensioner.feed_hole, kFeedHole,
        "the feed hole of a tensioner");
  if (tensioner.feed_hole && tensioner.plunger_diameter &&
      tensioner.feed_hole->value >= tensioner.plunger_diameter->value)
    report.error(path + ".feed_hole",
                 fmt::format("a feed hole of {} is as wide as the plunger, {}",
                             tensioner.feed_hole->text, tensioner.plunger_diameter->text));
}

}  // namespace

void check_sizes(LintReport& report) {
  const Drive& drive = report.drive();
  if (drive.cylinders) {
    const Cylinders& cylinders = *drive.cylinders;
    check(report, "cylinders.bore", cylinders.bore, kBore, "the bore");
    check(report, "cylinders.stroke", cylinders.stroke, kStroke, "the stroke");
    check(report, "cylinders.rod", cylinders.rod, kRod, "the connecting rod");
    check(report, "cylinders.pin_offset", cylinders.pin_offset, kPinOffset, "the pin offset");
    check(report, "cylinders.bank_angle", cylinders.bank_angle, kBankAngle, "the bank angle");
  }
  for (std::size_t i = 0; i < drive.chains.size(); ++i) {
    const std::string path = fmt::format("chains[{}]", i);
    check_chain(report, drive.chains[i], path);
    if (drive.chains[i].tensioner)
      check_oil_of(report, *drive.chains[i].tensioner, path + ".tensioner");
  }
  for (std::size_t b = 0; b < drive.banks.size(); ++b) {
    for (std::size_t c = 0; c < drive.banks[b].camshafts.size(); ++c) {
      const Camshaft& camshaft = drive.banks[b].camshafts[c];
      const std::string path = fmt::format("banks[{}].camshafts[{}]", b, c);
      if (camshaft.phaser) check_phaser(report, *camshaft.phaser, path + ".phaser");
      for (std::size_t v = 0; v < camshaft.valves.size(); ++v)
        check_valves(report, camshaft.valves[v], fmt::format("{}.valves[{}]", path, v));
    }
  }
  for (std::size_t i = 0; i < drive.fits.size(); ++i) {
    check(report, fmt::format("fits[{}].drop", i), drive.fits[i].drop, kWay, "the way");
    check(report, fmt::format("fits[{}].force", i), drive.fits[i].force, kForce, "the force");
  }
  if (drive.oil) check_oil(report, *drive.oil);
  for (std::size_t i = 0; i < drive.fasteners.size(); ++i) {
    for (std::size_t s = 0; s < drive.fasteners[i].steps.size(); ++s) {
      const TighteningStep& step = drive.fasteners[i].steps[s];
      const std::string path = fmt::format("fasteners[{}].steps[{}]", i, s);
      check(report, path + ".torque", step.torque, kTorque, "a tightening torque");
      check(report, path + ".angle", step.angle, kTightening, "a tightening angle");
    }
  }
}

Diagnostics check_amounts(const LoadedDrive& loaded) {
  LintReport report(loaded);
  const Drive& drive = loaded.drive;
  const auto most = [&](std::size_t count, std::size_t limit, const std::string& path,
                        std::string_view what) {
    if (count > limit)
      report.error(path, fmt::format("{} {}; at most {} are read", count, what, limit));
  };
  most(drive.banks.size(), 8, "banks", "banks");
  for (std::size_t b = 0; b < drive.banks.size(); ++b) {
    most(drive.banks[b].camshafts.size(), 8, fmt::format("banks[{}].camshafts", b), "camshafts");
    most(drive.banks[b].cylinders.size(), 64, fmt::format("banks[{}].cylinders", b), "cylinders");
  }
  most(drive.chains.size(), 32, "chains", "chains");
  for (std::size_t i = 0; i < drive.chains.size(); ++i) {
    most(drive.chains[i].guides.size(), 32, fmt::format("chains[{}].guides", i), "guides");
    most(drive.chains[i].strands.size(), 64, fmt::format("chains[{}].strands", i), "strands");
  }
  if (drive.crankshaft)
    most(drive.crankshaft->sprockets.size(), 32, "crankshaft.sprockets", "sprockets");
  if (drive.cylinders)
    most(drive.cylinders->firing_order.size(), 64, "cylinders.firing_order", "cylinders");
  most(drive.idlers.size(), 32, "idlers", "idlers");
  most(drive.fits.size(), 400, "fits", "limits");
  if (drive.oil) {
    most(drive.oil->ports.size(), 100, "oil.ports", "ports");
    most(drive.oil->pressures.size(), 200, "oil.pressures", "pressure limits");
  }
  most(drive.fasteners.size(), 1000, "fasteners", "fasteners");
  most(drive.parts.size(), 1000, "parts", "parts");
  most(drive.procedure.size(), 1000, "procedure", "steps");
  most(drive.confirms.size(), 100, "confirms", "topics");
  return report.take();
}

}  // namespace tautmark
