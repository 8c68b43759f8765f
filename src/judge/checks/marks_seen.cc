// SPDX-License-Identifier: Apache-2.0
// Sprocket marks as they were seen, one finding for each driven sprocket, and one for the driving
// one where it stands off. Against the casting the marks of most drives return every two crank
// turns: away is wrong. Idlers of other ratios return after more, and then away says nothing
// without the number of turns since. Marked links return only after many turns: away from the marks
// they are never a fault. Only whole teeth count; half a tooth is read again.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/chain_marks.h"
#include "judge/checks/checks.h"
#include "judge/checks/mark_answer.h"
#include "judge/drive_paths.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "marks-seen";

constexpr std::string_view kReadAgain =
    "read it again, square on, after two turns forward with the tensioner in work and the slack on "
    "its strand, where the turning answer allows them; else count the links";

std::string returns_text(const ChainMarks& marks) {
  ChainTurnedInputs in{.links = marks.inputs.links, .nominal = marks.inputs.nominal};
  for (const MarkedSprocket& sprocket : marks.inputs.sprockets) in.teeth.push_back(sprocket.teeth);
  const auto turned = chain_turned(in);
  if (!turned || !turned->turns_all || !turned->turns_sprocket_marks)
    return "marked links return only after many turns, sprocket marks much sooner";
  return fmt::format("marked links return after {} turns of {}, sprocket marks after {}",
                     *turned->turns_all, marks.sprockets[0].name, *turned->turns_sprocket_marks);
}

// What to expect of the marked links after the two turns by hand.
std::string after_two_turns(const ChainMarks& marks) {
  ChainTurnedInputs in{.links = marks.inputs.links, .nominal = marks.inputs.nominal};
  for (const MarkedSprocket& sprocket : marks.inputs.sprockets) in.teeth.push_back(sprocket.teeth);
  if (in.teeth.empty()) return {};
  in.teeth_passed = 2LL * in.teeth.front();
  const auto turned = chain_turned(in);
  if (!turned) return {};
  std::string text;
  for (const LinkPlace& place : turned->links)
    text += fmt::format("{}the link of {} {:g} pitches on from the mark of {}",
                        text.empty() ? "" : ", ", marks.sprockets[place.mark].name,
                        place.half_pitches / 2.0, marks.sprockets[place.past].name);
  return fmt::format("two turns after all stood on their marks, expect {}", text);
}

// Marked links belong to the chain: with others than the drive's it is laid by counts.
Finding pattern_finding(const CheckInput& input, const ChainMarks& marks) {
  Finding finding = open_finding(
      std::string(kCheck), marks.chain->name, OpenBecause::outside_model,
      fmt::format("marked links as found: {}; they belong to the chain, not to the engine",
                  clipped(marks.links_found)),
      {std::string(kCountAndPaint)});
  std::string counts;
  for (std::size_t i = 0; i < marks.inputs.nominal.size(); ++i)
    counts += fmt::format("{}{:g} from {}", counts.empty() ? "" : ", ",
                          marks.inputs.nominal[i] / 2.0, strand_name(marks, i));
  if (!counts.empty())
    finding.next.push_back(fmt::format("lay it by the counts, in running direction: {}", counts));
  finding.limit = drive_limit(input, marks.chain->marked_links.value_or("marked links"));
  finding.evidence = marks.evidence;
  return finding;
}

// Marked links lie where they lie: they say nothing once it was turned, and little before.
MarkAnswer links_answer(const ChainMarks& marks, const MarkStand& stand) {
  MarkAnswer answer{.because = OpenBecause::outside_model, .next = {std::string(kCountAndPaint)}};
  const bool away =
      stand.words.seen == MarkSeen::off || stand.words.seen == MarkSeen::half_turn_away;
  answer.why = fmt::format("{}: {}",
                           away ? "marked links away from the marks are no fault"
                                : "marked links on the marks prove nothing by themselves",
                           returns_text(marks));
  if (std::string expect = after_two_turns(marks); !expect.empty())
    answer.next.push_back(std::move(expect));
  return answer;
}

