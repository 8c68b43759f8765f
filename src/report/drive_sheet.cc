// SPDX-License-Identifier: Apache-2.0
#include "report/drive_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "drive/compare.h"
#include "drive/drive_fields.h"
#include "drive/places.h"
#include "geometry/counts.h"
#include "judge/chain_wear.h"
#include "judge/drive_paths.h"
#include "judge/tightening.h"

namespace tautmark {
namespace {

using Rows = std::vector<std::vector<std::string>>;

template <class T>
std::string text_of(const std::optional<T>& value) {
  if (!value) return "-";
  if constexpr (std::is_same_v<T, std::string>)
    return *value;
  else if constexpr (std::is_same_v<T, int>)
    return std::to_string(*value);
  else if constexpr (std::is_same_v<T, bool>)
    return *value ? "yes" : "no";
  else if constexpr (std::is_enum_v<T>)
    return std::string(choice_name(*value));
  else
    return value->text;
}

std::string source_text(const SourceRef& source) {
  std::vector<std::string> parts;
  if (source.origin) parts.emplace_back(origin_text(*source.origin));
  for (const auto& part : {source.document, source.edition, source.page})
    if (part) parts.push_back(*part);
  return joined(parts, ", ");
}

class Sheet {
 public:
  explicit Sheet(const LoadedDrive& loaded) : loaded_(loaded), drive_(loaded.drive) {}

  DriveSheet made() {
    head();
    engine();
    chains();
    camshafts();
    sensors();
    counts();
    limits();
    oil();
    fasteners();
    parts();
    foot();
    return std::move(sheet_);
  }

 private:
  SheetPart& part(std::string_view title) {
    sheet_.parts.push_back({.title = std::string(title)});
    return sheet_.parts.back();
  }

  // A header without any row under it is not shown.
  void table(std::string_view words, Rows rows) {
    if (rows.size() < 2) return;
    // A column that nobody filled says nothing.
    for (std::size_t column = rows.front().size(); column-- > 1;) {
      const bool empty = std::all_of(rows.begin() + 1, rows.end(),
                                     [&](const auto& row) { return row[column] == "-"; });
      if (!empty) continue;
      for (auto& row : rows) row.erase(row.begin() + static_cast<std::ptrdiff_t>(column));
    }
    part(words).rows = std::move(rows);
  }

  // " *" where a variant took this over without confirming it.
  [[nodiscard]] std::string mark(std::string_view topic) const {
    return loaded_.unconfirmed.contains(std::string(topic)) ? " *" : "";
  }

  void head() {
    sheet_.is_invented = drive_.invented.value_or(false);
    sheet_.title = drive_.title.value_or(drive_.name);
    std::vector<std::string>& lines = sheet_.head;
    lines.push_back(fmt::format(
        "{}{}, {}", drive_.name, drive_.revision ? ", revision " + *drive_.revision : "",
        drive_.checked_by ? "checked by " + *drive_.checked_by : "NOT CHECKED against its source"));
    lines.push_back(drive_.source ? "source: " + source_text(*drive_.source)
                                  : "source: nobody says where these numbers come from");
    if (drive_.based_on) lines.push_back("based on: " + *drive_.based_on);
    for (const std::string& how : drive_.recognise) lines.push_back("recognise: " + how);
  }

