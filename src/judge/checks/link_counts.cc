// SPDX-License-Identifier: Apache-2.0
// Link counts against the drive, one finding for each driven sprocket and one for the sum of each
// chain. Outside only when every strand is counted and the sum is right: then only moved sprockets
// explain a difference. A wrong sum is a miscount or another chain, and says nothing of any
// sprocket (geometry/assembly.h).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>

#include "base/text.h"
#include "base/unit.h"
#include "geometry/realign.h"
#include "judge/chain_marks.h"
#include "judge/checks/checks.h"
#include "judge/stage_errors.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "link-counts";

std::vector<std::string> uncounted(const ChainMarks& marks) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < marks.inputs.counted.size(); ++i)
    if (!marks.inputs.counted[i]) names.push_back(strand_name(marks, i));
  return names;
}

std::string count_next(const ChainMarks& marks) {
  return fmt::format("count pitches from marked tooth to marked tooth: {}",
                     joined(uncounted(marks), "; "));
}

std::vector<int> counted(const ChainMarks& marks) {
  std::vector<int> all;
  for (const StrandCount& strand : marks.found->strands) all.push_back(strand.pitches.value_or(0));
  return all;
}

// All camshafts about half a turn of theirs off: counted one crank turn away from where the counts
// of the drive hold. Common practice, no source.
bool is_other_turn(const ChainMarks& marks) {
  std::vector<CamAngle> offsets;
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j) {
    if (marks.sprockets[j].camshaft == nullptr) continue;
    if (!marks.found->sprockets[j].half_teeth || marks.inputs.sprockets[j].teeth == 0) return false;
    offsets.push_back(marks.found->sprockets[j].cam);
  }
  return which_turn(offsets) == WhichTurn::one_crank_turn_away;
}

constexpr std::string_view kOtherTurn =
    "every camshaft stands half a turn of its own off: counted one crank turn away from where the "
    "counts of the drive hold";
constexpr std::string_view kOtherTurnNext =
    "count again with the cam marks at their places: that is one crank turn on in running "
    "direction, only if the turning answer allows it";

void set_open(Finding& finding, OpenBecause because, std::string why,
              std::vector<std::string> next) {
  finding.verdict = Verdict::open;
  finding.open_because = because;
  finding.why = std::move(why);
  finding.next = std::move(next);
}

std::vector<std::string> what_would_decide(const ChainMarks& marks) {
  std::vector<std::string> next;
  for (const Explanation& one : marks.found->explanations) {
    const bool of_counts = one.cause == Cause::other_counting || one.cause == Cause::miscount ||
                           one.cause == Cause::wrong_chain;
    if (one.decided_by.empty() || !of_counts) continue;
    next.push_back(one.speaks_for.empty()
                       ? one.decided_by
                       : fmt::format("{} ({})", one.decided_by, one.speaks_for.front()));
  }
  return next;
}

constexpr std::string_view kCountAgain = "count every strand again";

// Counts that contradict each other decide nothing.
bool set_conflict(Finding& finding, const ChainMarks& marks) {
  if (marks.conflicts.empty()) return false;
  set_open(finding, OpenBecause::implausible,
           joined(marks.conflicts, "; ") + "; nothing touched the drive between",
           {"count again where the counts differ: one more that equals one of them decides; or "
            "correct the wrong entry"});
  return true;
}

Finding sum_finding(const CheckInput& input, const ChainMarks& marks) {
  Finding finding;
  finding.limit = drive_limit(input, fmt::format("sum {}", marks.inputs.links));
  const Assembly& found = *marks.found;
  if (set_conflict(finding, marks)) return finding;
  if (!found.all_counted) {
    std::string known;
    for (std::size_t i = 0; i < found.strands.size(); ++i)
      if (found.strands[i].computed)
        known = fmt::format("; {} would be {:g}, computed from the others, not counted",
                            strand_name(marks, i), *found.strands[i].pitches / 2.0);
    set_open(
        finding, OpenBecause::not_measured,
        fmt::format("{} of {} strands counted{}", found.strands.size() - uncounted(marks).size(),
                    found.strands.size(), known),
        {count_next(marks)});
    return finding;
  }
  const std::string sum = counts_text(counted(marks));
  if (*found.surplus != 0) {
    const double off = std::abs(*found.surplus) / 2.0;
    set_open(
        finding, OpenBecause::implausible,
        fmt::format("{} pitches, {:g} {} {} than the chain has links: a miscount or another "
                    "chain, not a jumped tooth",
                    sum, off, off == 1 ? "link" : "links", *found.surplus > 0 ? "more" : "fewer"),
        what_would_decide(marks));
    return finding;
  }
  finding.verdict = Verdict::pass;
  finding.why = fmt::format("{} pitches, as many as the chain has links", sum);
  hold_back_pass(finding, marks);
  return finding;
}

