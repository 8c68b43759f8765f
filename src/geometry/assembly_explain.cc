// SPDX-License-Identifier: Apache-2.0
#include "geometry/assembly_explain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "base/text.h"

namespace tautmark {
namespace {

constexpr int kHalves = 2;

std::string strand_name(const AssemblyInputs& in, std::size_t strand) {
  return fmt::format("{} to {}", in.sprockets[strand].name,
                     in.sprockets[(strand + 1) % in.sprockets.size()].name);
}

std::string off_words(const AssemblyInputs& in, std::span<const TeethOff> off) {
  std::string words;
  for (const TeethOff& one : off)
    words += fmt::format("{}{} {}", words.empty() ? "" : ", ", in.sprockets[one.sprocket].name,
                         half_teeth_words(kHalves * one.teeth));
  return words;
}

// Errors in whole teeth that these counts (half pitches) give; empty when they do not close, or
// when a mark in a gap was counted as one on a tooth.
std::optional<std::vector<int>> whole_errors(const AssemblyInputs& in,
                                             std::span<const int> counts) {
  std::vector<int> errors;
  int error = 0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (error % kHalves != 0 || counts[i] < 1) return std::nullopt;
    errors.push_back(error / kHalves);
    error += counts[i] - in.nominal[i];
  }
  return error == 0 ? std::optional(std::move(errors)) : std::nullopt;
}

std::vector<int> known_counts(const Assembly& found) {
  std::vector<int> counts;
  for (const StrandCount& strand : found.strands) counts.push_back(strand.pitches.value_or(0));
  return counts;
}

// How many sprockets an explanation leaves off; it explains more when it leaves fewer.
struct Corrected {
  std::vector<TeethOff> off;
  Explanation explanation;
};

void add_other_counting(const AssemblyInputs& in, const Assembly& found,
                        std::vector<Corrected>& all) {
  const auto added = [](LinkCount way) {  // to pitches, by counting this way
    return way == LinkCount::with_both_marks ? 1 : way == LinkCount::between ? -1 : 0;
  };
  for (const LinkCount way : {LinkCount::pitches, LinkCount::with_both_marks, LinkCount::between}) {
    if (way == in.counted_as) continue;
    std::vector<int> counts = known_counts(found);
    for (int& count : counts) count += kHalves * (added(in.counted_as) - added(way));
    const auto errors = whole_errors(in, counts);
    if (!errors) continue;
    Corrected one{fewest_off(*errors), {.cause = Cause::other_counting, .counted_as = way}};
    one.explanation.moves = one.off;
    one.explanation.speaks_for = {fmt::format(
        "the sum is right if {}", way == LinkCount::pitches
                                      ? "pitches from marked tooth to marked tooth were counted"
                                  : way == LinkCount::with_both_marks
                                      ? "the links with both marked links included were counted"
                                      : "only the links between the marked links were counted")};
    if (one.off.empty()) one.explanation.speaks_for.emplace_back("then every strand is nominal");
    one.explanation.decided_by = "count one strand again and say what was counted";
    all.push_back(std::move(one));
  }
}

void add_miscounts(const AssemblyInputs& in, const Assembly& found, std::vector<Corrected>& all) {
  for (std::size_t i = 0; i < in.nominal.size(); ++i) {
    std::vector<int> counts = known_counts(found);
    counts[i] -= *found.surplus;
    const auto errors = whole_errors(in, counts);
    if (!errors) continue;
    Corrected one{fewest_off(*errors), {.cause = Cause::miscount, .strand = i}};
    if (one.off.size() > 1) continue;
    one.explanation.moves = one.off;
    one.explanation.speaks_for = {
        one.off.empty()
            ? fmt::format("with {} in the strand {} everything is nominal",
                          pitches_words(counts[i]), strand_name(in, i))
            : fmt::format("with {} in the strand {} only one sprocket is off: {}",
                          pitches_words(counts[i]), strand_name(in, i), off_words(in, one.off))};
    one.explanation.decided_by = fmt::format("count the strand {} again", strand_name(in, i));
    all.push_back(std::move(one));
  }
}

Explanation wrong_chain(const AssemblyInputs& in, const Assembly& found) {
  Explanation one{.cause = Cause::wrong_chain};
  const int surplus = *found.surplus;
  one.speaks_for = {fmt::format("the strands add up to {} and the chain should have {} links",
                                pitches_words(kHalves * in.links + surplus), in.links)};
  bool only_first = true;
  for (std::size_t i = 1; i < found.strands.size(); ++i)
    only_first = only_first && found.strands[i].difference == 0;
  if (only_first)
    one.speaks_for.emplace_back(
        "the difference lies in the strand that leaves the driving sprocket, where the tensioner "
        "takes it up");
  if (in.has_plates && in.links % 2 == 0 && std::abs(surplus) % (2 * kHalves) != 0)
    one.speaks_against.emplace_back(
        "a chain of inner and outer links has an even number of them, and this is an odd one");
  one.decided_by = "count the links of the whole chain, once round from a painted link";
  return one;
}

void explain_surplus(const AssemblyInputs& in, const Assembly& found,
                     std::vector<Explanation>& all) {
  std::vector<Corrected> candidates;
  add_other_counting(in, found, candidates);
  add_miscounts(in, found, candidates);
  std::stable_sort(
      candidates.begin(), candidates.end(),
      [](const Corrected& a, const Corrected& b) { return a.off.size() < b.off.size(); });
  for (Corrected& one : candidates) {
    one.explanation.speaks_against.emplace_back(
        "nothing, until it is counted again: a sum that is wrong proves nothing of any sprocket");
    all.push_back(std::move(one.explanation));
  }
  if (candidates.empty())
    all.push_back(
        {.cause = Cause::miscount,
         .speaks_for = {"the sum is not the chain's: a jumped tooth would leave it alone"},
         .decided_by = "count every strand again"});
  all.push_back(wrong_chain(in, found));
}

// The row of marked links laid on the marks in another way: begun at another of them, or turned
// over (then the counts are read backwards). `link_on[j]` is the sprocket whose link lies on mark
// j.
struct OtherLaying {
  std::vector<std::size_t> link_on;
  std::vector<int> counts;
  bool turned_over = false;
};

std::vector<OtherLaying> other_layings(std::span<const int> nominal) {
  const std::size_t count = nominal.size();
  std::vector<OtherLaying> all;
  for (const bool over : {false, true})
    for (std::size_t first = over ? 0 : 1; first < count; ++first) {
      OtherLaying one{{}, {}, over};
      for (std::size_t j = 0; j < count; ++j) {
        one.link_on.push_back(over ? (first + count - j) % count : (first + j) % count);
        one.counts.push_back(nominal[over ? (one.link_on[j] + count - 1) % count : one.link_on[j]]);
      }
      all.push_back(std::move(one));
    }
  return all;
}

void add_exchanges(const AssemblyInputs& in, const Assembly& found, const Explanation& as_it_stands,
                   std::vector<Explanation>& all) {
  const std::vector<int> counted = known_counts(found);
  for (const OtherLaying& laying : other_layings(in.nominal)) {
    if (laying.counts != counted) continue;
    Explanation one{.cause = Cause::links_exchanged, .moves = as_it_stands.moves};
    std::string which;
    bool possible = true;
    for (std::size_t j = 0; j < laying.link_on.size(); ++j) {
      const MarkedSprocket& link = in.sprockets[laying.link_on[j]];
      if (laying.link_on[j] == j) continue;
      possible =
          possible && !link.link_color.empty() && link.link_color == in.sprockets[j].link_color;
      which += fmt::format("{}the link of {} on the mark of {}", which.empty() ? "" : ", ",
                           link.name, in.sprockets[j].name);
    }
    if (!possible) continue;
    if (!which.empty())
      one.speaks_for.push_back(
          fmt::format("links of one color can be exchanged: with {} every "
                      "strand would be as counted",
                      which));
    if (laying.turned_over)
      one.speaks_for.emplace_back(
          "these are the nominal counts read backwards: a chain turned over lies so");
    one.speaks_against = {fmt::format("as it stands: {}", off_words(in, as_it_stands.moves))};
    one.decided_by =
        "look which marked link lies on which mark, and in which direction the gaps "
        "between the marked links follow";
    all.push_back(std::move(one));
  }
}

void speak_of_plates(const AssemblyInputs& in, const Assembly& found, Explanation& one) {
  for (std::size_t j = 1; j < in.sprockets.size(); ++j) {
    const auto& expected = found.sprockets[j].same_plates_when_right;
    if (!in.sprockets[j].same_plates || !expected || !found.sprockets[j].half_teeth) continue;
    const bool odd_seen = *in.sprockets[j].same_plates != *expected;
    const bool odd = (*found.sprockets[j].half_teeth / kHalves) % 2 != 0;
    (odd == odd_seen ? one.speaks_for : one.speaks_against)
        .push_back(fmt::format("inner and outer plates under the marks of {} and {} say an {} "
                               "number of teeth",
                               in.sprockets[0].name, in.sprockets[j].name,
                               odd_seen ? "odd" : "even"));
  }
}

void explain_closed(const AssemblyInputs& in, const Assembly& found,
                    std::vector<Explanation>& all) {
  const auto errors = whole_errors(in, known_counts(found));
  if (!errors) {
    all.push_back(
        {.cause = Cause::half_tooth_reading,
         .speaks_for = {"half a pitch is no count: a mark in a gap lies between two links"},
         .decided_by = "count again, to the leading one of two links that straddle a mark"});
    return;
  }
  Explanation one{.cause = Cause::moved_sprockets, .moves = fewest_off(*errors)};
  if (one.moves.empty()) {
    one.cause = Cause::as_it_should_be;
    one.speaks_for = {"every strand is nominal"};
  } else {
    add_exchanges(in, found, one, all);
    one.speaks_for = {fmt::format("the sum is right: {}", off_words(in, one.moves))};
    one.speaks_against = {
        "two counts wrong by the same amount in opposite ways would look the same"};
    one.decided_by = "count the strands on both sides of it once more";
    if (in.sprockets.size() == 2)
      one.speaks_for.emplace_back("with two sprockets only one against the other is known");
  }
  if (!found.all_counted) {
    one.speaks_against.emplace_back("one strand is computed, not counted: a miscount would hide");
    one.decided_by = "count the strand that is missing";
  }
  speak_of_plates(in, found, one);
  all.push_back(std::move(one));
}

std::string degrees_words(double half_teeth, const MarkedSprocket& sprocket) {
  if (sprocket.teeth == 0) return "much more";
  const double own = std::abs(half_teeth) * 360.0 / (kHalves * sprocket.teeth);
  return sprocket.crank_turns > 0 ? fmt::format("{:.1f}° (crank)", own * sprocket.crank_turns)
                                  : fmt::format("{:.1f}° of its own", own);
}

void add_phaser(const MarkedSprocket& sprocket, int rest, std::vector<Explanation>& all) {
  const CrankAngle range = rest > 0 ? sprocket.phaser_early : sprocket.phaser_late;
  if (!(range.si() > 0) || sprocket.teeth == 0) return;
  Explanation one{.cause = Cause::phaser_off_base};
  const double off = std::abs(rest) * 360.0 / (kHalves * sprocket.teeth) * sprocket.crank_turns;
  if (off > in_crank_deg(range)) return;
  one.speaks_for = {
      fmt::format("{} {} lies inside the {:.0f}° (crank) of its range; a phaser off "
                  "its base gives any angle, not whole teeth",
                  degrees_words(rest, sprocket), rest > 0 ? "early" : "late", in_crank_deg(range))};
  if (rest % kHalves == 0)
    one.speaks_against.emplace_back("it is a whole tooth, which a phaser meets only by chance");
  if (sprocket.phaser_locked == true)
    one.speaks_against.emplace_back("the phaser was found locked");
  else if (!sprocket.phaser_locked)
    one.speaks_for.emplace_back("whether it was locked is not said");
  one.decided_by =
      fmt::format("check by hand that the phaser of {} is locked, both ways", sprocket.name);
  all.push_back(std::move(one));
}

void add_half_tooth(const AssemblyInputs& in, const MarkedSprocket& sprocket, int rest,
                    std::vector<Explanation>& all) {
  Explanation one{.cause = Cause::half_tooth_reading};
  one.speaks_for = {"there is no half tooth in a chain: only whole ones count",
                    "a pointer read from the side is off by up to a quarter of a tooth"};
  if (!in.settled)
    one.speaks_for.emplace_back("it was not turned forward two turns with the tensioner in work");
  if (in.settled) one.speaks_against.emplace_back("it stayed after two turns forward");
  one.speaks_against.push_back(
      fmt::format("0.2 mm off a machined deck is under 0.5° (crank), half a tooth is {}",
                  degrees_words(1, sprocket)));
  one.decided_by =
      "read it again, square on, after two turns forward with the tensioner in work, where the "
      "turning answer allows them; else count the links";
  if (rest == 1) {
    Explanation slack{.cause = Cause::slack_in_driving_strand};
    if (in.pitch.si() > 0) slack.slack = in.pitch * (1.0 / kHalves);
    slack.speaks_for = {
        "slack in the strand that pulls puts the camshaft early by slack over pitch of a tooth"};
    if (slack.slack)
      slack.speaks_for.push_back(fmt::format("{:.1f} mm would do it", in_mm(*slack.slack)));
    if (in.settled) slack.speaks_against.emplace_back("turned forward, that strand is taut");
    slack.decided_by =
        "press the strand that pulls by hand: it must be taut, the slack on the "
        "tensioner's side";
    all.push_back(std::move(slack));
  }
  all.push_back(std::move(one));
}

// What was seen against the casting, beside what was counted.
void explain_seen(const AssemblyInputs& in, const Assembly& found, std::vector<Explanation>& all) {
  for (std::size_t j = 1; j < in.sprockets.size(); ++j) {
    const MarkedSprocket& sprocket = in.sprockets[j];
    if (!sprocket.seen_half_teeth) continue;
    const auto& counted = found.sprockets[j].half_teeth;
    const int rest = *sprocket.seen_half_teeth - counted.value_or(0);
    if (rest == 0 && !sprocket.seen_with_doubt) {
      const std::string words =
          fmt::format("the mark of {} against the casting says the same", sprocket.name);
      for (Explanation& one : all)
        if (counted && (one.cause == Cause::moved_sprockets || one.cause == Cause::as_it_should_be))
          one.speaks_for.push_back(words);
      continue;
    }
    if (rest % kHalves != 0 || sprocket.seen_with_doubt) {
      add_half_tooth(in, sprocket, rest, all);
      add_phaser(sprocket, rest, all);
      continue;
    }
    if (!counted) {
      all.push_back({.cause = Cause::moved_sprockets,
                     .moves = {{j, rest / kHalves}},
                     .speaks_for = {fmt::format("the mark of {} stands {} against the casting",
                                                sprocket.name, half_teeth_words(rest))},
                     .speaks_against = {"the links are not counted"},
                     .decided_by = "count every strand"});
    }
    add_phaser(sprocket, rest, all);
    all.push_back(
        {.cause = Cause::off_on_its_shaft,
         .moves = {{j, rest / kHalves}},
         .speaks_for = {fmt::format("{}its mark stands {} against the casting",
                                    counted ? "the chain is counted, and by it " + sprocket.name +
                                                  " is " + half_teeth_words(*counted) + ", yet "
                                            : std::string("a key, dowel or bolt that let "
                                                          "go leaves the chain right; "),
                                    half_teeth_words(*sprocket.seen_half_teeth))},
         .decided_by = "look at key, dowel and bolt of the sprocket"});
  }
}

}  // namespace

