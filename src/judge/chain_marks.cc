// SPDX-License-Identifier: Apache-2.0
#include "judge/chain_marks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/text.h"
#include "judge/drive_paths.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

bool same_name(const std::string& a, const std::string& b) { return folded(a) == folded(b); }

LinkCount way_of(LinkCounting counting) {
  return counting == LinkCounting::both_marks ? LinkCount::with_both_marks
         : counting == LinkCounting::between  ? LinkCount::between
                                              : LinkCount::pitches;
}

// Strands of the drive as a closed row, the driving sprocket first; nothing when they close none.
std::vector<const Strand*> closed_row(const Drive& drive, const Chain& chain) {
  std::vector<const Strand*> row;
  if (chain.strands.empty()) return row;
  const auto drives_it = [&](const std::string& name) {
    if (same_place(name, "crank")) return 2;
    for (const Idler& idler : drive.idlers)
      if (same_place(name, idler.name) && same_name(idler.drives, chain.name)) return 2;
    for (const Bank& bank : drive.banks)
      for (const Camshaft& camshaft : bank.camshafts)
        if (same_place(name, fmt::format("bank {} / {}", bank.number, camshaft.name)) &&
            chain_of(drive, bank, camshaft) != &chain)
          return 1;
    return 0;
  };
  row.push_back(&*std::max_element(
      chain.strands.begin(), chain.strands.end(),
      [&](const Strand& a, const Strand& b) { return drives_it(a.from) < drives_it(b.from); }));
  while (row.size() < chain.strands.size()) {
    const auto next =
        std::find_if(chain.strands.begin(), chain.strands.end(),
                     [&](const auto& one) { return same_place(one.from, row.back()->to); });
    if (next == chain.strands.end() || &*next == row.front()) return {};
    row.push_back(&*next);
  }
  return same_place(row.back()->to, row.front()->from) ? row : std::vector<const Strand*>{};
}

const PathPart* path_part(const Chain& chain, const std::string& name) {
  for (const PathPart& part : chain.path)
    if (same_place(part.name, name)) return &part;
  return nullptr;
}

void set_phaser(MarkedSprocket& sprocket, const Phaser& phaser) {
  if (!phaser.base || !phaser.range) return;
  const CrankAngle range = phaser.range->value;
  switch (*phaser.base) {
    case PhaserBase::full_advance:
      sprocket.phaser_late = range;
      break;
    case PhaserBase::full_retard:
      sprocket.phaser_early = range;
      break;
    case PhaserBase::mid_travel:
      sprocket.phaser_early = sprocket.phaser_late = range;
      break;
  }
}

void add_sprocket(const Drive& drive, ChainMarks& marks, const std::string& name) {
  const Chain& chain = *marks.chain;
  const CrankSprocket* crank = crank_sprocket_of(drive, chain);
  ChainSprocket sprocket{name, nullptr, nullptr, {}, {}};
  MarkedSprocket model{.name = name, .crank_turns = 0, .is_camshaft = false};
  for (const ChainMark& mark : chain.marks)
    if (same_place(mark.at, name)) sprocket.mark = &mark;
  if (same_place(name, "crank")) {
    model.teeth = crank != nullptr ? crank->teeth : 0;
    model.crank_turns = 1;
  }
  for (const Bank& bank : drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      if (!same_place(name, fmt::format("bank {} / {}", bank.number, camshaft.name))) continue;
      sprocket.camshaft = &camshaft;
      model.teeth = camshaft.sprocket_teeth.value_or(0);
      model.crank_turns = 2;
      model.is_camshaft = true;
      if (camshaft.phaser) set_phaser(model, *camshaft.phaser);
    }
  for (const Idler& idler : drive.idlers) {
    if (!same_place(name, idler.name)) continue;
    model.teeth = same_name(idler.driven_by, chain.name) ? idler.teeth_in : idler.teeth_out;
    if (const auto turns = shaft_turns(drive, name); turns && !model.is_camshaft)
      model.crank_turns = static_cast<double>(turns->under) / static_cast<double>(turns->over);
  }
  if (const PathPart* part = path_part(chain, name); part != nullptr && part->teeth)
    model.teeth = *part->teeth;
  if (sprocket.mark != nullptr) model.link_color = folded(sprocket.mark->color.value_or(""));
  sprocket.turns_together =
      turns_together(drive, name, marks.sprockets.empty() ? name : marks.sprockets[0].name);
  marks.sprockets.push_back(std::move(sprocket));
  marks.inputs.sprockets.push_back(std::move(model));
}