// What to move is said once for a chain: at the first sprocket that is off.
void add_realignment(Finding& finding, const ChainMarks& marks, std::size_t sprocket) {
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j)
    if (*marks.found->sprockets[j].half_teeth % 2 != 0 || over_a_quarter_turn(marks, j)) {
      finding.follows.push_back(
          fmt::format("move nothing before {} is understood", marks.sprockets[j].name));
      return;
    }
  RealignInputs in{.links = marks.inputs.links, .nominal = marks.inputs.nominal};
  for (std::size_t j = 0; j < marks.sprockets.size(); ++j) {
    in.names.push_back(marks.sprockets[j].name);
    in.teeth_early.push_back(*marks.found->sprockets[j].half_teeth / 2);
  }
  const auto first = std::find_if(in.teeth_early.begin(), in.teeth_early.end(),
                                  [](int teeth) { return teeth != 0; });
  if (const auto said_at = static_cast<std::size_t>(first - in.teeth_early.begin());
      said_at != sprocket) {
    finding.follows.push_back(fmt::format("what to move: at {}", in.names[said_at]));
    return;
  }
  const auto plan = realign(in);
  if (!plan) {
    finding.follows.push_back(plan.error().why);
    return;
  }
  std::string moves;
  for (const SprocketMove& move : plan->moves)
    moves += (moves.empty() ? "" : ", then ") + move_words(in, move);
  finding.follows.push_back(fmt::format("move in the chain: {}; nothing else", moves));
  finding.follows.insert(finding.follows.end(), plan->steps.begin(), plan->steps.end());
  finding.cautions = plan->cautions;
}

void set_off(Finding& finding, const ChainMarks& marks, std::size_t j, const std::string& error) {
  const Assembly& found = *marks.found;
  const int half_teeth = *found.sprockets[j].half_teeth;
  const std::string against = fmt::format("{} against {}", error, marks.sprockets[0].name);
  if (half_teeth % 2 != 0) {
    set_open(finding, OpenBecause::implausible,
             fmt::format("{}: there is no half tooth in a chain", against),
             {std::string(kCountAgain)});
    return;
  }
  if (!found.all_counted) {
    set_open(finding, OpenBecause::not_measured,
             fmt::format("{} by the strands counted, not proven by the sum", against),
             {count_next(marks)});
    return;
  }
  if (over_a_quarter_turn(marks, j)) {
    set_open(finding, OpenBecause::implausible,
             fmt::format("{}: more than a quarter turn, rather another tooth taken for the mark",
                         against),
             {"look at the mark again, paint it, count every strand again"});
    return;
  }
  finding.verdict = Verdict::fail;
  finding.why = fmt::format("{}; {} pitches, so the sum is right and a sprocket was moved", against,
                            counts_text(counted(marks)));
  if (marks.sprockets.size() == 2) finding.why += "; which of the two, the counts do not say";
  add_realignment(finding, marks, j);
  for (const Explanation& one : found.explanations)
    if (one.cause == Cause::links_exchanged)
      finding.next.push_back(fmt::format("{} ({})", one.decided_by, joined(one.speaks_for, "; ")));
  for (const Explanation& one : found.explanations)
    if (one.cause == Cause::moved_sprockets && !one.decided_by.empty())
      finding.next.push_back(
          fmt::format("{}: {}", one.decided_by, joined(one.speaks_against, "; ")));
}

