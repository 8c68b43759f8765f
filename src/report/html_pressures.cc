// SPDX-License-Identifier: Apache-2.0
// Oil pressures: each port with each of its limits and the conditions the limit holds for.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "report/html_boxes.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

bool is_in(const WrittenRange<RotationalSpeed>& range, RotationalSpeed speed) {
  return (!range.lower || speed >= *range.lower) && (!range.upper || speed <= *range.upper);
}

BoxLine line_of(const EntryOf<PressureReading>& read, const Unit* limit_unit) {
  std::string conditions = read.body->speed ? read.body->speed->text : "speed not entered";
  conditions += ", oil " + (read.body->oil_temperature ? read.body->oil_temperature->text
                                                       : std::string("not entered"));
  BoxLine line{conditions, read.entry->id, {}, ""};
  set_typed(line, read.body->values, limit_unit);
  return line;
}

std::string condition_words(const Oil& oil, const PressureLimit& limit) {
  std::string words;
  if (limit.speed) words += "at " + limit.speed->text;
  if (limit.oil_temperature)
    words += fmt::format("{}oil {}", words.empty() ? "" : ", ", limit.oil_temperature->text);
  words += (words.empty() ? "" : ", ") +
           (oil.grade ? "grade " + *oil.grade : std::string("oil grade not in the definition"));
  return words;
}

const Finding* finding_of(const Judgement& judgement, const std::string& subject) {
  const auto found = std::find_if(
      judgement.findings.begin(), judgement.findings.end(),
      [&](const Finding& f) { return f.check == "oil-pressure" && f.subject == subject; });
  return found == judgement.findings.end() ? nullptr : &*found;
}

std::string limit_row(const Oil& oil, const PressureLimit& limit, const std::string& drive) {
  const std::string words = said("b", drive.empty() ? "limit" : drive) + " " +
                            said("span.limit", spoken_limit(limit.limit.text)) + " " +
                            said("span.how", condition_words(oil, limit));
  return tag("tr.quantity", tag("th", words, R"(colspan="7" scope="rowgroup")"));
}

using Shown = std::set<std::string>;  // entries that stand in a row already

std::string port_limit_rows(const Judgement& judgement, const CheckInput& input,
                            const EnginePlace& port, const PressureLimit& limit,
                            const std::string& drive, Shown& shown) {
  std::vector<BoxLine> lines;
  for (const auto& read : all_of_kind<PressureReading>(input.entries)) {
    if (!same_place(read.body->place, port.path)) continue;
    if (limit.speed && (!read.body->speed || !is_in(*limit.speed, read.body->speed->value)))
      continue;
    lines.push_back(line_of(read, limit.limit.value.unit));
    shown.insert(read.entry->id);
  }
  if (lines.empty()) lines.emplace_back();
  const std::string subject =
      limit.speed ? fmt::format("{} at {}", port.path, limit.speed->text) : port.path;
  return tag("tbody",
             limit_row(*input.drive->drive.oil, limit, drive) +
                 box_rows(said("b", port.path), lines, {finding_of(judgement, subject), ""})) +
         "\n";
}

// Readings under conditions that no limit is given for.
std::string other_rows(const CheckInput& input, const Shown& shown) {
  std::string rows;
  for (const auto& read : all_of_kind<PressureReading>(input.entries))
    if (!shown.contains(read.entry->id))
      rows += tag("tbody", box_rows(said("b", read.body->place), {line_of(read, nullptr)},
                                    {nullptr, "no limit for these conditions"})) +
              "\n";
  return rows;
}

}  // namespace

std::string pressure_table(const Judgement& judgement, const std::vector<CheckInput>& inputs) {
  std::string body;
  Shown shown;
  for (const CheckInput& input : inputs) {
    if (input.drive == nullptr || !input.drive->drive.oil) continue;
    const std::string drive = inputs.size() > 1 ? input.drive->drive.name : "";
    for (const EnginePlace& port : input.places)
      for (const PressureLimit& limit : input.drive->drive.oil->pressures)
        if (port.type == PlaceType::oil_port && place_matches(limit.at, port))
          body += port_limit_rows(judgement, input, port, limit, drive, shown);
  }
  body += other_rows(inputs.front(), shown);
  if (body.empty()) return {};
  return tag("h3", "Oil pressure") +
         tag("table.boxes", box_table_head("port", "speed, oil temperature") + body) + "\n";
}

}  // namespace tautmark::html
