// SPDX-License-Identifier: Apache-2.0
// What frames the sheet: title block, the three lines, the turning answer; at the end the limits,
// the general cautions and the signatures.
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <set>

#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

std::string joined_drives(const Judgement& judgement,
                          const std::function<std::string(const DriveInUse&)>& said_of,
                          std::string_view missing) {
  std::string words;
  for (const DriveInUse& drive : judgement.drives) {
    const std::string text = said_of(drive);
    words += (words.empty() ? "" : " / ") + (text.empty() ? std::string(missing) : text);
  }
  return words.empty() ? "none" : words;
}

void take_unit(std::vector<std::string>& symbols, const Unit* unit) {
  if (unit == nullptr) return;
  const std::string symbol(unit->symbol);
  if (std::find(symbols.begin(), symbols.end(), symbol) == symbols.end()) symbols.push_back(symbol);
}

// Limits and readings are printed in the units they were entered in.
std::string units_words(const std::vector<CheckInput>& inputs) {
  std::vector<std::string> symbols;
  for (const CheckInput& input : inputs) {
    if (input.drive != nullptr) {
      for (const Fit& fit : input.drive->drive.fits)
        for (const auto& range : {fit.service, fit.new_range})
          if (range) take_unit(symbols, range->value.unit);
      if (input.drive->drive.oil)
        for (const PressureLimit& limit : input.drive->drive.oil->pressures)
          take_unit(symbols, limit.limit.value.unit);
    }
    for (const auto& [entry, reading] : input.readings)
      if (reading->values)
        for (const AnyQuantity& value : reading->values->value.values)
          take_unit(symbols, value.unit);
  }
  std::string words;
  for (const std::string& symbol : symbols) words += (words.empty() ? "" : ", ") + symbol;
  return words.empty() ? "as entered" : "as entered: " + words;
}

std::string headline_line(std::string_view label, std::string_view line, std::string_view style) {
  // "Proven: 35 readings" and "STOP: 5 outside": the label is in the line already.
  const std::size_t colon = line.find(": ");
  if (colon == std::string_view::npos || colon > 10)
    return tag(fmt::format("div.line {}", style), said("b", label) + said("p", line));
  return tag(fmt::format("div.line {}", style),
             said("b", line.substr(0, colon)) + said("p", line.substr(colon + 2)));
}

std::vector<std::string> limit_origins(const Judgement& judgement) {
  std::set<std::string> seen;
  std::vector<std::string> lines;
  for (const Finding& finding : judgement.findings) {
    if (!finding.limit || finding.forecast) continue;
    const FindingLimit& limit = *finding.limit;
    const std::string line = fmt::format(
        "{}{}{}; {}", origin_text(limit.origin), limit.source.empty() ? "" : ": ", limit.source,
        limit.checked_by.empty() ? "typed once and not cross-checked"
                                 : "cross-checked by " + limit.checked_by);
    if (seen.insert(line).second) lines.push_back(line);
  }
  return lines;
}

std::vector<std::string> not_looked_at(const Judgement& judgement) {
  std::vector<std::string> lines;
  for (const NotLookedAt& area : judgement.not_looked_at)
    lines.push_back(fmt::format("{}: {}", spoken_check(area.check), area.words));
  return lines;
}

const std::vector<std::string>& pass_meaning() {
  static const std::vector<std::string> kLines = {
      "The readings entered are inside the limit of this definition with a probability of at least "
      "95 %; it says nothing of what was not measured, nor of the engine as a whole.",
      "The engine maker's current data, local codes and licensed practice come first. Where this "
      "sheet and the maker disagree, follow the maker and write the difference below."};
  return kLines;
}

const std::vector<std::string>& general_cautions() {
  static const std::vector<std::string> kLines = {
      "Battery disconnected or start inhibited before hands go near the drive; keep the key away. "
      "Hybrid and stop-start vehicles can crank by themselves.",
      "Turn by hand only, never on the starter. Resistance felt: stop, and enter it.",
      "Valve springs turn camshafts without warning when the chain comes off or caps loosen: "
      "fingers "
      "out; caps evenly, in the given order.",
      "Spring-loaded tensioners: pin them, face away, glasses on.",
      "Hold the crankshaft with its own tool and camshafts at their flats.",
      "Hot oil and coolant; used oil is a skin hazard: gloves. Fans and belts: no loose sleeves.",
      "Dry blind holes: oil under a bolt can crack a casting.",
      "Anything dropped into the chain case: stop until it is found."};
  return kLines;
}

}  // namespace

