// SPDX-License-Identifier: Apache-2.0
// Fasteners with their steps in both unit systems, parts, and what persons decided.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "casework/case_fields.h"
#include "casework/view.h"
#include "judge/tightening.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

struct TorqueColumn {
  std::string_view symbol, spelled;
  int decimals;
};
constexpr TorqueColumn kTorqueColumns[] = {{"N·m", "newton meters", 1},
                                           {"lbf·ft", "pound-force feet (foot-pounds)", 1},
                                           {"lbf·in", "pound-force inches (inch-pounds)", 0}};

const Unit* torque_unit(std::string_view symbol) {
  for (const Unit& unit : units_of(Kind::torque))
    if (unit.symbol == symbol) return &unit;
  return nullptr;
}

std::string torque_cell(const std::optional<Written<Torque>>& torque, const TorqueColumn& column) {
  const Unit* unit = torque_unit(column.symbol);
  if (!torque || unit == nullptr) return tag("td.torque", "");
  if (unit_written(torque->text, Kind::torque) == unit)
    return tag("td.torque", said("b", quantity_text(torque->value.si(), *unit)));
  return said("td.torque", cut_quantity_text(torque->value.si(), *unit, column.decimals));
}

// A torque that cannot be meant stands as it was typed, in no other unit.
std::string step_cells(const TighteningStep& step, std::size_t number, bool to_check) {
  std::string cells = said("td.step", std::to_string(number));
  if (to_check)
    cells += said("td", "check the sheet: " + step.torque->text, "colspan=\"3\"");
  else
    for (const TorqueColumn& column : kTorqueColumns) cells += torque_cell(step.torque, column);
  return cells + said("td.torque", step.angle ? fmt::format("then {}", step.angle->text) : "");
}

std::string fastener_words(const Fastener& fastener) {
  std::string words = said("b", fastener.name);
  const auto line = [&](std::string_view text) { words += said("span.line", text); };
  std::string size = fastener.thread.value_or("thread not in the definition");
  if (fastener.strength_class) size += ", class " + *fastener.strength_class;
  line(size);
  line(fastener.count ? fmt::format("{} of them", *fastener.count) : "count not in the definition");
  line(fastener.condition ? *fastener.condition : "dry or oiled: not in the definition");
  const FastenerCard card = fastener_card(fastener, {});
  words += said(card.take_new ? "span.line strong" : "span.line", card.use);
  if (fastener.note) words += said("span.line note", *fastener.note);
  return words;
}

std::string fastener_rows(const Fastener& fastener) {
  const std::size_t steps = std::max<std::size_t>(1, fastener.steps.size());
  const std::string span = fmt::format("rowspan=\"{}\"", steps);
  const std::vector<bool> to_check = torques_to_check(fastener);
  std::string rows;
  for (std::size_t i = 0; i < steps; ++i) {
    std::string cells;
    if (i == 0) cells += tag("th.fastener", fastener_words(fastener), span + " scope=\"row\"");
    cells +=
        fastener.steps.empty()
            ? said("td", "no steps in the definition: follow the engine maker", "colspan=\"5\"")
            : step_cells(fastener.steps[i], i + 1, to_check[i]);
    cells += tag("td.bolt-ticks", tick_boxes(fastener.count.value_or(1)));
    rows += tag("tr", cells) + "\n";
  }
  return tag("tbody", rows);
}

struct PartLine {
  const PartEntry* part;
  std::vector<PartAction> actions;
  std::string reasons, entries;
};

std::vector<PartLine> part_lines(const LoadedCase& loaded) {
  std::vector<PartLine> lines;
  for (const auto& [entry, part] : all_of_kind<PartEntry>(entries_in_force(loaded.value))) {
    const PartEntry& wanted = *part;
    auto line = std::find_if(lines.begin(), lines.end(), [&](const PartLine& known) {
      return folded(known.part->part) == folded(wanted.part) && known.part->bank == wanted.bank;
    });
    if (line == lines.end()) line = lines.insert(lines.end(), {part, {}, "", ""});
    line->actions.push_back(part->action);
    if (part->reason) line->reasons += (line->reasons.empty() ? "" : "; ") + *part->reason;
    line->entries += (line->entries.empty() ? "" : " ") + entry->id;
  }
  return lines;
}

