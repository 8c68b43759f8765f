// SPDX-License-Identifier: Apache-2.0
// The order of the questions, and which of them an answer makes needless.
#include "cli/drive_interview.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "cli/drive_interview_limits.h"
#include "cli/interview.h"
#include "drive/drive_fields.h"
#include "drive/lint.h"
#include "drive/load.h"

namespace tautmark::cli {
namespace {

constexpr int kMostOfAKind = 64;  // chains, ports, limits, fasteners
constexpr int kMostBanks = 8;

std::string_view another(bool any) { return any ? "further " : ""; }

std::vector<std::string> names_in(const std::string& text) {
  std::vector<std::string> names;
  for (const std::string& part : split(text, ';'))
    if (const auto name = trimmed(part); !name.empty()) names.emplace_back(name);
  return names;
}

// Of no use without any answer in it.
template <class T>
void keep(std::optional<T>& member, T&& value) {
  if (!(value == T{})) member = std::forward<T>(value);
}

void ask_identity(Interview& talk, Drive& drive, std::string_view name) {
  drive.tautmark = "drive/1";
  drive.name = std::string(name);
  if (name.empty()) {
    if (const auto said = talk.words("drive.name")) {
      if (is_drive_name(*said))
        drive.name = *said;
      else
        talk.refuse(fmt::format("\"{}\" is no short name: letters, digits, - and _ only", *said),
                    "vessgarth-v6-12");
    }
  }
  talk.fill("drive.title", &drive);
  talk.fill("drive.invented", &drive);
  Covers covers;
  for (const std::string_view key :
       {"covers.displacement", "covers.valves", "covers.years", "covers.serials", "covers.note"})
    talk.fill(key, &covers);
  keep(drive.covers, std::move(covers));
  talk.fill("drive.recognise", &drive);
  SourceRef source;
  for (const std::string_view key :
       {"source.origin", "source.document", "source.edition", "source.page"})
    talk.fill(key, &source);
  keep(drive.source, std::move(source));
  talk.fill("drive.decimal_sign", &drive);
  if (drive.decimal_sign == DecimalSign::comma) talk.rules.decimal_sign = ',';
}

void ask_engine(Interview& talk, Drive& drive) {
  Cylinders cylinders;
  talk.fill("cylinders.count", &cylinders);
  talk.fill("cylinders.layout", &cylinders);
  if (cylinders.layout && *cylinders.layout != Layout::in_line)
    talk.fill("cylinders.bank_angle", &cylinders);
  talk.fill("cylinders.firing_order", &cylinders);
  talk.ask_unit("unit.engine", UnitTable::engine);
  talk.fill("cylinders.bore", &cylinders);
  talk.fill("cylinders.stroke", &cylinders);
  keep(drive.cylinders, std::move(cylinders));

  Crankshaft crankshaft;
  if (talk.fill("crankshaft.seen_from", &crankshaft))
    talk.fill("crankshaft.rotation", &crankshaft, choice_name(*crankshaft.seen_from));
  talk.fill("crankshaft.mark", &crankshaft);
  keep(drive.crankshaft, std::move(crankshaft));
}

void ask_tensioner(Interview& talk, Chain& chain) {
  if (!talk.yes("chain.tensioner", chain.name)) return;
  Tensioner tensioner;
  for (const std::string_view key :
       {"tensioner.stroke", "tensioner.ratchet_step", "tensioner.side"})
    talk.fill(key, &tensioner, chain.name);
  chain.tensioner = std::move(tensioner);
}

void ask_chains(Interview& talk, Drive& drive) {
  std::vector<CrankSprocket> sprockets;
  while (talk.running() && std::ssize(drive.chains) < kMostOfAKind) {
    Chain chain;
    if (!talk.fill("chain.name", &chain, drive.chains.empty() ? "" : "further ")) break;
    const bool twice = std::any_of(drive.chains.begin(), drive.chains.end(), [&](const Chain& c) {
      return folded(c.name) == folded(chain.name);
    });
    if (twice) {
      talk.refuse(fmt::format("a chain named \"{}\" is there already", chain.name));
      break;
    }
    for (const std::string_view key : {"chain.bank", "chain.type", "chain.standard", "chain.pitch",
                                       "chain.links", "chain.marked_links"})
      talk.fill(key, &chain, chain.name);
    CrankSprocket sprocket;
    if (talk.fill("chain.crank_teeth", &sprocket, chain.name)) {
      sprocket.chain = chain.name;
      sprockets.push_back(std::move(sprocket));
    }
    if (const auto guides = talk.words("chain.guides", chain.name))
      for (const std::string& name : names_in(*guides)) chain.guides.push_back({name, {}});
    ask_tensioner(talk, chain);
    drive.chains.push_back(std::move(chain));
  }
  if (sprockets.empty()) return;
  if (drive.chains.size() == 1) sprockets.front().chain.reset();
  if (!drive.crankshaft) drive.crankshaft.emplace();
  drive.crankshaft->sprockets = std::move(sprockets);
}

// The chain is asked only where there are several and the bank does not tell.
void ask_camshaft_chain(Interview& talk, const Drive& drive, int bank, Camshaft& camshaft,
                        const std::string& about) {
  const auto of_bank = std::count_if(drive.chains.begin(), drive.chains.end(),
                                     [&](const Chain& chain) { return chain.bank == bank; });
  if (drive.chains.size() < 2 || of_bank == 1) return;
  if (!talk.fill("camshaft.chain", &camshaft, about, {}, drive.chains.front().name)) return;
  std::vector<std::string> known;
  for (const Chain& chain : drive.chains) {
    if (folded(chain.name) == folded(*camshaft.chain)) return;
    known.push_back(chain.name);
  }
  talk.refuse(fmt::format("no chain named \"{}\"", *camshaft.chain),
              fmt::format("known: {}", joined(known, "; ")));
}

void ask_camshaft(Interview& talk, const Drive& drive, int bank, Camshaft& camshaft) {
  const std::string about = fmt::format("bank {} / {}", bank, camshaft.name);
  ask_camshaft_chain(talk, drive, bank, camshaft, about);
  for (const std::string_view key : {"camshaft.teeth", "camshaft.journals", "camshaft.material"})
    talk.fill(key, &camshaft, about);
  if (!talk.yes("camshaft.phaser", about)) return;
  camshaft.phaser.emplace();
  talk.fill("phaser.base", &*camshaft.phaser, about);
  talk.fill("phaser.range", &*camshaft.phaser, about);
}

void ask_banks(Interview& talk, Drive& drive) {
  const int count = talk.number("bank.count", 1, kMostBanks).value_or(0);
  for (int number = 1; number <= count && talk.running(); ++number) {
    Bank bank;
    bank.number = number;
    const std::string about = fmt::format("bank {}", number);
    if (count > 1) {
      talk.fill("bank.cylinders", &bank, about);
      if (drive.crankshaft && drive.crankshaft->seen_from && talk.fill("bank.side", &bank, about))
        bank.seen_from = drive.crankshaft->seen_from;
    }
    talk.fill("bank.head_material", &bank, about);
    if (const auto names = talk.words("bank.camshafts", about)) {
      for (const std::string& name : names_in(*names)) {
        Camshaft camshaft;
        camshaft.name = name;
        ask_camshaft(talk, drive, number, camshaft);
        bank.camshafts.push_back(std::move(camshaft));
      }
    }
    drive.banks.push_back(std::move(bank));
  }
}

void ask_strands(Interview& talk, Chain& chain) {
  if (!talk.fill("chain.counted", &chain, chain.name)) return;
  const auto said = talk.words("chain.marks", chain.name);
  const auto marks = said ? names_in(*said) : std::vector<std::string>();
  if (said && marks.size() < 2) {
    talk.refuse("links are counted from one marked sprocket to another", "crank; camshaft");
    return;
  }
  std::vector<Strand> strands;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    Strand strand;
    strand.from = marks[i];
    strand.to = marks[(i + 1) % marks.size()];
    const std::string about =
        fmt::format("{}: links from {} to {}", chain.name, strand.from, strand.to);
    if (talk.fill("strand.links", &strand, about)) strands.push_back(std::move(strand));
  }
  // The strands of a chain are a loop: some of them alone say nothing.
  if (strands.size() == marks.size()) chain.strands = std::move(strands);
  if (chain.strands.empty()) chain.counted.reset();
}

void ask_fasteners(Interview& talk, Drive& drive) {
  talk.ask_unit("unit.torque", UnitTable::torque);
  while (talk.running() && std::ssize(drive.fasteners) < kMostOfAKind) {
    Fastener fastener;
    if (!talk.fill("fastener.name", &fastener, another(!drive.fasteners.empty()))) break;
    for (const std::string_view key :
         {"fastener.thread", "fastener.class", "fastener.count", "fastener.condition"})
      talk.fill(key, &fastener, fastener.name);
    ask_steps(talk, fastener);
    talk.fill("fastener.single_use", &fastener, fastener.name);
    talk.fill("fastener.note", &fastener, fastener.name);
    drive.fasteners.push_back(std::move(fastener));
  }
}

InterviewState heard(std::span<const std::string> answers, std::string_view name) {
  InterviewState state;
  Interview talk(answers, state);
  ask_identity(talk, state.drive, name);
  ask_engine(talk, state.drive);
  ask_chains(talk, state.drive);
  ask_banks(talk, state.drive);
  for (Chain& chain : state.drive.chains) ask_strands(talk, chain);
  ask_limits(talk, state.drive);
  ask_oil(talk, state.drive);
  ask_fasteners(talk, state.drive);
  return state;
}

// The first contradiction between the answers.
std::optional<InterviewRefusal> contradiction(const Drive& drive) {
  LoadedDrive loaded;
  loaded.drive = drive;
  for (const Diagnostic& found : lint(loaded))
    if (found.severity == Severity::error) return InterviewRefusal{found.message, found.hint};
  return std::nullopt;
}

}  // namespace

InterviewState interview(std::span<const std::string> answers, std::string_view name) {
  InterviewState state = heard(answers, name);
  if (state.refused || state.taken == 0) return state;
  // What contradicts an earlier answer is refused as soon as it is said.
  auto found = contradiction(state.drive);
  if (!found) return state;
  InterviewState before = heard(answers.first(state.taken - 1), name);
  before.refused = std::move(found);
  return before;
}

}  // namespace tautmark::cli