// What the drive says; the problem when it does not say enough.
void set_nominal(const Drive& drive, ChainMarks& marks) {
  const Chain& chain = *marks.chain;
  const auto row = closed_row(drive, chain);
  if (!chain.links) {
    marks.problem = "the drive does not say how many links this chain has";
  } else if (chain.strands.empty()) {
    marks.problem = "the drive gives no link counts between the marks";
  } else if (row.empty()) {
    marks.problem = "the strands of the drive do not close a loop";
  }
  if (!marks.problem.empty()) {
    // Sprocket marks can still be spoken of.
    add_sprocket(drive, marks, "crank");
    for (const Bank& bank : drive.banks)
      for (const Camshaft& camshaft : bank.camshafts)
        if (chain_of(drive, bank, camshaft) == &chain)
          add_sprocket(drive, marks, fmt::format("bank {} / {}", bank.number, camshaft.name));
    return;
  }
  marks.inputs.links = *chain.links;
  marks.inputs.has_plates = chain.type != ChainType::toothed_belt;
  if (chain.pitch) marks.inputs.pitch = chain.pitch->value;
  for (const Strand* strand : row) {
    add_sprocket(drive, marks, strand->from);
    const auto pitches =
        pitches_counted(strand->links, way_of(chain.counted.value_or(LinkCounting::pitches)));
    if (!pitches) marks.problem = pitches.error().why;
    marks.inputs.nominal.push_back(2 * pitches.value_or(0));
  }
  marks.inputs.counted.resize(row.size());
  marks.said.resize(row.size());
}

// Which way a sprocket of this chain turns, seen from the front. Behind a gear pair it is not said.
std::optional<Rotation> rotation_of(const Drive& drive, const ChainMarks& marks,
                                    const std::string& name) {
  const auto& crank = drive.crankshaft;
  if (!crank || !crank->rotation || !crank->seen_from) return std::nullopt;
  for (const GearPair& gears : drive.gears)
    for (const ChainSprocket& sprocket : marks.sprockets)
      if (same_place(gears.driven, sprocket.name)) return std::nullopt;
  const PathPart* part = path_part(*marks.chain, name);
  const bool opposite = (*crank->seen_from == ViewedFrom::flywheel_end) !=
                        (part != nullptr && part->runs == RunsOn::outside);
  return (*crank->rotation == Rotation::clockwise) != opposite ? Rotation::clockwise
                                                               : Rotation::counterclockwise;
}

// The strand of the loop with these ends, either way round where that leaves no doubt.
std::optional<std::size_t> strand_between(const ChainMarks& marks, const Strand& strand) {
  const std::size_t count = marks.sprockets.size();
  for (std::size_t i = 0; i < count; ++i)
    if (same_place(marks.sprockets[i].name, strand.from) &&
        same_place(marks.sprockets[(i + 1) % count].name, strand.to))
      return i;
  if (count < 3) return std::nullopt;
  for (std::size_t i = 0; i < count; ++i)
    if (same_place(marks.sprockets[i].name, strand.to) &&
        same_place(marks.sprockets[(i + 1) % count].name, strand.from))
      return i;
  return std::nullopt;
}

void forget(ChainMarks& marks) {
  for (auto& strand : marks.said) strand.clear();
  for (ChainSprocket& sprocket : marks.sprockets) sprocket.stand.reset();
  for (MarkedSprocket& sprocket : marks.inputs.sprockets) sprocket.phaser_locked.reset();
  marks.evidence.clear();
  marks.unplaced.clear();
  marks.touched_by.clear();
  marks.links_found.clear();
  marks.inputs.settled = false;
}

// A wheel of N teeth that stands N teeth off stands right: teeth are meant modulo its own.
void fold_turns(MarkStand& stand, int teeth) {
  if (teeth == 0) return;
  const int turn = 2 * teeth;
  for (int& half_teeth : stand.reading.possible) {
    const int said = half_teeth;
    half_teeth = ((said % turn) + turn) % turn;
    if (half_teeth > teeth) half_teeth -= turn;
    stand.half_turn = stand.half_turn || half_teeth == teeth;
    stand.whole_turn = stand.whole_turn || (said != 0 && half_teeth == 0);
  }
}

