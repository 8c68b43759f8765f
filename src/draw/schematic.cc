// SPDX-License-Identifier: Apache-2.0
#include "draw/schematic.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include "base/text.h"
#include "drive/places.h"
#include "judge/drive_paths.h"

namespace tautmark {
namespace {

constexpr double kPitch = 8e-3;  // where the drive has none; a schematic has no scale
constexpr double kBankLean = 30 * kRadiansPerDegree;

struct Place {
  double x = 0, y = 0;
};

Written<Length> written(double metres) {
  return {Length::from_si(metres), fmt::format("{:.2f} mm", metres * 1e3)};
}

// Where a bank leans to, seen from the front: -1 left, +1 right, 0 straight up.
int lean_of(const Drive& drive, std::optional<int> bank) {
  if (drive.banks.size() < 2 || !bank) return 0;
  const auto found = std::find_if(drive.banks.begin(), drive.banks.end(),
                                  [&](const Bank& candidate) { return candidate.number == *bank; });
  if (found == drive.banks.end()) return 0;
  if (!found->side || !found->seen_from) return found->number % 2 == 1 ? -1 : 1;
  const bool right = (*found->side == Side::right) == (*found->seen_from == ViewedFrom::front);
  return right ? 1 : -1;
}

double lean_angle(const Drive& drive) {
  return drive.cylinders && drive.cylinders->bank_angle
             ? std::min(drive.cylinders->bank_angle->value.si() / 2, 80 * kRadiansPerDegree)
             : kBankLean;
}

class Placing {
 public:
  explicit Placing(const Drive& drive) : out_{drive, {}} {}

  Result<Schematic> lay() {
    if (!crank_runs_clockwise(out_.drive)) {
      if (!out_.drive.crankshaft) out_.drive.crankshaft.emplace();
      out_.drive.crankshaft->rotation = Rotation::clockwise;
      out_.drive.crankshaft->seen_from = ViewedFrom::front;
      out_.assumed.emplace_back("running direction not in the drive, drawn clockwise");
    }
    places_["crank"] = {};
    for (Chain& chain : out_.drive.chains) {
      // A pump or a balance shaft may be named by a path alone.
      for (const std::string& wheel : wheels_of(out_.drive, chain))
        wheels_[&chain].emplace_back(wheel, teeth_under(out_.drive, chain, wheel));
      chain.path.clear();
    }
    // A chain can be laid once its driving wheel has a place.
    std::vector<Chain*> waiting;
    for (Chain& chain : out_.drive.chains) waiting.push_back(&chain);
    std::string problem = "no chain that could be drawn";
    bool any = false;
    while (!waiting.empty()) {
      const auto next = std::find_if(waiting.begin(), waiting.end(), [&](const Chain* chain) {
        return places_.contains(folded(driver_of(out_.drive, *chain)));
      });
      if (next == waiting.end()) {
        problem = fmt::format("{}: nothing drives it", waiting.front()->name);
        for (const Chain* chain : waiting)
          out_.assumed.push_back(fmt::format("{}: nothing drives it, not drawn", chain->name));
        break;
      }
      // One chain that says too little does not take the drawing from the others.
      if (auto why = lay_chain(**next)) {
        (*next)->path.clear();
        out_.assumed.push_back(*why + ", not drawn");
        problem = std::move(*why);
      } else {
        any = true;
      }
      waiting.erase(next);
    }
    if (!any && out_.drive.gears.empty()) return refuse(std::move(problem));
    return std::move(out_);
  }

 private:
  std::optional<std::string> lay_chain(Chain& chain) {
    std::vector<std::string> wheels;
    for (const auto& [wheel, under] : wheels_[&chain]) wheels.push_back(wheel);
    if (wheels.size() < 2) return fmt::format("{}: fewer than two wheels under it", chain.name);
    std::vector<int> teeth;
    for (auto [wheel, under] : wheels_[&chain]) {
      if (!under && teeth.empty())
        return fmt::format("{}: the teeth of {} under it are not in the drive", chain.name, wheel);
      if (!under) {
        under = 2 * teeth.front();
        out_.assumed.push_back(fmt::format("{}: teeth of {} not in the drive, drawn with {}",
                                           chain.name, wheel, *under));
      }
      teeth.push_back(*under);
    }
    if (!chain.pitch) chain.pitch = written(kPitch);
    const Place driver = places_.at(folded(wheels.front()));
    const bool sideways =
        driver.y > 0 && wheels.size() == 2 && !is_idler(wheels[1]) && is_camshaft(wheels.front());
    const double lean = sideways ? 90 * kRadiansPerDegree
                                 : lean_of(out_.drive, chain.bank) * lean_angle(out_.drive);
    const auto laid_at = [&](double reach) {
      return laid(wheels, teeth, chain, driver, lean, reach);
    };
    double reach = reach_for(chain, laid_at, teeth);
    if (reach < 0)
      return fmt::format("{}: {} links do not fit a schematic of its wheels", chain.name,
                         chain.links.value_or(0));
    chain.path = laid_at(reach);
    for (const PathPart& part : chain.path)
      places_.try_emplace(folded(part.name), Place{part.x.value.si(), part.y.value.si()});
    return std::nullopt;
  }