MarkAnswer nothing_to_see(const MarkStand& stand) {
  return {.why = stand.words.seen == MarkSeen::gone ? "there is no mark to see"
                                                    : "the mark cannot be seen",
          .next = {std::string(kCountAndPaint)}};
}

// A fraction, or a doubt: what else would explain it, in the order of the model.
MarkAnswer half_tooth(const ChainMarks& marks, std::size_t j, const MarkStand& stand) {
  MarkAnswer answer{.because = OpenBecause::too_close};
  answer.why =
      fmt::format("{}: there is no half tooth in a chain", amount_text(marks, j, stand.reading));
  answer.next = {std::string(kReadAgain)};
  if (!marks.found) return answer;
  for (const Explanation& one : marks.found->explanations)
    if (one.cause == Cause::slack_in_driving_strand || one.cause == Cause::phaser_off_base)
      answer.next.push_back(fmt::format("{} ({})", one.decided_by, one.speaks_for.front()));
    else if (one.cause == Cause::half_tooth_reading && !one.speaks_against.empty())
      answer.why += "; " + one.speaks_against.back();
  answer.next.emplace_back("count the links; and whether chain and sprocket are the right ones");
  return answer;
}

// Nothing when the counts say the same as what was seen, or nothing.
std::optional<MarkAnswer> contradicted(const ChainMarks& marks, std::size_t j, int half_teeth) {
  if (!marks.found) return std::nullopt;
  const auto& counted = marks.found->sprockets[j].half_teeth;
  if (!counted || *counted == half_teeth) return std::nullopt;
  return MarkAnswer{
      .because = OpenBecause::implausible,
      .why = fmt::format("{} against the casting, but {} by the link counts",
                         error_text(marks, j, half_teeth), error_text(marks, j, *counted)),
      .next = {
          "look at the mark and the counts again; if both stay, at key, dowel and bolt of this "
          "sprocket and at its phaser's lock"}};
}

std::string together_text(const ChainMarks& marks, std::size_t j) {
  const auto& turns = marks.sprockets[j].turns_together;
  return turns ? fmt::format("the marks of {} and {} stand together every {} crank turns",
                             marks.sprockets[0].name, marks.sprockets[j].name, *turns)
               : std::string("when this mark returns does not follow from the drive");
}

// Marks that two turns do not bring back: right or off, the number of turns since would decide.
MarkAnswer returns_later(const ChainMarks& marks, std::size_t j, const MarkStand& stand) {
  const bool is_known = marks.sprockets[j].turns_together.has_value();
  return {.because = is_known ? OpenBecause::not_measured : OpenBecause::not_in_drive,
          .why = fmt::format("{}; {}{}",
                             stand.words.seen == MarkSeen::right ? "right against the casting"
                             : half_a_turn(stand)                ? "half a turn away"
                                                  : amount_text(marks, j, stand.reading),
                             together_text(marks, j),
                             is_known ? ", and how many were made since they did is not said" : ""),
          .next = {std::string(kCountAndPaint)}};
}

MarkAnswer half_turn_answer(const MarkStand& stand) {
  if (stand.whole_turn)
    return {.because = OpenBecause::implausible,
            .why = "as many teeth as whole turns of the wheel have: that is no place",
            .next = {"say again how the mark stands"}};
  return {.because = OpenBecause::outside_model,
          .why = "half a turn away: the other of the two crank turns, or half a turn wrong",
          .next = {std::string(kCountAndPaint)}};
}

MarkAnswer off_answer(const ChainMarks& marks, std::size_t j, const MarkStand& stand) {
  const MarkReading& reading = stand.reading;
  MarkAnswer answer{.why = amount_text(marks, j, reading)};
  if (!stand.words.half_teeth || !stand.words.unheard.empty()) {
    answer.next = {reading.ask, std::string(kCountAndPaint)};
    return answer;
  }
  if (stand.words.doubt || *stand.words.half_teeth % 2 != 0) return half_tooth(marks, j, stand);
  if (reading.possible.size() == 1)
    if (auto other = contradicted(marks, j, reading.possible.front())) return *other;
  if (!reading.ask.empty()) answer.next.push_back(reading.ask);
  if (!stand.seen->settled.value_or(false)) {
    answer.why += "; not said that it was turned two turns forward, tensioner released";
    answer.next.emplace_back(kReadAgain);
    return answer;
  }
  if (marks.sprockets[j].mark == nullptr) {
    answer.because = OpenBecause::not_in_drive;
    answer.why += "; but the drive does not describe the mark of this sprocket";
    answer.next.emplace_back(kCountAndPaint);
    return answer;
  }
  answer.verdict = Verdict::fail;
  answer.because.reset();
  answer.why += "; " + together_text(marks, j);
  answer.next.emplace_back("count every strand: which sprocket is to be moved follows from that");
  return answer;
}

