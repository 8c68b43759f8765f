// SPDX-License-Identifier: Apache-2.0
// The table of readings: every place and quantity with a limit, three boxes for each direction.
// What the case holds is printed in the boxes as it was typed; the rest is filled in by hand.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/dimension.h"
#include "judge/verdict.h"
#include "report/html_boxes.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

// The quantity that is computed from another one, which is what is read.
constexpr std::pair<Measurand, Measurand> kComputedFrom[] = {
    {Measurand::journal_clearance, Measurand::bore_diameter},
    {Measurand::journal_clearance, Measurand::journal_diameter},
    {Measurand::journal_out_of_round, Measurand::journal_diameter},
    {Measurand::journal_taper, Measurand::journal_diameter},
    {Measurand::chain_elongation, Measurand::chain_length},
    {Measurand::tensioner_stroke_left, Measurand::tensioner_extension},
};

struct Asked {  // one quantity at one place
  const std::vector<CheckInput>* inputs;
  Measurand quantity;
  const EnginePlace* place;
};

std::optional<LimitInUse> limit_in(const CheckInput& input, const Asked& asked) {
  const EnginePlace* own = find_place(input.places, asked.place->path);
  return own == nullptr ? std::nullopt : limit_for(input, asked.quantity, *own);
}

std::string limit_words(const LimitInUse& limit) {
  std::string words = spoken_limit(limit.shown);
  if (limit.applies_to) words += fmt::format(" ({})", choice_name(*limit.applies_to));
  if (limit.is_new_range) words += " new; no limit for a used part";
  return words;
}

std::string new_range_words(const CheckInput& input, const Asked& asked) {
  if (input.drive == nullptr) return {};
  const Fit* fit = fit_for(input.drive->drive, asked.quantity, *asked.place);
  if (fit == nullptr || !fit->new_range || !fit->service) return {};
  return fmt::format(", new {}", spoken_limit(fit->new_range->text));
}

// Where candidate variants differ, each with its name.
std::string limits_words(const Asked& asked) {
  std::vector<std::pair<std::string, std::string>> by_drive;
  for (const CheckInput& input : *asked.inputs) {
    const auto limit = limit_in(input, asked);
    if (!limit) continue;
    by_drive.emplace_back(input.drive != nullptr ? input.drive->drive.name : "",
                          limit_words(*limit) + new_range_words(input, asked));
  }
  const bool same = std::all_of(by_drive.begin(), by_drive.end(), [&](const auto& answer) {
    return answer.second == by_drive.front().second;
  });
  if (by_drive.empty()) return {};
  if (same) return by_drive.front().second;
  std::string words;
  for (const auto& [drive, limit] : by_drive)
    words += fmt::format("{}{}: {}", words.empty() ? "" : "; ", drive, limit);
  return words;
}

bool has_limit(const Asked& asked) {
  return std::any_of(asked.inputs->begin(), asked.inputs->end(),
                     [&](const CheckInput& input) { return limit_in(input, asked).has_value(); });
}

std::vector<EntryOf<Reading>> readings_of(const Asked& asked) {
  return readings_at(asked.inputs->front(), asked.quantity, asked.place->path);
}

bool is_computed(const Asked& asked) {
  if (!measurand_info(asked.quantity).can_be_read) return true;
  if (asked.quantity != Measurand::journal_clearance || !readings_of(asked).empty()) return false;
  return asked.inputs->front().drive != nullptr &&
         has_limit({asked.inputs, Measurand::bore_diameter, asked.place}) &&
         has_limit({asked.inputs, Measurand::journal_diameter, asked.place});
}

// Worth a row: limited, read, or what something limited is computed from.
bool is_asked(const Asked& asked) {
  if (has_limit(asked) || !readings_of(asked).empty()) return true;
  return std::any_of(std::begin(kComputedFrom), std::end(kComputedFrom), [&](const auto& pair) {
    return pair.second == asked.quantity && !measurand_info(pair.first).can_be_read &&
           has_limit({asked.inputs, pair.first, asked.place});
  });
}

std::string how_words(const Asked& asked) {
  const CheckInput& input = asked.inputs->front();
  std::string how(measurand_info(asked.quantity).how);
  if (input.drive == nullptr) return how;
  const Fit* fit = fit_for(input.drive->drive, asked.quantity, *asked.place);
  if (fit == nullptr) return how;
  if (fit->measure) how = *fit->measure;
  if (fit->links) how += fmt::format("; over {} links", *fit->links);
  if (fit->drop) how += fmt::format("; to sink {}", fit->drop->text);
  if (fit->force) how += fmt::format("; under {}", fit->force->text);
  return how;
}

std::string reading_words(const Reading& reading) {
  std::string words = reading.direction.value_or("");
  if (reading.section) words += (words.empty() ? "" : ", ") + *reading.section;
  if (reading.links) words += fmt::format("{}{} links", words.empty() ? "" : ", ", *reading.links);
  if (reading.radius) words += (words.empty() ? "at " : ", at ") + reading.radius->text;
  return words;
}

BoxLine line_of(const Asked& asked, const EntryOf<Reading>& read) {
  const Reading& reading = *read.body;
  BoxLine line{reading_words(reading), read.entry->id, {}, ""};
  if (reading.values) {
    const auto limit = limit_in(asked.inputs->front(), asked);
    set_typed(line, *reading.values, limit ? limit->unit : nullptr);
  } else if (reading.value) {
    line.wide = reading.value->text;
    line.wide += reading.count ? fmt::format(", mean of {}", *reading.count) : ", as reported";
  } else if (reading.passes || reading.stops) {
    if (reading.passes) line.wide = reading.passes->text + " passes";
    if (reading.stops)
      line.wide += (line.wide.empty() ? "" : ", ") + reading.stops->text + " does not";
  }
  return line;
}

