// SPDX-License-Identifier: Apache-2.0
#include "judge/path_lint.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "base/text.h"
#include "drive/lint_report.h"
#include "drive/places.h"
#include "geometry/tensioner_life.h"
#include "judge/drive_paths.h"

namespace tautmark {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
// A tooth stands out beyond the pitch circle by about this much of a pitch. Common practice, no
// source (the tip circle of ISO 606 lies between 0.2 and 0.4 pitch out at these tooth numbers).
constexpr double kTipOverPitch = 0.3;
constexpr double kFaceSlack = 0.5 * kRadiansPerDegree;

double folded_turn(double angle) { return std::fmod(std::fmod(angle, kTurn) + kTurn, kTurn); }

double clock_from(const Point& center, const Point& at) {
  return folded_turn(std::atan2((at.x - center.x).si(), (at.y - center.y).si()));
}

double distance(const Point& a, const Point& b) {
  return std::hypot((a.x - b.x).si(), (a.y - b.y).si());
}

double pitch_radius(const PathInputs& in, const PathElement& wheel) {
  return in.belt ? in.pitch.si() * wheel.teeth / kTurn
                 : in.pitch.si() / (2 * std::sin(std::numbers::pi / wheel.teeth));
}

struct ChainLint {
  LintReport& report;
  const Drive& drive;
  const Chain& chain;
  std::string key;  // "chains[0]"

  [[nodiscard]] std::size_t part_index(const std::string& name) const {
    const auto found = std::find_if(chain.path.begin(), chain.path.end(),
                                    [&](const PathPart& p) { return same_place(p.name, name); });
    return static_cast<std::size_t>(found - chain.path.begin());
  }
  [[nodiscard]] std::string part_key(const std::string& name) const {
    return fmt::format("{}.path[{}]", key, part_index(name));
  }

  void run() {
    if (chain.links && *chain.links % 2 == 1 && chain.type != ChainType::toothed_belt)
      report.warning(
          key + ".links",
          fmt::format("{} links: a chain without an offset link has an even number", *chain.links));
    // geometry.md 12, from memory: 60 to 220 are usual; warned well outside, never refused.
    if (chain.links && (*chain.links < 30 || *chain.links > 400))
      report.warning(
          key + ".links",
          fmt::format("{} links are unusual for one loop: counted as pitches?", *chain.links));
    if (chain.path.empty()) return;
    const auto in = path_inputs(drive, chain);
    if (!in) {
      report.error(key + ".path", in.error().why);
      return;
    }
    check_wheels(*in);
    const auto path = solve_path(*in);
    if (!path) {
      report.error(key + ".path", fmt::format("{}: {}", chain.name, path.error().why));
      return;
    }
    check_faces(*in, *path);
    check_cuts(*in, *path);
    check_stroke(*in, *path);
    check_marks(*in, *path);
  }

  void check_wheels(const PathInputs& in) {
    for (std::size_t i = 0; i < in.elements.size(); ++i) {
      for (std::size_t j = i + 1; j < in.elements.size(); ++j) {
        const PathElement& a = in.elements[i];
        const PathElement& b = in.elements[j];
        if (a.kind != ElementKind::sprocket || b.kind != ElementKind::sprocket) continue;
        const double tips = pitch_radius(in, a) + pitch_radius(in, b) +
                            (in.belt ? 0 : 2 * kTipOverPitch * in.pitch.si());
        const double missing = tips - distance(a.center, b.center);
        if (missing <= 0) continue;
        report.error(part_key(b.name),
                     fmt::format("{} and {} collide: their teeth overlap by {:.1f} mm", a.name,
                                 b.name, missing * 1e3),
                     "compare the centers and the teeth", part_key(a.name), "the other one");
      }
    }
  }

  [[nodiscard]] Point center_of(const PathElement& element, const Path& path) const {
    return element.kind == ElementKind::arm ? path.arm_center : element.center;
  }

  // How far the face of an arm has swung from the angle at which the file describes it.
  [[nodiscard]] double swung(const PathInputs& in, const PathElement& element,
                             const Path& path) const {
    if (element.kind != ElementKind::arm || !in.pivot) return 0;
    return clock_from(*in.pivot, path.arm_center) - clock_from(*in.pivot, element.center);
  }

  // Positive: beyond the nearer end of the face, radians.
  static double beyond(double clock, double from, double to) {
    const double width = folded_turn(to - from);
    const double at = folded_turn(clock - from);
    return at <= width ? -std::min(at, width - at) : std::min(at - width, kTurn - at);
  }

  void check_faces(const PathInputs& in, const Path& path) {
    for (const PathContact& contact : path.contacts) {
      const PathElement& element = in.elements[contact.element];
      const std::size_t index = part_index(element.name);
      if (element.kind == ElementKind::sprocket || index == chain.path.size()) continue;
      const PathPart& part = chain.path[index];
      if (!part.from || !part.to) continue;
      const double turn = swung(in, element, path);
      const Point center = center_of(element, path);
      for (const Point& end : {contact.arrives, contact.leaves}) {
        const double out = beyond(clock_from(center, end), part.from->value.si() + turn,
                                  part.to->value.si() + turn);
        if (out <= kFaceSlack) continue;
        report.warning(part_key(element.name) + ".from",
                       fmt::format("the chain touches {} {:.1f}° beyond the end of its face",
                                   element.name, out / kRadiansPerDegree),
                       "compare from and to with the part");
        break;
      }
    }
  }