  // The wheels beyond the driving one stand in a row across the axis, in the order in which the
  // chain meets them.
  std::vector<PathPart> laid(const std::vector<std::string>& wheels, const std::vector<int>& teeth,
                             const Chain& chain, Place driver, double lean, double reach) const {
    const double pitch = chain.pitch->value.si();
    const auto radius = [&](std::size_t i) {
      return pitch / (2 * std::sin(std::numbers::pi / teeth[i]));
    };
    double across = 0;
    std::vector<double> at(wheels.size(), 0);
    for (std::size_t i = 2; i < wheels.size(); ++i) {
      across += radius(i - 1) + radius(i) + 2.5 * pitch;
      at[i] = across;
    }
    const bool clockwise = *crank_runs_clockwise(out_.drive);
    std::vector<PathPart> path;
    for (std::size_t i = 0; i < wheels.size(); ++i) {
      const double v = i == 0 ? 0 : reach;
      const double u = i == 0 ? 0 : (clockwise ? 1 : -1) * (at[i] - across / 2);
      PathPart part;
      part.name = wheels[i];
      part.kind = PathKind::sprocket;
      part.x = written(driver.x + u * std::cos(lean) + v * std::sin(lean));
      part.y = written(driver.y - u * std::sin(lean) + v * std::cos(lean));
      part.teeth = teeth[i];
      path.push_back(std::move(part));
    }
    return path;
  }

  // The distance at which the chain just fits; an even number of links for a pleasant distance
  // where the drive has none.
  template <class LaidAt>
  double reach_for(Chain& chain, const LaidAt& laid_at, const std::vector<int>& teeth) {
    const double pitch = chain.pitch->value.si();
    const auto pitches = [&](double reach) -> double {
      Chain trial = chain;
      trial.path = laid_at(reach);
      trial.links = trial.links.value_or(kFewestLinks);
      const auto in = path_inputs(out_.drive, trial);
      if (!in) return -1;
      const auto path = path_at(*in, {});
      return path ? path->pitches : -1;
    };
    if (chain.links && *chain.links > kMostLinks) return -1;
    const int widest = *std::max_element(teeth.begin(), teeth.end());
    const double least = pitch * (teeth.front() + widest) / (2 * std::numbers::pi) + pitch;
    if (!chain.links) {
      const double found = pitches(3.5 * least);
      chain.links = 2 * static_cast<int>(std::ceil(found / 2));
      out_.assumed.push_back(fmt::format("{}: number of links not in the drive, drawn with {}",
                                         chain.name, *chain.links));
    }
    double low = least, high = least + pitch * *chain.links;
    if (pitches(low) > *chain.links) return -1;
    for (int i = 0; i < 80; ++i) {
      const double middle = (low + high) / 2;
      (pitches(middle) < *chain.links ? low : high) = middle;
    }
    return high;
  }

  [[nodiscard]] bool is_idler(const std::string& name) const {
    return std::any_of(out_.drive.idlers.begin(), out_.drive.idlers.end(),
                       [&](const Idler& idler) { return same_place(idler.name, name); });
  }
  [[nodiscard]] bool is_camshaft(const std::string& name) const {
    for (const EnginePlace& place : places_of(out_.drive))
      if (place.type == PlaceType::camshaft && same_place(place.path, name)) return true;
    return false;
  }

  static constexpr int kFewestLinks = 400;  // of a trial, so that every width is tried
  static constexpr int kMostLinks = 2000;   // more are no drawing
  Schematic out_;
  std::map<std::string, Place> places_;
  std::map<const Chain*, std::vector<std::pair<std::string, std::optional<int>>>> wheels_;
};

}  // namespace

Result<Schematic> schematic_of(const Drive& drive) { return Placing(drive).lay(); }

}  // namespace tautmark