MarkAnswer right_answer(const ChainMarks& marks, std::size_t j, const MarkStand& stand) {
  MarkAnswer answer{.why = "right against the casting"};
  const ChainSprocket& sprocket = marks.sprockets[j];
  if (stand.words.doubt || !stand.words.unheard.empty()) {
    answer.because = OpenBecause::too_close;
    answer.why += ", not surely";
    answer.next = {std::string(kReadAgain)};
    return answer;
  }
  if (auto other = contradicted(marks, j, 0)) return *other;
  if (sprocket.mark == nullptr) {
    answer.because = OpenBecause::not_in_drive;
    answer.why += ", but the drive does not describe the mark of this sprocket";
    answer.next = {std::string(kCountAndPaint)};
    return answer;
  }
  if (!stand.seen->settled.value_or(false)) {
    answer.why += "; not said that it was turned two turns forward, tensioner released";
    answer.next = {std::string(kReadAgain)};
    return answer;
  }
  const bool has_phaser = sprocket.camshaft != nullptr && sprocket.camshaft->phaser;
  if (has_phaser && stand.seen->phaser != Locked::locked) {
    answer.why += "; but the phaser is not said to be locked";
    answer.next = {"check by hand that the phaser does not move, both ways"};
    return answer;
  }
  if (!same_place(marks.sprockets[0].name, kCrank)) {
    answer.why += fmt::format("; but where {} stands against the crank this does not say",
                              marks.sprockets[0].name);
    answer.next = {std::string(kCountAndPaint)};
    return answer;
  }
  answer.verdict = Verdict::pass;
  answer.because.reset();
  return answer;
}

MarkAnswer casting_answer(const ChainMarks& marks, std::size_t j, const MarkStand& stand) {
  if (stand.mark->against != MarkAgainst::casting)
    return {.why = "against what it stands is not said: the casting, or a marked link",
            .next = {"look at it against the mark on the casting"}};
  if (!driving_mark_right(marks, stand))
    return {.why = fmt::format("where the mark of {} stands is not said, or it is not right: this "
                               "one says nothing without it",
                               marks.sprockets[0].name),
            .next = {fmt::format("look where the mark of {} stands against the casting",
                                 marks.sprockets[0].name)}};
  if (stand.words.seen != MarkSeen::at_clock) {
    if (stand.whole_turn) return half_turn_answer(stand);
    if (!returns_in_two_turns(marks.sprockets[j])) return returns_later(marks, j, stand);
    if (half_a_turn(stand)) return half_turn_answer(stand);
  }
  switch (stand.words.seen) {
    case MarkSeen::right:
      return right_answer(marks, j, stand);
    case MarkSeen::off:
      return off_answer(marks, j, stand);
    case MarkSeen::half_turn_away:
    case MarkSeen::at_clock:
    case MarkSeen::cannot_see:
    case MarkSeen::gone:
      break;
  }
  return {.why = "a clock position says no teeth", .next = {stand.reading.ask}};
}