// Chains in series: a stage by itself says nothing of the crankshaft.
void add_stages(Finding& finding, const ChainMarks& marks, std::size_t j,
                const StagesBefore& before) {
  const bool straight = before.through.empty() && before.missing.empty();
  if (finding.verdict == Verdict::open || straight) return;
  const std::string& driver = marks.sprockets[0].name;
  const std::string own = error_text(marks, j, *marks.found->sprockets[j].half_teeth);
  const auto drop_advice = [&] {
    finding.follows.clear();
    finding.cautions.clear();
  };
  if (!before.missing.empty()) {
    set_open(finding, OpenBecause::not_measured,
             fmt::format("{} against {}; but {}", own, driver, before.missing),
             {fmt::format("count every strand between {} and the crank too", driver)});
    drop_advice();
    return;
  }
  const std::string through = joined(before.through, ", ");
  if (before.off.empty()) {
    finding.why += fmt::format("; {} counted right to the crank through {}", driver, through);
    return;
  }
  const CrankAngle total = before.total + marks.found->sprockets[j].crank.value_or(CrankAngle{});
  constexpr double kSame = 1e-6;  // degrees; what teeth make differs by far more
  if (std::abs(in_crank_deg(total)) < kSame) {
    set_open(
        finding, OpenBecause::implausible,
        fmt::format("{} against {}, and {}: the stages cancel each other", own, driver, before.off),
        {std::string(kCountAgain)});
    drop_advice();
    return;
  }
  if (finding.verdict == Verdict::pass)
    finding.follows = {"nothing to move in this chain: what is off lies before it"};
  finding.verdict = Verdict::fail;
  const std::string text = total_text(marks.inputs.sprockets[j], total);
  finding.why =
      fmt::format("{} against crank in all, through {}: {} against {}, and {}; {} pitches", text,
                  through, own, driver, before.off, counts_text(counted(marks)));
  finding.value = FindingValue{total.si(), std::string(si_symbol(Kind::crank_angle)), 0, 2, text};
}

Finding sprocket_finding(const CheckInput& input, const std::vector<ChainMarks>& all,
                         const ChainMarks& marks, std::size_t j) {
  Finding finding;
  finding.limit = drive_limit(input, counts_text(marks.inputs.nominal));
  if (set_conflict(finding, marks)) return finding;
  const Assembly& found = *marks.found;
  const auto& half_teeth = found.sprockets[j].half_teeth;
  if (found.surplus.value_or(0) != 0) {
    set_open(finding, OpenBecause::implausible,
             "no tooth error is stated while the counts do not add up to the chain",
             {std::string(kCountAgain)});
    return finding;
  }
  if (!half_teeth) {
    set_open(finding, OpenBecause::not_measured, "the strands on both sides are not all counted",
             {count_next(marks)});
    return finding;
  }
  const std::string error = error_text(marks, j, *half_teeth);
  if (const auto& crank = found.sprockets[j].crank)
    finding.value =
        FindingValue{crank->si(), std::string(si_symbol(Kind::crank_angle)), 0, 2, error};
  if (is_other_turn(marks)) {
    set_open(finding, OpenBecause::outside_model, std::string(kOtherTurn),
             {std::string(kOtherTurnNext)});
    return finding;
  }
  if (*half_teeth != 0) {
    set_off(finding, marks, j, error);
  } else if (!found.all_counted) {
    set_open(finding, OpenBecause::not_measured,
             "as it should be by the strands counted, not proven by the sum", {count_next(marks)});
  } else {
    finding.verdict = Verdict::pass;
    finding.why = fmt::format("{} pitches, so no tooth off against {}", counts_text(counted(marks)),
                              marks.sprockets[0].name);
  }
  const StagesBefore before = stages_before(input.drive->drive, all, marks);
  add_stages(finding, marks, j, before);
  hold_back_pass(finding, marks);
  if (finding.verdict == Verdict::pass && !before.touched_by.empty())
    set_open(finding, OpenBecause::not_measured,
             fmt::format("{}; but {} touched the drive since", finding.why, before.touched_by),
             {std::string(kCountAgain)});
  return finding;
}

void add_common(Finding& finding, const ChainMarks& marks, const std::string& subject) {
  finding.check = kCheck;
  finding.subject = subject;
  finding.evidence = marks.evidence;
  for (const std::string& one : marks.outvoted) finding.why += "; " + one;
  for (const Strand& strand : marks.unplaced)
    if (marks.found)
      finding.next.push_back(
          fmt::format("not used, no strand of the drive: {} to {}", strand.from, strand.to));
  finding.cautions.emplace_back(
      "right counts say nothing of a sprocket that sits wrong on its shaft (key, bolt, phaser)");
  finding.sources.emplace_back("links and teeth as whole numbers: geometry/assembly.h");
}