std::string pitches_words(int half_pitches) {
  return half_pitches % kHalves == 0 ? std::to_string(half_pitches / kHalves)
                                     : fmt::format("{:.1f}", half_pitches / 2.0);
}

std::string half_teeth_words(int half_teeth_early) {
  if (half_teeth_early == 0) return "no tooth off";
  return fmt::format("{} {}", halves_text(std::abs(half_teeth_early), "tooth", "teeth"),
                     half_teeth_early > 0 ? "early" : "late");
}

std::vector<Explanation> explanations(const AssemblyInputs& in, const Assembly& found) {
  std::vector<Explanation> all;
  const bool all_known = std::all_of(found.strands.begin(), found.strands.end(),
                                     [](const StrandCount& strand) { return strand.pitches; });
  if (found.surplus.value_or(0) != 0)
    explain_surplus(in, found, all);
  else if (all_known)
    explain_closed(in, found, all);
  for (std::size_t i = 0; i < in.counted.size(); ++i)
    if (in.counted[i] && in.counted[i]->doubt)
      all.push_back({.cause = Cause::half_tooth_reading,
                     .strand = i,
                     .speaks_for = {"the count was said to be give or take half a tooth"},
                     .decided_by = fmt::format("count the strand {} again", strand_name(in, i))});
  explain_seen(in, found, all);
  return all;
}

}  // namespace tautmark