std::string part_row(const PartLine* line) {
  std::string cells = said("th", line != nullptr ? line->part->part : "", "scope=\"row\"");
  const auto number = [](const std::optional<int>& n) { return n ? std::to_string(*n) : ""; };
  cells += said("td.number", line != nullptr ? number(line->part->bank) : "");
  cells += said("td.number", line != nullptr ? number(line->part->count) : "");
  const auto& names = ChoiceNames<PartAction>::names;
  for (std::size_t i = 0; i < std::size(names); ++i) {
    const bool done = line != nullptr &&
                      std::count(line->actions.begin(), line->actions.end(), PartAction(i)) > 0;
    cells += tag("td.tick-cell", tick_box(done));
  }
  std::string reason =
      line != nullptr ? escaped(line->reasons) + " " + said("small", line->entries) : "";
  return tag("tr", cells + tag("td.reason", reason)) + "\n";
}

std::string parts_table(const LoadedCase& loaded) {
  constexpr int kBlankRows = 4;
  std::string rows;
  for (const PartLine& line : part_lines(loaded)) rows += part_row(&line);
  for (int i = 0; i < kBlankRows; ++i) rows += part_row(nullptr);
  std::vector<Column> columns = {{"part", "part"}, {"bank", "number"}, {"count", "number"}};
  for (const std::string_view name : ChoiceNames<PartAction>::names)
    columns.push_back({name, "tick-cell"});
  columns.push_back({"reason; entry", "reason"});
  return tag("table.parts", table_head(columns) + tag("tbody", rows));
}

std::string set_line(const PartSet& set) {
  std::string words = said("b", set.name);
  if (!set.holds.empty()) words += escaped(" holds: " + joined(set.holds, ", ") + ".");
  if (!set.does_not_hold.empty())
    words += said("u", " Not in it: " + joined(set.does_not_hold, ", ") + ".");
  if (set.single_use) words += *set.single_use ? " Used once." : " May be used again.";
  if (set.note) words += escaped(" " + *set.note);
  return tag("li", words);
}

const Drive& drive_of(const CheckInput& input) { return input.drive->drive; }

}  // namespace

std::string fastener_table(std::span<const Fastener* const> fasteners) {
  std::string body;
  for (const Fastener* fastener : fasteners) body += fastener_rows(*fastener);
  std::vector<std::string> headings;
  for (const TorqueColumn& column : kTorqueColumns)
    headings.push_back(said("span.line", column.spelled) + said("b", column.symbol));
  const Column columns[] = {{"fastener", "fastener"},   {"step", "step"},
                            {headings[0], "torque"},    {headings[1], "torque"},
                            {headings[2], "torque"},    {"angle", "torque"},
                            {"tick each", "bolt-ticks"}};
  return tag("table.fasteners", table_head(columns) + body);
}

std::string fasteners_section(int number, const Judgement& judgement, const LoadedCase& loaded) {
  std::string body;
  const auto inputs = inputs_in_use(judgement, loaded);
  for (const CheckInput& input : inputs) {
    if (input.drive == nullptr || drive_of(input).fasteners.empty()) continue;
    if (inputs.size() > 1) body += said("h3", drive_of(input).title.value_or(drive_of(input).name));
    std::vector<const Fastener*> fasteners;
    for (const Fastener& fastener : drive_of(input).fasteners) fasteners.push_back(&fastener);
    body += fastener_table(fasteners);
  }
  if (body.empty()) {
    body =
        said("p.note", "No fasteners in the definition: take every torque from the engine maker.");
  } else {
    body = said("p.note",
                "Follow the engine maker. Bold: as entered in the definition; the other "
                "columns are converted and cut, so that none asks for more torque than "
                "somebody entered. Foot-pounds are twelve times inch-pounds: read the unit "
                "on the wrench.") +
           body;
  }
  return section(number, "Fasteners", body);
}

std::string parts_section(int number, const Judgement& judgement, const LoadedCase& loaded) {
  std::string sets;
  for (const CheckInput& input : inputs_in_use(judgement, loaded))
    if (input.drive != nullptr)
      for (const PartSet& set : drive_of(input).parts) sets += set_line(set);
  std::string body = parts_table(loaded);
  if (!sets.empty())
    body += tag("h3", "Sets, as the definition lists them") + tag("ul.plain", sets);
  std::string decided;
  for (const std::string& decision : judgement.persons_decisions) decided += said("li", decision);
  body += tag("h3", "Decided by persons; changes no verdict") +
          (decided.empty() ? "" : tag("ul.plain", decided)) +
          tag("div.write-lines", tag("p", "") + tag("p", ""));
  return section(number, "Parts and decisions", body);
}

}  // namespace tautmark::html