Finding finding_of(const CheckInput& input, const ChainMarks& marks, std::size_t j) {
  const MarkStand& stand = *marks.sprockets[j].stand;
  const MarkSeen seen = stand.words.seen;
  const MarkAnswer answer = seen == MarkSeen::cannot_see || seen == MarkSeen::gone
                                ? nothing_to_see(stand)
                            : stand.against_link ? links_answer(marks, stand)
                            : j == 0             ? driving_answer(marks, stand)
                                                 : casting_answer(marks, j, stand);
  Finding finding;
  finding.check = kCheck;
  finding.subject = marks.sprockets[j].name;
  finding.verdict = answer.verdict;
  finding.open_because = answer.because;
  finding.why = fmt::format("{}; {}", answer.why, stand.reading.read_back);
  finding.next = answer.next;
  finding.limit = drive_limit(input, "mark on mark");
  finding.limit->unit.clear();
  finding.evidence = {stand.entry->id};
  if (const auto& turns = marks.sprockets[j].turns_together; j > 0 && turns)
    finding.cautions = {fmt::format(
        "never wait for the marked links: after {} crank turns the sprocket marks must stand right",
        *turns)};
  finding.sources = {"which sprocket marks and links return when: geometry/assembly.h"};
  if (finding.verdict == Verdict::fail)
    finding.follows = {"count every strand before anything is moved, and photograph the marks"};
  hold_back_pass(finding, marks);
  return finding;
}

// Which of the two crank turns of a cycle it stands in, from all cam marks that were seen with the
// crank mark right.
std::optional<Finding> turn_finding(const CheckInput& input, const std::vector<ChainMarks>& all) {
  std::vector<CamAngle> offsets;
  Finding finding;
  bool half_turn = false;
  for (const ChainMarks& marks : all) {
    for (std::size_t j = 1; j < marks.sprockets.size(); ++j) {
      const auto& stand = marks.sprockets[j].stand;
      if (!stand || stand->against_link || marks.sprockets[j].camshaft == nullptr ||
          !same_place(marks.sprockets[0].name, kCrank) || !driving_mark_right(marks, *stand))
        continue;
      const auto from_place =
          stand->half_turn ? std::optional(deg(180)) : stand->reading.from_place;
      if (from_place)
        offsets.push_back(CamAngle::from_si(from_place->si()));
      else if (!stand->reading.possible.empty())
        offsets.emplace_back();
      else
        continue;
      half_turn = half_turn || from_place.has_value();
      finding.evidence.push_back(stand->entry->id);
    }
  }
  if (!half_turn) return std::nullopt;
  finding.check = kCheck;
  finding.subject = "which of the two crank turns";
  finding.limit = drive_limit(input, "cam marks at their places");
  finding.sources = {"common practice, no document"};
  finding.cautions = {"whether it may be turned is the turning answer's matter"};
  switch (which_turn(offsets)) {
    case WhichTurn::reference:
      return std::nullopt;
    case WhichTurn::one_crank_turn_away:
      finding.open_because = OpenBecause::outside_model;
      finding.why =
          "the crank mark stands right and every cam mark that was seen half a turn away: this is "
          "one crank turn from the position in which the marks are read";
      finding.next = {
          "go on one crank turn in running direction, only if the turning answer allows "
          "it; then read all marks again"};
      return finding;
    case WhichTurn::cams_differ:
      finding.open_because = OpenBecause::implausible;
      finding.why =
          "with the crank mark right some cam marks stand at their places and some half a turn "
          "away: not in one crank turn";
      finding.next = {"count every strand; look whether each mark is the one that is meant"};
      return finding;
    case WhichTurn::not_at_marks:
    case WhichTurn::unknown:
      break;
  }
  finding.open_because = OpenBecause::implausible;
  finding.why =
      "with the crank mark right a cam mark stands neither near its place nor half a turn away";
  finding.next = {"count every strand; look whether each mark is the one that is meant"};
  return finding;
}

}  // namespace

std::vector<Finding> marks_seen(const CheckInput& input) {
  std::vector<Finding> findings;
  const std::vector<ChainMarks> all = chain_marks(input, OfChains::all);
  if (auto turn = turn_finding(input, all)) findings.push_back(std::move(*turn));
  for (const ChainMarks& marks : all) {
    if (!marks.links_found.empty()) findings.push_back(pattern_finding(input, marks));
    if (!marks.sprockets.empty() && driving_stands_off(marks.sprockets[0]))
      findings.push_back(finding_of(input, marks, 0));
    for (std::size_t j = 1; j < marks.sprockets.size(); ++j)
      if (marks.sprockets[j].stand) findings.push_back(finding_of(input, marks, j));
  }
  return findings;
}

}  // namespace tautmark::checks