  void check_cuts(const PathInputs& in, const Path& path) {
    for (const PathElement& guide : in.elements) {
      const std::size_t index = part_index(guide.name);
      if (guide.kind == ElementKind::sprocket || !guide.outside || index == chain.path.size())
        continue;
      const PathPart& part = chain.path[index];
      if (!part.from || !part.to) continue;
      const Point center = center_of(guide, path);
      const double turn = swung(in, guide, path);
      for (const PathElement& wheel : in.elements) {
        if (wheel.kind != ElementKind::sprocket) continue;
        const double cut =
            guide.radius.si() + pitch_radius(in, wheel) - distance(center, wheel.center);
        const bool faces = beyond(clock_from(center, wheel.center), part.from->value.si() + turn,
                                  part.to->value.si() + turn) <= 0;
        if (cut <= 0 || !faces) continue;
        report.error(part_key(guide.name),
                     fmt::format("{} cuts {:.1f} mm into {}", guide.name, cut * 1e3, wheel.name),
                     "compare center, radius, from and to", part_key(wheel.name), "the sprocket");
      }
    }
  }

  // The chain's own limit, as a ratio.
  [[nodiscard]] std::optional<double> elongation_limit() const {
    for (const EnginePlace& place : places_of(drive)) {
      if (place.type != PlaceType::chain || place.chain != &chain) continue;
      const Fit* fit = fit_for(drive, Measurand::chain_elongation, place);
      if (fit != nullptr && fit->service) return fit->service->value.upper_si;
    }
    return std::nullopt;
  }

  void check_stroke(const PathInputs& in, const Path& path) {
    if (!path.stroke || !chain.tensioner || !chain.tensioner->stroke) return;
    const double most = chain.tensioner->stroke->value.si();
    const double as_new = path.stroke->si();
    const std::string plunger = key + ".tensioner.plunger";
    if (as_new < 0 || as_new > most) {
      report.error(plunger,
                   fmt::format("with a new chain the plunger of {} stands {:.1f} mm {}; its stroke "
                               "is 0 to {:.1f} mm",
                               chain.name, std::abs(as_new) * 1e3,
                               as_new < 0 ? "behind its base" : "out", most * 1e3),
                   "compare base and pad of the plunger", key + ".tensioner.stroke", "the stroke");
      return;
    }
    const auto limit = elongation_limit();
    if (!limit) return;
    const auto end = elongation_at_end({in, Length::from_si(most)});
    if (end && *end && (*end)->si() < *limit) {
      report.warning(plunger,
                     fmt::format("the stroke of {} runs out at {:.2f} % elongation, before the "
                                 "chain's limit of {:.2f} %",
                                 chain.name, 100 * (*end)->si(), 100 * *limit),
                     "the stroke is then the limit that bites");
      return;
    }
    PathInputs worn = in;
    worn.elongation = Ratio::from_si(*limit);
    if (const auto at_limit = solve_path(worn); !at_limit)
      report.warning(plunger, fmt::format("{} at its limit of {:.2f} %: {}", chain.name,
                                          100 * *limit, at_limit.error().why));
  }

  // A link can lie on a mark only where the chain lies on the wheel.
  void check_under_chain(const PathInputs& in, const Path& path, std::size_t mark) {
    for (const PathContact& contact : path.contacts) {
      const PathElement& wheel = in.elements[contact.element];
      if (!same_place(wheel.name, chain.marks[mark].at)) continue;
      const bool clockwise = (in.turn < 0) != wheel.outside;
      const double from = clock_from(wheel.center, clockwise ? contact.arrives : contact.leaves);
      const double out =
          beyond(chain.marks[mark].clock->value.si(), from, from + contact.wrap.si());
      if (out <= kTurn / wheel.teeth) continue;
      report.error(fmt::format("{}.marks[{}].clock", key, mark),
                   fmt::format("the mark of {} stands {:.0f}° away from the teeth that the chain "
                               "lies on: no link can be on it there",
                               wheel.name, out / kRadiansPerDegree),
                   "where do the marks stand when the links are on them?");
    }
  }

  void check_marks(const PathInputs& in, const Path& path) {
    for (std::size_t i = 0; i < chain.marks.size(); ++i)
      if (chain.marks[i].clock) check_under_chain(in, path, i);
    const auto wheels = wheels_of(drive, chain);
    const auto clocks = mark_clocks(drive, chain, in, path);
    for (std::size_t i = 1; i < wheels.size(); ++i) {
      const ChainMark* mark = mark_at(chain, wheels[i]);
      const auto teeth = teeth_under(drive, chain, wheels[i]);
      if (mark == nullptr || !mark->clock || !clocks[i] || !teeth) continue;
      const double step = kTurn / *teeth;
      const double off = std::remainder((mark->clock->value - *clocks[i]).si(), kTurn);
      if (std::abs(off) <= step / 4) continue;
      const auto index = static_cast<std::size_t>(mark - chain.marks.data());
      report.error(fmt::format("{}.marks[{}].clock", key, index),
                   fmt::format("the link counts put the mark of {} at {:.1f}°, that is {:.1f} of "
                               "its teeth away from {}",
                               wheels[i], clocks[i]->si() / kRadiansPerDegree, std::abs(off) / step,
                               mark->clock->text),
                   "compare the strand counts with the clock angles", key + ".strands",
                   "the counts");
    }
  }
};

}  // namespace

Diagnostics path_lint(const LoadedDrive& loaded) {
  LintReport report(loaded);
  const Drive& drive = loaded.drive;
  for (std::size_t c = 0; c < drive.chains.size(); ++c)
    ChainLint{report, drive, drive.chains[c], fmt::format("chains[{}]", c)}.run();
  return report.take();
}

}  // namespace tautmark