  void engine() {
    Rows rows = {{"engine", ""}};
    const auto add = [&](std::string_view name, const std::string& value) {
      if (value != "-") rows.push_back({std::string(name), value});
    };
    if (drive_.covers) {
      add("displacement", text_of(drive_.covers->displacement));
      add("valves per cylinder", text_of(drive_.covers->valves_per_cylinder));
      add("years", text_of(drive_.covers->years));
      add("serials", text_of(drive_.covers->serials));
      add("covers", text_of(drive_.covers->note));
    }
    if (drive_.cylinders) {
      add("cylinders", text_of(drive_.cylinders->count));
      add("arrangement", text_of(drive_.cylinders->layout));
      add("firing order", fmt::format("{}", fmt::join(drive_.cylinders->firing_order, "-")));
      add("bore", text_of(drive_.cylinders->bore));
      add("stroke", text_of(drive_.cylinders->stroke));
    }
    if (drive_.crankshaft) {
      const Crankshaft& crank = *drive_.crankshaft;
      if (crank.rotation)
        add("rotation", fmt::format("{}, seen from the {}{}", choice_name(*crank.rotation),
                                    text_of(crank.seen_from), mark(topic::kRotation)));
      if (crank.mark) add("crankshaft mark", *crank.mark + mark(topic::kMarks));
    }
    std::erase_if(rows, [](const auto& row) { return row.back().empty() && row[0] != "engine"; });
    if (rows.size() < 2) return;
    rows.erase(rows.begin());
    SheetPart& engine = part("Engine");
    engine.rows = std::move(rows);
    engine.has_head = false;
  }

  void chains() {
    Rows rows = {{"chain", "kind", "pitch", "links", "crank teeth", "tensioner", "marked links"}};
    for (const Chain& chain : drive_.chains) {
      const CrankSprocket* crank = crank_sprocket_of(drive_, chain);
      std::string tensioner = "-";
      if (chain.tensioner) {
        tensioner = chain.tensioner->stroke ? "stroke " + chain.tensioner->stroke->text : "yes";
        if (chain.tensioner->side)
          tensioner += fmt::format(", {}{}", *chain.tensioner->side, mark(topic::kTensionerSide));
      }
      rows.push_back({chain.name, text_of(chain.type),
                      text_of(chain.pitch) + mark(topic::kChainPitch),
                      text_of(chain.links) + mark(topic::kChainLinks),
                      crank != nullptr ? std::to_string(crank->teeth) : "-", tensioner,
                      marked_links_text(chain) + mark(topic::kMarks)});
    }
    table("Chains", std::move(rows));
  }

  void camshafts() {
    Rows rows = {{"camshaft", "teeth", "one tooth, crank", "one tooth, cam", "journals", "phaser"}};
    for (const Bank& bank : drive_.banks) {
      for (const Camshaft& camshaft : bank.camshafts) {
        const auto tooth = camshaft.sprocket_teeth
                               ? tooth_angle(*camshaft.sprocket_teeth)
                               : Result<ToothAngle>(tl::make_unexpected(Refusal{}));
        std::string phaser = "-";
        if (camshaft.phaser)
          phaser = camshaft.phaser->base
                       ? fmt::format("locks at {}{}", choice_name(*camshaft.phaser->base),
                                     mark(topic::kPhaserBase))
                       : "yes";
        rows.push_back({fmt::format("bank {} / {}", bank.number, camshaft.name),
                        text_of(camshaft.sprocket_teeth),
                        tooth ? fmt::format("{:.3f}°", in_crank_deg(tooth->crank)) : "-",
                        tooth ? fmt::format("{:.3f}°", in_cam_deg(tooth->cam)) : "-",
                        text_of(camshaft.journals), phaser});
      }
    }
    table("Camshafts", std::move(rows));
  }

  void sensors() {
    Rows rows = {
        {"sensor wheel", "teeth", "edges, crank degrees after the gap", "window", "known from"}};
    if (drive_.crankshaft && drive_.crankshaft->sensor) {
      const CrankSensor& sensor = *drive_.crankshaft->sensor;
      rows.push_back({"crank", text_of(sensor.wheel),
                      sensor.edge
                          ? fmt::format("counted between {} edges", choice_name(*sensor.edge))
                          : std::string("-"),
                      "-", "-"});
    }
    for (const Bank& bank : drive_.banks)
      for (const Camshaft& camshaft : bank.camshafts)
        if (camshaft.sensor) rows.push_back(cam_sensor_row(bank, camshaft));
    if (rows.size() > 1) table("Sensor wheels, phasers at their base", std::move(rows));
  }

