// SPDX-License-Identifier: Apache-2.0
#include "geometry/realign.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "geometry/assembly_explain.h"

namespace tautmark {
namespace {

tl::unexpected<Refusal> refuse(std::string why) {
  return tl::make_unexpected(Refusal{std::move(why)});
}

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

void add_steps(const RealignInputs& in, Realignment& result) {
  const std::size_t count = in.names.size();
  const std::string slack = fmt::format("{} to {}", in.names[0], in.names[1]);
  if (result.moves.empty()) return;
  result.steps.emplace_back("push the tensioner back and pin it");
  for (const SprocketMove& move : result.moves) {
    const std::size_t before = arriving(move.sprocket, count);
    result.steps.push_back(fmt::format(
        "lift the chain off {}, hold its shaft, turn it {} without the chain and lay the chain on "
        "again, counted from marked tooth to marked tooth: {}, {}",
        in.names[move.sprocket], turn_words(move.teeth),
        strand_words(in, move.strands_after, before),
        strand_words(in, move.strands_after, move.sprocket)));
  }
  if (!result.stay.empty()) {
    std::string names;
    for (const std::size_t sprocket : result.stay)
      names += (names.empty() ? "" : ", ") + in.names[sprocket];
    result.steps.push_back(fmt::format("not moved in the chain: {}", names));
  }
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