std::string computed_words(const Asked& asked) {
  std::string words;
  for (const auto& [computed, from] : kComputedFrom)
    if (computed == asked.quantity)
      words += fmt::format("{}{}", words.empty() ? "from " : " and ", measurand_info(from).name);
  return words;
}

std::vector<BoxLine> lines_of(const Asked& asked) {
  if (is_computed(asked)) return {BoxLine{"", "", {}, computed_words(asked)}};
  std::vector<BoxLine> lines;
  for (const auto& read : readings_of(asked)) lines.push_back(line_of(asked, read));
  const bool is_diameter =
      asked.quantity == Measurand::journal_diameter || asked.quantity == Measurand::bore_diameter;
  if (!is_diameter) return lines.empty() ? std::vector<BoxLine>(1) : lines;
  if (lines.empty()) return {BoxLine{"vertical", "", {}, ""}, BoxLine{"horizontal", "", {}, ""}};
  if (lines.size() == 1 && lines.front().direction == "vertical")
    lines.push_back({"horizontal", "", {}, ""});
  return lines;
}

const Finding* finding_of(const Judgement& judgement, const Asked& asked) {
  const Check* check = check_judging(asked.quantity);
  if (check == nullptr) return nullptr;
  const auto found =
      std::find_if(judgement.findings.begin(), judgement.findings.end(), [&](const Finding& f) {
        return !f.forecast && f.check == check->name && same_place(f.subject, asked.place->path);
      });
  return found == judgement.findings.end() ? nullptr : &*found;
}

// A reading without a verdict of its own: what it is judged as.
std::string_view judged_as(const Asked& asked) {
  for (const auto& [computed, from] : kComputedFrom)
    if (from == asked.quantity && !measurand_info(computed).can_be_read &&
        has_limit({asked.inputs, computed, asked.place}) &&
        (!has_limit(asked) || asked.quantity == Measurand::chain_length))
      return measurand_info(computed).name;
  return {};
}

// "bank 2 / camshaft / journal 1" belongs to "bank 2 / camshaft".
std::string group_of(const EnginePlace& place) {
  const bool is_part = place.type == PlaceType::journal || place.type == PlaceType::phaser ||
                       place.type == PlaceType::tensioner || place.type == PlaceType::guide;
  return is_part ? place.path.substr(0, place.path.rfind(" / ")) : place.path;
}

std::string short_name(const EnginePlace& place) {
  const std::size_t slash = place.path.rfind(" / ");
  if (slash == std::string::npos || group_of(place) == place.path)
    return std::string(place_type_name(place.type));
  return place.path.substr(slash + 3);
}

std::string quantity_row(const Asked& asked) {
  const std::string limit = limits_words(asked);
  const std::string words =
      said("b", measurand_info(asked.quantity).name) + " " +
      (limit.empty() ? said("span.limit", "no limit of its own") : said("span.limit", limit)) +
      " " + said("span.how", how_words(asked));
  return tag("tr.quantity", tag("th", words, R"(colspan="7" scope="rowgroup")"));
}

std::string place_rows(const Judgement& judgement, const Asked& asked, bool with_heading) {
  const Finding* finding = finding_of(judgement, asked);
  const std::string_view as = judged_as(asked);
  const std::string rows =
      box_rows(said("b", short_name(*asked.place)), lines_of(asked),
               as.empty() ? Answer{finding, ""} : Answer{nullptr, fmt::format("judged as {}", as)});
  return tag("tbody", (with_heading ? quantity_row(asked) : "") + rows) + "\n";
}

std::string group_table(const Judgement& judgement, const std::vector<CheckInput>& inputs,
                        const std::string& group, const std::vector<const EnginePlace*>& places) {
  std::string body;
  for (const MeasurandInfo& info : all_measurands()) {
    std::string heading;  // of the last place: repeated where limit or way change
    for (const EnginePlace* place : places) {
      const Asked asked{&inputs, info.measurand, place};
      if (place->type != info.place || !is_asked(asked)) continue;
      const std::string own = quantity_row(asked);
      body += place_rows(judgement, asked, own != heading);
      heading = own;
    }
  }
  if (body.empty()) return {};
  return tag("h3", escaped(group)) +
         tag("table.boxes", box_table_head("place", "direction") + body) + "\n";
}

}  // namespace

std::string readings_section(int number, const Judgement& judgement, const LoadedCase& loaded) {
  const std::vector<CheckInput> inputs = inputs_in_use(judgement, loaded);
  const std::vector<EnginePlace>& places = inputs.front().places;
  std::vector<std::string> order;
  std::map<std::string, std::vector<const EnginePlace*>> groups;
  for (const EnginePlace& place : places) {
    if (place.type == PlaceType::oil_port) continue;
    auto& members = groups[group_of(place)];
    if (members.empty()) order.push_back(group_of(place));
    members.push_back(&place);
  }
  std::string body;
  for (const std::string& group : order)
    body += group_table(judgement, inputs, group, groups[group]);
  if (inputs.size() > 1 && !body.empty())
    body =
        said("p.note", fmt::format("The variant is not identified: places as in {}; where limits "
                                   "differ each is named. Identify the engine first.",
                                   inputs.front().drive->drive.name)) +
        body;
  body += pressure_table(judgement, inputs);
  if (body.empty())
    body = said("p.note",
                "No definition and no reading: write place, quantity, limit and where the "
                "limit comes from beside each reading.") +
           free_box_table();
  return section(number, "Readings", body);
}

}  // namespace tautmark::html
