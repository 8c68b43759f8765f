// SPDX-License-Identifier: Apache-2.0
#include "judge/levels_path.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/phase.h"
#include "judge/drive_paths.h"

namespace tautmark {
namespace {

// One thing that is missing from several chains is said once.
void add_missing(Capability& capability, std::string what, std::string how) {
  for (const Missing& known : capability.missing)
    if (known.how == how) return;
  capability.missing.push_back({std::move(what), std::move(how)});
}

void add_detail(Capability& capability, const std::string& words) {
  capability.detail += (capability.detail.empty() ? "" : "; ") + words;
}

Capability row(std::string question) {
  return {std::string(kGeometryLevel), std::move(question), {}, {}};
}

Capability marks_row(const Drive& drive) {
  Capability marks = row("Do the marks stand right; which sprocket is off, and which way?");
  if (!crank_runs_clockwise(drive))
    add_missing(marks, "crankshaft.rotation and seen_from",
                "the maker's word; on a running engine look at the belt pulley");
  for (const Chain& chain : drive.chains) {
    if (!drives_a_camshaft(drive, chain)) continue;  // a pump or a balance shaft
    if (chain.strands.empty())
      add_missing(marks, fmt::format("link counts between the marks of {}", chain.name),
                  "on an engine known to be right: count pitches from marked tooth to marked "
                  "tooth, every strand");
    if (chain.marks.empty() && !chain.marked_links)
      add_missing(marks, fmt::format("marks of {}", chain.name),
                  "which links and which teeth are marked; without them count links");
  }
  if (drive.chains.empty() && drive.gears.empty())
    add_missing(marks, "chains with links and strands", "count them; see the engine");
  return marks;
}

Capability which_turn_row(const Drive& drive) {
  Capability turn = row("Marks up: is it this turn of the crank or the other one?");
  if (!drive.crankshaft || !drive.crankshaft->marks_at)
    add_missing(turn, "crankshaft.marks_at",
                "the crank angle, from firing top dead center of cylinder 1, at which the marks "
                "stand right");
  const bool any = std::any_of(drive.chains.begin(), drive.chains.end(), [](const Chain& chain) {
    return std::any_of(chain.marks.begin(), chain.marks.end(), [](const ChainMark& mark) {
      return mark.clock.has_value() && mark.at != kCrank;
    });
  });
  if (!any)
    add_missing(turn, "clock of the camshaft marks",
                "where each camshaft mark points then, seen from the front");
  return turn;
}

Capability drawing_row(const Drive& drive) {
  Capability drawing = row("Where does every link lie, to scale; what does wear do to timing?");
  for (const Chain& chain : drive.chains) {
    const auto in = path_inputs(drive, chain);
    if (!in) {
      add_missing(drawing,
                  chain.path.empty() ? fmt::format("path of {}", chain.name) : in.error().why,
                  "tap the sprocket centers on a photo taken square from the front, scale from "
                  "the pitch; guides and arm the same way");
      continue;
    }
    const auto slopes = path_derivatives(*in);
    if (!slopes) {
      add_missing(drawing, fmt::format("a path of {} that closes", chain.name), slopes.error().why);
      continue;
    }
    std::string words;
    for (const PhaseDerivatives& one : slopes->sprockets) {
      const PathElement& wheel = in->elements[one.element];
      const auto turns = shaft_turns(drive, wheel.name);
      if (one.element == 0 || !turns || mark_at(chain, wheel.name) == nullptr) continue;
      words +=
          fmt::format("{}{} {:.2f}°", words.empty() ? "" : ", ", wheel.name,
                      -one.per_elongation * 1e-3 / kRadiansPerDegree *
                          static_cast<double>(turns->under) / static_cast<double>(turns->over));
    }
    if (!words.empty())
      add_detail(drawing, fmt::format("0.1 % of {} makes late (crank): {}", chain.name, words));
  }
  if (drive.chains.empty()) add_missing(drawing, "chains with a path", "see the engine");
  return drawing;
}

Capability stroke_row(const Drive& drive) {
  Capability stroke = row("How far must the tensioner stand out for this much wear?");
  for (const Chain& chain : drive.chains) {
    const auto in = path_inputs(drive, chain);
    const auto path = in ? solve_path(*in) : Result<Path>(tl::make_unexpected(in.error()));
    const auto slopes =
        in ? path_derivatives(*in) : Result<PathDerivatives>(tl::make_unexpected(in.error()));
    if (path && path->stroke && slopes) {
      add_detail(stroke, fmt::format("{}: {:.1f} mm as new, {:.1f} mm more for each 0.1 % longer",
                                     chain.name, in_mm(*path->stroke),
                                     slopes->stroke_per_elongation * 1e-3 * 1e3));
      continue;
    }
    add_missing(stroke, fmt::format("path of {} with arm and plunger", chain.name),
                "pivot, shoe and plunger from the photo; face of the plunger at stroke 0");
  }
  if (drive.chains.empty()) add_missing(stroke, "chains with a path", "see the engine");
  return stroke;
}

}  // namespace

std::vector<Capability> path_capabilities(const Drive& drive) {
  return {marks_row(drive), which_turn_row(drive), drawing_row(drive), stroke_row(drive)};
}

}  // namespace tautmark