// A drive that gives the links of the chain but no counts: the sum of a closed row of strands can
// still be wrong; right, it proves nothing, for a jump leaves it alone.
Finding sum_alone(const ChainMarks& marks) {
  Finding finding =
      open_finding("", "", OpenBecause::not_in_drive, marks.problem,
                   {"enter links and strands of this chain in the drive, from the maker's sheet or "
                    "counted on an engine known to be right"});
  std::multiset<std::string> from, to;
  std::vector<int> counts;
  for (const Strand& strand : marks.unplaced) {
    from.insert(folded(strand.from));
    to.insert(folded(strand.to));
    counts.push_back(strand.links);
  }
  if (!marks.chain->links || from != to) return finding;
  const auto sum = link_sum({.counts = counts, .chain_links = *marks.chain->links});
  if (!sum) return finding;
  for (int& count : counts) count *= 2;
  finding.why += fmt::format("; {} pitches, the chain has {} links: ", counts_text(counts),
                             *marks.chain->links);
  if (sum->surplus == 0) {
    finding.why += "they add up, and a jump would leave that alone";
  } else {
    finding.open_because = OpenBecause::implausible;
    finding.why += "a miscount or another chain, not a jumped tooth";
    finding.next.insert(finding.next.begin(), "count every strand again, and the whole chain");
  }
  return finding;
}

// Where nobody counted but the link under every mark was noted: these numbers close by themselves
// and cannot show a miscount, so they prove nothing.
std::optional<Finding> numbers_finding(const CheckInput& input, ChainMarks marks) {
  std::vector<int> under_mark;
  for (const ChainSprocket& sprocket : marks.sprockets) {
    if (!sprocket.stand || !sprocket.stand->mark->link) return std::nullopt;
    under_mark.push_back(2 * *sprocket.stand->mark->link);
  }
  const auto strands = strands_from_links(marks.inputs.links, under_mark);
  Finding finding = open_finding("", "", OpenBecause::not_measured,
                                 "by the numbers of the links: ", {count_next(marks)});
  finding.limit = drive_limit(input, counts_text(marks.inputs.nominal));
  if (!strands) {
    finding.why += strands.error().why;
    return finding;
  }
  for (std::size_t i = 0; i < strands->size(); ++i)
    marks.inputs.counted[i] = CountedStrand{(*strands)[i]};
  const auto found = assembly(marks.inputs);
  if (!found) return std::nullopt;
  finding.why += counts_text(*strands);
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j)
    if (const auto& error = found->sprockets[j].half_teeth)
      finding.why += fmt::format("; {} {}", marks.sprockets[j].name, error_text(marks, j, *error));
  finding.why += "; such numbers close by themselves and hide a miscount";
  return finding;
}

}  // namespace

std::vector<Finding> link_counts(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr)
    for (const auto& [entry, seen] : all_of_kind<MarksSeen>(input.entries)) {
      findings.push_back(open_finding(std::string(kCheck), seen->chain, OpenBecause::not_in_drive,
                                      "the case names no drive to compare the counts with",
                                      {"name the drive, or ask tautmark quick links"}));
      findings.back().evidence = {entry->id};
    }
  const std::vector<ChainMarks> all = chain_marks(input, OfChains::all);
  for (const ChainMarks& marks : all) {
    const bool any =
        !marks.unplaced.empty() || std::any_of(marks.said.begin(), marks.said.end(),
                                               [](const auto& strand) { return !strand.empty(); });
    if (!any) {
      if (auto numbers = marks.found ? numbers_finding(input, marks) : std::nullopt) {
        findings.push_back(std::move(*numbers));
        add_common(findings.back(), marks, marks.chain->name);
      }
      continue;
    }
    if (!marks.found) {
      findings.push_back(sum_alone(marks));
      add_common(findings.back(), marks, marks.chain->name);
      continue;
    }
    findings.push_back(sum_finding(input, marks));
    add_common(findings.back(), marks, marks.chain->name);
    for (std::size_t j = 1; j < marks.sprockets.size(); ++j) {
      findings.push_back(sprocket_finding(input, all, marks, j));
      add_common(findings.back(), marks, marks.sprockets[j].name);
    }
  }
  return findings;
}

}  // namespace tautmark::checks
