// SPDX-License-Identifier: Apache-2.0
#include "geometry/realign.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>

#include "geometry/assembly_explain.h"

namespace tautmark {
namespace {

std::size_t arriving(std::size_t sprocket, std::size_t count) {
  return (sprocket + count - 1) % count;
}

std::string strand_words(const RealignInputs& in, const std::vector<int>& strands, std::size_t i) {
  return fmt::format("{} pitches from {} to {}", pitches_words(strands[i]), in.names[i],
                     in.names[(i + 1) % in.names.size()]);
}

std::string all_strands_words(const RealignInputs& in) {
  std::string words;
  for (std::size_t i = 0; i < in.nominal.size(); ++i)
    words += (words.empty() ? "" : ", ") + strand_words(in, in.nominal, i);
  return words;
}

// A camshaft that turns moves its valves; nobody here knows where the pistons stand.
constexpr std::string_view kValvesFirst =
    "only with every valve that moves with it closed, or the pistons proven away from the top as "
    "the engine maker says";

// The driving shaft stands still: what it is off, the chain makes good with all that it drives.
std::string move_step(const RealignInputs& in, const SprocketMove& move) {
  const std::string& name = in.names[move.sprocket];
  const std::string laid =
      fmt::format("counted from marked tooth to marked tooth: {}, {}",
                  strand_words(in, move.strands_after, arriving(move.sprocket, in.names.size())),
                  strand_words(in, move.strands_after, move.sprocket));
  if (move.sprocket != 0)
    return fmt::format(
        "{}: lift the chain off {}, hold its shaft (a camshaft at its flats), turn it {} without "
        "the chain and lay the chain on again, {}",
        kValvesFirst, name, turn_words(move.teeth), laid);
  std::string others;
  for (std::size_t j = 1; j < in.names.size(); ++j)
    others += (others.empty() ? "" : ", ") + in.names[j];
  return fmt::format(
      "{}: lift the chain off {}, which stands still; bring the chain and with it {} {}, each "
      "camshaft held at its flats, and lay the chain on {} again, {}",
      kValvesFirst, name, others, turn_words(-move.teeth), name, laid);
}

void add_steps(const RealignInputs& in, Realignment& result) {
  const std::string slack = fmt::format("{} to {}", in.names[0], in.names[1]);
  if (result.moves.empty()) return;
  result.steps.emplace_back("push the tensioner back and pin it");
  for (const SprocketMove& move : result.moves) result.steps.push_back(move_step(in, move));
  std::string names;
  for (const std::size_t sprocket : result.stay)
    names += (names.empty() ? "" : ", ") + in.names[sprocket];
  if (!names.empty()) result.steps.push_back(fmt::format("not moved in the chain: {}", names));
  result.steps.push_back(
      fmt::format("all slack into the strand {}, where the tensioner is; the others taut", slack));
  result.steps.push_back(
      fmt::format("count every strand: {}; together {}", all_strands_words(in), in.links));
  result.steps.emplace_back(
      "phaser locked and its bolt final, guides on: then pull the pin and see the tensioner move");
  result.cautions = {
      "hold a camshaft at its flats, never by the chain; valve springs turn it when the chain is "
      "off",
      "whether a shaft may be turned for it is the turning answer's and the engine maker's matter"};
}

}  // namespace

std::string turn_words(int teeth_with_rotation) {
  const int teeth = std::abs(teeth_with_rotation);
  return fmt::format("{} {} {} rotation", teeth, teeth == 1 ? "tooth" : "teeth",
                     teeth_with_rotation >= 0 ? "with" : "against");
}

std::string move_words(const RealignInputs& in, const SprocketMove& move) {
  const std::string& name = in.names[move.sprocket];
  return move.sprocket == 0 ? fmt::format("the chain on {}, which stands still, laid {}", name,
                                          turn_words(-move.teeth))
                            : fmt::format("{} {}", name, turn_words(move.teeth));
}

Result<Realignment> realign(const RealignInputs& in) {
  const std::size_t count = in.names.size();
  if (count < 2 || count > kMostSprockets || in.nominal.size() != count ||
      in.teeth_early.size() != count)
    return refuse("as many sprockets as strands, and an error for each");
  if (in.teeth_early[0] != 0) return refuse("the driving sprocket has no error against itself");
  if (in.links < kFewestTeeth || in.links > kMostTeeth)
    return refuse("a chain has 3 links or more, and none has so many");
  long long sum = 0;
  for (const int strand : in.nominal) sum += strand;
  if (sum != 2LL * in.links) return refuse("the nominal counts do not add up to the chain");
  for (const int error : in.teeth_early)
    if (std::abs(static_cast<long long>(error)) > in.links)
      return refuse("an error of more teeth than the chain has links is a miscount");

  Realignment result;
  for (std::size_t i = 0; i < count; ++i)
    result.strands_before.push_back(in.nominal[i] +
                                    2 * (in.teeth_early[(i + 1) % count] - in.teeth_early[i]));
  std::vector<TeethOff> off = fewest_off(in.teeth_early);
  std::reverse(off.begin(), off.end());
  std::vector<int> strands = result.strands_before;
  for (const TeethOff& one : off) {
    strands[arriving(one.sprocket, count)] -= 2 * one.teeth;
    strands[one.sprocket] += 2 * one.teeth;
    result.moves.push_back({one.sprocket, -one.teeth, strands});
  }
  const auto too_short = [](const std::vector<int>& all) {
    return std::any_of(all.begin(), all.end(), [](int strand) { return strand < 1; });
  };
  if (too_short(result.strands_before))
    return refuse("these errors leave a strand without a link: count again");
  for (const SprocketMove& move : result.moves)
    if (too_short(move.strands_after))
      return refuse(
          "too far off for moves one by one: take the chain off and lay it by the counts");
  for (std::size_t j = 0; j < count; ++j)
    if (std::none_of(off.begin(), off.end(),
                     [&](const TeethOff& one) { return one.sprocket == j; }))
      result.stay.push_back(j);
  add_steps(in, result);
  return result;
}

}  // namespace tautmark