std::string title_block(const Judgement& judgement, const LoadedCase& loaded) {
  const std::vector<CheckInput> inputs = inputs_in_use(judgement, loaded);
  const EngineId engine = loaded.value.engine.value_or(EngineId{});
  const auto text = [](const auto& written) { return written ? written->text : std::string(); };
  std::string cells =
      tag("div.cell mark", tag("b", "TAUTMARK") + tag("small", "job sheet")) +
      tag("div.cell title", said("h1", judgement.case_title)) +
      cell("case", judgement.case_name, "quarter") +
      cell("engine definition", joined_drives(judgement, &DriveInUse::title, ""), "third") +
      cell("revision", joined_drives(judgement, &DriveInUse::revision, "not stated"), "sixth") +
      cell("source of the definition", joined_drives(judgement, &DriveInUse::source, "not stated"),
           "half") +
      cell("definition checked by",
           joined_drives(
               judgement,
               [](const DriveInUse& drive) {
                 return drive.differs_from_shop ? checked_words(drive) : drive.checked_by;
               },
               "NOT CHECKED by a second reader"),
           "half") +
      cell("units", units_words(inputs), "half") +
      cell("engine number", engine.serial.value_or(""), "quarter") +
      cell("built", engine.built.value_or(""), "quarter") +
      cell("distance", text(engine.distance), "quarter") +
      cell("running time", text(engine.hours), "quarter") + cell("job number", "", "quarter hand") +
      cell("bay, person", "", "half hand") + cell("date", "", "quarter hand");
  return tag("div.title-block", cells) + "\n";
}

std::string headline_block(const Judgement& judgement) {
  std::string first;
  for (const std::string& caution : definition_cautions(judgement.drives))
    first += headline_line("Caution", caution, "stop");
  return tag("div.headline", first + headline_line("Caution", judgement.stop_or_caution, "stop") +
                                 headline_line("Proven", judgement.proven, "proven") +
                                 headline_line("Next", judgement.next, "next-line")) +
         "\n";
}

std::string turning_block(const TurningAnswer& turning) {
  std::string lines;
  for (const auto& [label, text] :
       {std::pair("because", &turning.because),
        {turning.answer == "DO NOT TURN" ? "instead" : "with it", &turning.instead},
        {"what would change it", &turning.changes_it},
        {"read aloud", &turning.say},
        {"holds for", &turning.holds_for}})
    if (!text->empty()) lines += tag("p", said("b", label) + " " + escaped(*text));
  for (std::size_t i = 0; i < turning.moves.size(); ++i)
    lines += tag("p", said("b", fmt::format("move {}", i + 1)) + " " + escaped(turning.moves[i]));
  for (const std::string& caution : turning.cautions)
    lines += tag("p", said("b", "caution") + " " + escaped(caution));
  // Large are only the words that decide; how, how far and where to stop stand beside them.
  constexpr std::string_view kOnly = "TURN ONLY";
  if (!turning.answer.starts_with(kOnly))
    return tag("div.turning", said("p.answer", turning.answer) + tag("div", lines)) + "\n";
  return tag("div.turning",
             said("p.answer", kOnly) +
                 tag("div", tag("p", said("b", turning.answer.substr(kOnly.size() + 1))) + lines)) +
         "\n";
}

std::string limits_section(int number, const Judgement& judgement) {
  return section(number, "What this sheet rests on, and what it does not say",
                 list("Not looked at", not_looked_at(judgement)) +
                     list("Where the limits come from", limit_origins(judgement)) +
                     list("What a pass means", pass_meaning()) + always_list());
}

std::string always_list() { return list("Always", general_cautions()); }

std::string signatures_section(int number) {
  const auto box = [](std::string_view label, std::string_view hint) {
    return tag("div.signature", said("b", label) + said("small", hint));
  };
  return section(number, "Signatures",
                 tag("div.signatures",
                     box("Person who did the work", "name, date, signature") +
                         box("Second check", "name, date, signature: reads the numbers again") +
                         tag("div.signature deviations",
                             said("b", "Deviations from the maker's data") +
                                 said("small", "what, why, who decided; if none, write none"))));
}

}  // namespace tautmark::html