  std::vector<std::string> cam_sensor_row(const Bank& bank, const Camshaft& camshaft) const {
    const CamSensor& sensor = *camshaft.sensor;
    std::vector<std::string> edges;
    for (const SensorEdge& edge : sensor.edges)
      edges.push_back(fmt::format("{:.1f}° {}", in_crank_deg(edge.at.value),
                                  choice_name(edge.edge.value_or(EdgeSense::rising))));
    return {fmt::format("bank {} / {}", bank.number, camshaft.name), text_of(sensor.wheel),
            joined(edges, ", ") + mark(topic::kSensorEdges),
            sensor.window ? fmt::format("± {:.1f}°", in_crank_deg(sensor.window->value)) : "-",
            sensor.engines ? fmt::format("{} engines", *sensor.engines) : "the file's source"};
  }

  // What counts alone say of the driving strand, where no coordinates say it exactly.
  void add_strand_bounds(const Chain& chain, std::vector<std::string>& lines) const {
    if (!chain.path.empty() || !chain.pitch) return;
    const auto wheels = wheels_of(drive_, chain);
    const auto driver = shaft_turns(drive_, driver_of(drive_, chain));
    for (std::size_t i = 1; i < wheels.size(); ++i) {
      const auto strand = strand_from_counts(drive_, chain, wheels[i]);
      const auto teeth = teeth_under(drive_, chain, wheels[0]);
      if (!strand || !teeth || !driver) continue;
      const double pitch = in_mm(chain.pitch->value);
      const double late = 360.0 / *teeth * 1e-3 * static_cast<double>(driver->under) /
                          static_cast<double>(driver->over);
      lines.push_back(
          fmt::format("{}: {} to {}: the driving strand is {:.0f} to {:.0f} mm, from counts alone; "
                      "each 0.1 % of "
                      "wear makes it {:.1f}° to {:.1f}° late (crank)",
                      chain.name, wheels[i], wheels[0], strand->low * pitch, strand->high * pitch,
                      strand->low * late, strand->high * late));
    }
  }

  void counts() {
    std::vector<std::string> lines;
    for (const Chain& chain : drive_.chains) {
      std::vector<int> links;
      for (const Strand& strand : chain.strands) {
        lines.push_back(fmt::format("{}: {} to {}: {}{}", chain.name, strand.from, strand.to,
                                    strand.links, mark(topic::kLinkCounts)));
        links.push_back(strand.links);
      }
      for (const ChainMark& marked : chain.marks)
        if (marked.links.value_or(1) > 1)
          lines.push_back(
              fmt::format("{}: counts go to the leading one of the {} marked links at "
                          "{}, in running direction",
                          chain.name, *marked.links, marked.at));
      if (links.empty() || !chain.counted) continue;
      int sum = 0;
      for (const int count : links) sum += count;
      lines.push_back(fmt::format("{}: {} = {} counted as {}, whole chain {}", chain.name,
                                  fmt::join(links, " + "), sum, choice_name(*chain.counted),
                                  text_of(chain.links)));
    }
    for (const Chain& chain : drive_.chains) add_strand_bounds(chain, lines);
    if (const auto found = returns_of(drive_)) {
      for (std::size_t i = 0; i < found->chains.size(); ++i)
        lines.push_back(fmt::format(
            "{}: marked links and sprocket marks stand together again after {} crank turns; the "
            "sprocket marks alone after {}",
            found->chains[i]->name, found->turns.links_marks[i], found->turns.sprocket_marks));
      if (found->chains.size() > 1)
        lines.push_back(fmt::format("all chains together: after {} crank turns", found->turns.all));
    }
    if (lines.empty()) return;
    SheetPart& counts = part("Counts");
    for (std::string& line : lines) counts.lines.push_back({std::move(line)});
  }

