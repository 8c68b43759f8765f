// SPDX-License-Identifier: Apache-2.0
#include "geometry/assembly.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

#include "geometry/assembly_explain.h"

namespace tautmark {
namespace {

constexpr int kHalves = 2;  // half pitches, half teeth per whole one

bool outside(int count) { return count < kFewestTeeth || count > kMostTeeth; }

std::optional<std::string> loop_problem(int links, std::size_t sprockets,
                                        std::span<const int> nominal) {
  if (outside(links))
    return fmt::format("links of the chain must be {} to {}, not {}", kFewestTeeth, kMostTeeth,
                       links);
  if (sprockets < 2 || sprockets > kMostSprockets)
    return fmt::format("a loop has 2 to {} marked sprockets, not {}", kMostSprockets, sprockets);
  if (nominal.size() != sprockets)
    return fmt::format("{} marked sprockets have as many strands between them, not {}", sprockets,
                       nominal.size());
  long long sum = 0;
  for (const int strand : nominal) {
    if (strand < 1) return "two marks on two sprockets are at least half a pitch apart";
    sum += strand;
  }
  if (sum != 1LL * kHalves * links)
    return fmt::format(
        "the nominal counts add up to {} pitches and the chain has {} links: they are not from the "
        "same sheet",
        static_cast<double>(sum) / kHalves, links);
  return std::nullopt;
}

std::optional<std::string> input_problem(const AssemblyInputs& in) {
  if (auto problem = loop_problem(in.links, in.sprockets.size(), in.nominal)) return problem;
  if (in.counted.size() != in.nominal.size())
    return fmt::format("{} strands, but {} places for counts", in.nominal.size(),
                       in.counted.size());
  for (const MarkedSprocket& sprocket : in.sprockets)
    if (sprocket.teeth != 0 && outside(sprocket.teeth))
      return fmt::format("teeth of {} must be {} to {}, not {}", sprocket.name, kFewestTeeth,
                         kMostTeeth, sprocket.teeth);
  for (const auto& strand : in.counted)
    if (strand && (strand->half_pitches < 1 || strand->half_pitches > kHalves * kMostTeeth))
      return "a counted strand is at least half a pitch and no longer than any chain";
  if (!std::isfinite(in.pitch.si()) || in.pitch.si() < 0) return "the pitch must be positive";
  return std::nullopt;
}

// What is counted without doubt; one strand that is missing follows from the others.
void fill_strands(const AssemblyInputs& in, Assembly& result) {
  long long sum = 0;
  std::size_t missing = 0, last_missing = 0;
  for (std::size_t i = 0; i < in.nominal.size(); ++i) {
    StrandCount strand{.nominal = in.nominal[i]};
    if (in.counted[i] && !in.counted[i]->doubt) {
      strand.pitches = in.counted[i]->half_pitches;
      sum += *strand.pitches;
    } else {
      ++missing;
      last_missing = i;
    }
    result.strands.push_back(strand);
  }
  const long long rest = 1LL * kHalves * in.links - sum;
  result.all_counted = missing == 0;
  if (missing == 0) result.surplus = static_cast<int>(-rest);
  if (missing == 1 && rest >= 1) {
    result.strands[last_missing].pitches = static_cast<int>(rest);
    result.strands[last_missing].computed = true;
  }
  for (StrandCount& strand : result.strands)
    if (strand.pitches) strand.difference = *strand.pitches - strand.nominal;
}

// e_j from the driving side (strands before j) or from the other side (strands from j on).
void fill_errors(const AssemblyInputs& in, Assembly& result) {
  const std::size_t count = in.sprockets.size();
  result.sprockets.assign(count, {});
  result.sprockets[0].half_teeth = 0;
  if (result.surplus && *result.surplus != 0) return;
  int error = 0;
  bool computed = false;
  for (std::size_t j = 1; j < count && result.strands[j - 1].difference; ++j) {
    error += *result.strands[j - 1].difference;
    computed = computed || result.strands[j - 1].computed;
    result.sprockets[j].half_teeth = error;
    result.sprockets[j].computed = computed;
  }
  error = 0;
  computed = false;
  for (std::size_t j = count - 1; j >= 1 && result.strands[j].difference; --j) {
    error -= *result.strands[j].difference;
    computed = computed || result.strands[j].computed;
    SprocketStand& stand = result.sprockets[j];
    stand.computed = stand.half_teeth ? stand.computed && computed : computed;
    stand.half_teeth = error;
  }
}

void fill_angles(const AssemblyInputs& in, Assembly& result) {
  int from_driving = 0;
  for (std::size_t j = 0; j < in.sprockets.size(); ++j) {
    SprocketStand& stand = result.sprockets[j];
    if (j > 0) from_driving += in.nominal[j - 1];
    if (in.has_plates && in.links % 2 == 0 && from_driving % kHalves == 0)
      stand.same_plates_when_right = (from_driving / kHalves) % 2 == 0;
    if (!stand.half_teeth || in.sprockets[j].teeth == 0) continue;
    const MarkedSprocket& sprocket = in.sprockets[j];
    const double own = *stand.half_teeth * 360.0 / (kHalves * sprocket.teeth);
    if (sprocket.is_camshaft) stand.cam = cam_deg(own);
    if (sprocket.crank_turns > 0) stand.crank = crank_deg(own * sprocket.crank_turns);
  }
}

std::optional<long long> least_common(std::span<const int> counts, long long first) {
  long long result = first;
  for (const int count : counts) {
    const long long factor = count / std::gcd(result, static_cast<long long>(count));
    if (__builtin_mul_overflow(result, factor, &result)) return std::nullopt;
  }
  return result;
}

}  // namespace

std::vector<TeethOff> fewest_off(std::span<const int> teeth_early) {
  std::vector<TeethOff> best;
  long long best_teeth = 0;
  bool first = true;
  for (const int reference : teeth_early) {
    std::vector<TeethOff> off;
    long long teeth = 0;
    for (std::size_t j = 0; j < teeth_early.size(); ++j) {
      const int error = teeth_early[j] - reference;
      if (error == 0) continue;
      off.push_back({j, error});
      teeth += std::abs(error);
    }
    // The driving sprocket comes first, so that it wins every tie.
    if (first || off.size() < best.size() || (off.size() == best.size() && teeth < best_teeth)) {
      best = std::move(off);
      best_teeth = teeth;
    }
    first = false;
  }
  return best;
}

Result<Assembly> assembly(const AssemblyInputs& in) {
  if (auto problem = input_problem(in)) return refuse(std::move(*problem));
  Assembly result;
  fill_strands(in, result);
  fill_errors(in, result);
  fill_angles(in, result);
  result.right = result.all_counted && result.surplus == 0 &&
                 std::all_of(result.strands.begin(), result.strands.end(),
                             [](const StrandCount& strand) { return strand.difference == 0; });
  result.explanations = explanations(in, result);
  return result;
}

Result<std::vector<int>> strands_from_links(int links, std::span<const int> half_link_under_mark) {
  if (outside(links))
    return refuse(fmt::format("links of the chain must be {} to {}, not {}", kFewestTeeth,
                              kMostTeeth, links));
  const std::size_t count = half_link_under_mark.size();
  if (count < 2 || count > kMostSprockets)
    return refuse(
        fmt::format("a loop has 2 to {} marked sprockets, not {}", kMostSprockets, count));
  const long long around = 1LL * kHalves * links;
  std::vector<int> strands;
  for (std::size_t i = 0; i < count; ++i) {
    const long long apart = 1LL * half_link_under_mark[(i + 1) % count] - half_link_under_mark[i];
    const long long strand = ((apart % around) + around) % around;
    if (strand == 0) return refuse("two marks cannot lie on one link");
    strands.push_back(static_cast<int>(strand));
  }
  return strands;
}

Result<SlackEffect> slack_effect(Length slack, Length pitch, int cam_teeth) {
  const Result<ToothAngle> tooth = tooth_angle(cam_teeth);
  if (!tooth) return tl::make_unexpected(tooth.error());
  if (!std::isfinite(slack.si()) || slack.si() < 0 || !std::isfinite(pitch.si()) ||
      !(pitch.si() > 0))
    return refuse("slack and pitch must be lengths, the pitch more than zero");
  const double teeth = slack / pitch;
  return SlackEffect{teeth, tooth->cam * teeth, tooth->crank * teeth};
}

Result<ChainTurned> chain_turned(const ChainTurnedInputs& in) {
  if (auto problem = loop_problem(in.links, in.teeth.size(), in.nominal))
    return refuse(std::move(*problem));
  for (const int teeth : in.teeth)
    if (outside(teeth))
      return refuse(fmt::format("teeth of a sprocket must be {} to {}, not {}", kFewestTeeth,
                                kMostTeeth, teeth));
  ChainTurned result;
  const long long around = 1LL * kHalves * in.links;
  const long long moved = ((in.teeth_passed % in.links) + in.links) % in.links * kHalves;
  long long start = 0;
  for (std::size_t j = 0; j < in.teeth.size(); ++j) {
    long long past = (start + moved) % around;
    LinkPlace place{.mark = j};
    while (past >= in.nominal[place.past]) past -= in.nominal[place.past++];
    place.half_pitches = static_cast<int>(past);
    result.links.push_back(place);
    start += in.nominal[j];
  }
  result.sprocket_marks_back = std::all_of(in.teeth.begin(), in.teeth.end(),
                                           [&](int teeth) { return in.teeth_passed % teeth == 0; });
  result.links_back = result.sprocket_marks_back && in.teeth_passed % in.links == 0;
  const auto turns = [&](long long first) {
    const auto teeth = least_common(in.teeth, first);
    return teeth ? std::optional(*teeth / in.teeth.front()) : std::nullopt;
  };
  result.turns_sprocket_marks = turns(1);
  result.turns_all = turns(in.links);
  return result;
}

WhichTurn which_turn(std::span<const CamAngle> offsets_from_place) {
  // A mark further than this from both of its places belongs to neither turn.
  constexpr double kNear = 45;
  bool here = false, other = false, neither = false;
  for (const CamAngle offset : offsets_from_place) {
    if (!std::isfinite(offset.si())) return WhichTurn::unknown;
    const double folded = std::abs(std::remainder(in_cam_deg(offset), 360));
    (folded <= kNear ? here : folded >= 180 - kNear ? other : neither) = true;
  }
  if (neither) return WhichTurn::not_at_marks;
  if (here && other) return WhichTurn::cams_differ;
  if (here) return WhichTurn::reference;
  return other ? WhichTurn::one_crank_turn_away : WhichTurn::unknown;
}

}  // namespace tautmark