// The count of each strand that the most entries say; none where no number leads.
void decide_counts(ChainMarks& marks) {
  for (std::size_t i = 0; i < marks.said.size(); ++i) {
    std::vector<std::pair<int, int>> votes;  // half pitches, how often
    std::string numbers;
    for (const SaidCount& said : marks.said[i]) {
      const auto known = std::find_if(votes.begin(), votes.end(), [&](const auto& vote) {
        return vote.first == said.half_pitches;
      });
      if (known == votes.end())
        votes.emplace_back(said.half_pitches, 1);
      else
        ++known->second;
      numbers += fmt::format("{}{:g}", numbers.empty() ? "" : " and ", said.half_pitches / 2.0);
    }
    if (votes.empty()) continue;
    std::sort(votes.begin(), votes.end(),
              [](const auto& a, const auto& b) { return a.second > b.second; });
    const std::string text = fmt::format("{}: counted {}", strand_name(marks, i), numbers);
    if (votes.size() > 1 && votes[0].second == votes[1].second) {
      marks.conflicts.push_back(text);
      continue;
    }
    if (votes.size() > 1)
      marks.outvoted.push_back(
          fmt::format("{}; {:g} is used, said most often", text, votes[0].first / 2.0));
    marks.inputs.counted[i] = CountedStrand{votes[0].first};
  }
}

void add_seen(const Drive& drive, ChainMarks& marks, const Entry& entry, const MarksSeen& seen) {
  if (!marks.touched_by.empty()) forget(marks);
  marks.is_looked_at = true;
  marks.evidence.push_back(entry.id);
  if (seen.links_found) marks.links_found = *seen.links_found;
  marks.inputs.settled = seen.settled.value_or(false);
  for (const Strand& strand : seen.strands) {
    const auto at = marks.problem.empty() ? strand_between(marks, strand) : std::nullopt;
    const LinkCount way = way_of(seen.counted.value_or(LinkCounting::pitches));
    const auto pitches = pitches_counted(strand.links, way);
    if (!at || !pitches) {
      marks.unplaced.push_back({strand.from, strand.to, pitches.value_or(0)});
      continue;
    }
    marks.inputs.counted_as = way;
    auto& said = marks.said[*at];
    if (std::none_of(said.begin(), said.end(), [&](const SaidCount& one) {
          return one.entry == entry.id && one.half_pitches == 2 * *pitches;
        }))
      said.push_back({entry.id, 2 * *pitches});
  }
  for (std::size_t j = 0; j < marks.sprockets.size(); ++j) {
    ChainSprocket& sprocket = marks.sprockets[j];
    if (seen.phaser && *seen.phaser != Locked::unknown)
      marks.inputs.sprockets[j].phaser_locked = *seen.phaser == Locked::locked;
    for (const SprocketMark& mark : seen.sprockets) {
      if (!same_place(mark.at, sprocket.name)) continue;
      const auto words = read_mark_words(mark.stands);
      if (!words) continue;
      const MarkView view{seen.seen_from, rotation_of(drive, marks, sprocket.name),
                          sprocket.mark != nullptr && sprocket.mark->clock
                              ? std::optional(sprocket.mark->clock->value)
                              : std::nullopt};
      sprocket.stand =
          MarkStand{.entry = &entry,
                    .seen = &seen,
                    .mark = &mark,
                    .words = *words,
                    .reading = mark_reading(*words, view),
                    .against_link = mark.against == MarkAgainst::link || words->of_link};
      fold_turns(*sprocket.stand, marks.inputs.sprockets[j].teeth);
    }
  }
}

// Ordering a part and laying the old one aside move nothing; running it for a pressure does.
bool touches_the_drive(const EntryBody& body) {
  if (const auto* part = std::get_if<PartEntry>(&body))
    return part->action == PartAction::fitted || part->action == PartAction::reused;
  return std::holds_alternative<EngineState>(body) || std::holds_alternative<StepDone>(body) ||
         std::holds_alternative<TorqueTrace>(body) || std::holds_alternative<PressureReading>(body);
}

// Marks against the casting say something of a sprocket only while the driving mark stands right.
void set_seen(ChainMarks& marks) {
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j) {
    const auto& stand = marks.sprockets[j].stand;
    if (!stand || stand->against_link || stand->mark->against != MarkAgainst::casting) continue;
    if (stand->reading.possible.size() != 1 || !driving_mark_right(marks, *stand)) continue;
    if (half_a_turn(*stand) || stand->whole_turn || !returns_in_two_turns(marks.sprockets[j]))
      continue;
    marks.inputs.sprockets[j].seen_half_teeth = stand->reading.possible.front();
    marks.inputs.sprockets[j].seen_with_doubt = stand->words.doubt;
  }
}

}  // namespace