  void limits() {
    Rows rows = {{"quantity", "at", "new", "used", "means", "source"}};
    for (const Fit& fit : drive_.fits) {
      std::string used = text_of(fit.service);
      if (fit.links) used += fmt::format(" over {} links", *fit.links);
      if (fit.drop) used += fmt::format(" for {}", fit.drop->text);
      if (fit.force) used += fmt::format(" under {}", fit.force->text);
      rows.push_back({std::string(choice_name(fit.quantity)), fit.at, text_of(fit.new_range), used,
                      text_of(fit.applies_to), fit.source ? source_text(*fit.source) : "-"});
    }
    table("Limits", std::move(rows));
  }

  void oil() {
    if (!drive_.oil) return;
    SheetPart& oil = part("Oil");
    oil.lines.push_back({fmt::format("grade {}, filling {}", text_of(drive_.oil->grade),
                                     text_of(drive_.oil->fill))});
    Rows rows = {{"port", "limit", "speed", "oil temperature"}};
    for (const PressureLimit& limit : drive_.oil->pressures)
      rows.push_back(
          {limit.at, limit.limit.text, text_of(limit.speed), text_of(limit.oil_temperature)});
    if (rows.size() > 1) oil.rows = std::move(rows);
  }

  void fasteners() {
    if (drive_.fasteners.empty()) return;
    std::vector<SheetLine>& lines = part("Fasteners").lines;
    for (const Fastener& fastener : drive_.fasteners) {
      std::vector<std::string> facts;
      for (const auto& fact : {fastener.thread, fastener.strength_class, fastener.condition})
        if (fact) facts.push_back(*fact);
      if (fastener.count) facts.push_back(fmt::format("{} pieces", *fastener.count));
      facts.push_back((!fastener.single_use ? "not said whether it is used once: treat as used once"
                       : *fastener.single_use ? "SINGLE USE"
                                              : "may be used again") +
                      mark(topic::kSingleUse));
      lines.push_back({fmt::format("{}: {}", fastener.name, joined(facts, ", "))});
      const std::vector<bool> to_check = torques_to_check(fastener);
      for (std::size_t i = 0; i < fastener.steps.size(); ++i) {
        const TighteningStep& step = fastener.steps[i];
        std::vector<std::string> parts;
        if (step.torque)
          parts.push_back((to_check[i] ? step.torque->text + " (check the sheet)"
                                       : torque_spelled(*step.torque)) +
                          mark(topic::kTorques));
        if (step.angle)
          parts.push_back(fmt::format("further {}{}", step.angle->text, mark(topic::kTorques)));
        lines.push_back({fmt::format("{}. {}", i + 1, joined(parts, ", ")), 1});
      }
      if (fastener.note) lines.push_back({*fastener.note, 1});
    }
  }

  void parts() {
    Rows rows = {{"part", "bank", "holds", "does not hold", "single use"}};
    const auto list = [](const std::vector<std::string>& all) {
      return all.empty() ? std::string("-") : joined(all, ", ");
    };
    for (const PartSet& part : drive_.parts)
      rows.push_back({part.name, text_of(part.bank), list(part.holds), list(part.does_not_hold),
                      text_of(part.single_use)});
    table("Parts", std::move(rows));
  }

  void foot() {
    if (drive_.note) sheet_.foot.push_back(*drive_.note);
    if (loaded_.unconfirmed.empty()) return;
    std::vector<std::string> topics;
    for (const auto& [name, path] : loaded_.unconfirmed) topics.push_back(name);
    sheet_.foot.push_back(
        fmt::format("* taken over from {} and neither restated nor confirmed: {}. Findings that "
                    "rest on it stay open.",
                    drive_.based_on.value_or("its base"), joined(topics, ", ")));
  }

  const LoadedDrive& loaded_;
  const Drive& drive_;
  DriveSheet sheet_;
};

}  // namespace

DriveSheet drive_sheet(const LoadedDrive& loaded) { return Sheet(loaded).made(); }

}  // namespace tautmark