std::vector<ChainMarks> chain_marks(const CheckInput& input, OfChains which) {
  std::vector<ChainMarks> all;
  if (input.drive == nullptr) return all;
  const Drive& drive = input.drive->drive;
  const std::vector<const Entry*> entries = entries_in_order_of_work(*input.value);
  for (const Chain& chain : drive.chains) {
    if (which == OfChains::driving_camshafts && !drives_a_camshaft(drive, chain)) continue;
    ChainMarks marks;
    marks.chain = &chain;
    set_nominal(drive, marks);
    for (const Entry* entry : entries) {
      if (const auto* seen = std::get_if<MarksSeen>(&entry->body)) {
        if (same_name(seen->chain, chain.name)) add_seen(drive, marks, *entry, *seen);
      } else if (marks.is_looked_at && marks.touched_by.empty() && touches_the_drive(entry->body)) {
        marks.touched_by = entry->id;
      }
    }
    set_seen(marks);
    decide_counts(marks);
    if (marks.problem.empty()) {
      auto found = assembly(marks.inputs);
      if (found)
        marks.found = std::move(*found);
      else
        marks.problem = found.error().why;
    }
    all.push_back(std::move(marks));
  }
  return all;
}

std::string strand_name(const ChainMarks& marks, std::size_t strand) {
  return fmt::format("{} to {}", marks.sprockets[strand].name,
                     marks.sprockets[(strand + 1) % marks.sprockets.size()].name);
}

std::string counts_text(const std::vector<int>& half_pitches) {
  std::string text;
  for (const int half : half_pitches)
    text += fmt::format("{}{:g}", text.empty() ? "" : " + ", half / 2.0);
  const int sum = std::accumulate(half_pitches.begin(), half_pitches.end(), 0);
  return fmt::format("{} = {:g}", text, sum / 2.0);
}

bool driving_mark_right(const ChainMarks& marks, const MarkStand& stand) {
  const auto& driving = marks.sprockets.front().stand;
  return driving && driving->entry == stand.entry && driving->words.seen == MarkSeen::right &&
         !driving->words.doubt && driving->words.unheard.empty() && !driving->against_link &&
         driving->mark->against == MarkAgainst::casting;
}

bool returns_in_two_turns(const ChainSprocket& sprocket) {
  return sprocket.turns_together && *sprocket.turns_together <= 2;
}

bool half_a_turn(const MarkStand& stand) {
  return stand.half_turn || stand.words.seen == MarkSeen::half_turn_away;
}

std::string error_text(const ChainMarks& marks, std::size_t sprocket, int half_teeth_early) {
  const MarkedSprocket& model = marks.inputs.sprockets[sprocket];
  std::string text = fmt::format("{} {}", halves_text(std::abs(half_teeth_early), "tooth", "teeth"),
                                 half_teeth_early > 0 ? "early" : "late");
  if (half_teeth_early == 0) return "no tooth off";
  if (model.teeth == 0) return text;
  const double own = std::abs(half_teeth_early) * 180.0 / model.teeth;
  if (model.is_camshaft) return fmt::format("{} ({:.3f}° cam, {:.3f}° crank)", text, own, 2 * own);
  return model.crank_turns > 0 ? fmt::format("{} ({:.3f}° crank)", text, own * model.crank_turns)
                               : text;
}

FindingLimit drive_limit(const CheckInput& input, std::string shown) {
  FindingLimit limit;
  const auto source = input.drive->drive.source.value_or(SourceRef{});
  limit.origin = source.origin.value_or(Origin::unknown);
  for (const auto& part : {source.document, source.edition, source.page})
    if (part) limit.source += (limit.source.empty() ? "" : ", ") + *part;
  limit.checked_by = input.drive->drive.checked_by.value_or("");
  limit.unit = "links";
  limit.shown = std::move(shown);
  return limit;
}

void hold_back_pass(Finding& finding, const ChainMarks& marks) {
  if (!marks.touched_by.empty())
    finding.why += fmt::format("; but {} touched the drive since", marks.touched_by);
  if (finding.verdict != Verdict::pass) return;
  if (!marks.touched_by.empty()) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::not_measured;
    finding.next = {"count every strand again"};
  } else if (!can_carry_pass(finding.limit->origin) || finding.limit->source.empty()) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::limit_origin;
    finding.why += "; but the counts of the drive are of no maker's or shop's document";
    finding.next = {"name the document that the link counts stand in"};
  }
}

}  // namespace tautmark
