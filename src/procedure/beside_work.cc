// SPDX-License-Identifier: Apache-2.0
// The steps of beside(): added, removed, moved, and what differs within a step.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "procedure/beside_rows.h"
#include "procedure/beside_steps.h"
#include "procedure/machine.h"

namespace tautmark::procedure {
namespace {

// "fastener: phaser bolt; steps: …" in one line, whatever the field.
std::string flat(const Node& node) {
  if (node.shape == NodeShape::scalar) return std::string(trimmed(node.text));
  std::vector<std::string> parts;
  for (const Node& item : node.items) parts.push_back(flat(item));
  for (const Member& member : node.members)
    parts.push_back(member.key.text + " " + flat(member.value));
  return joined(parts, node.shape == NodeShape::map ? ", " : "; ");
}

std::string field_text(const ProcedureStep& step, std::string_view key) {
  if (key == "tightens") {
    std::vector<std::string> all;
    for (const Tightens& one : step.tightens)
      all.push_back(fmt::format("{}: {}", one.fastener, steps_text(one.steps)));
    return joined(all, "; ");
  }
  const Node written = write_record(step);
  const Node* field = written.find(key);
  return field != nullptr ? flat(*field) : "";
}

constexpr std::string_view kFields[][2] = {
    {"what", "words"},        {"stage", "stage"},  {"bank", "bank"},     {"needs", "before"},
    {"gives", "after"},       {"ends", "ends"},    {"gate", "gate"},     {"turns", "turns"},
    {"tightens", "tightens"}, {"fits", "fits"},    {"within", "within"}, {"why", "why"},
    {"cautions", "caution"},  {"source", "source"}};

class StepRows {
 public:
  explicit StepRows(BesideRows& rows) : rows_(rows) {
    for (const LoadedDrive* drive : rows.drives()) drives_.push_back(&drive->drive);
  }

  void add_all() {
    rows_.group("steps of the work");
    if (std::all_of(drives_.begin(), drives_.end(),
                    [](const Drive* drive) { return drive->procedure.empty(); }))
      return;
    for (const AlignedStep& step : aligned_steps(drives_)) add(step);
  }

 private:
  [[nodiscard]] const ProcedureStep& at(const AlignedStep& step, std::size_t which) const {
    return drives_[which]->procedure[*step.at[which]];
  }

  [[nodiscard]] std::string standing(const AlignedStep& step, std::size_t which) const {
    if (!step.at[which]) return "";
    const std::size_t place = *step.at[which];
    if (step.moved[which])
      return place == 0
                 ? "moved: comes first"
                 : fmt::format("moved: behind \"{}\"", drives_[which]->procedure[place - 1].name);
    return "as the others have it";
  }

  // A step that one of them has not, in short; the numbers behind it are all one further and say
  // nothing.
  [[nodiscard]] std::string in_short(const AlignedStep& step, std::size_t which) const {
    const ProcedureStep& one = at(step, which);
    std::string text = fmt::format("step {}: {}", *step.at[which] + 1, trimmed(one.what));
    if (!one.tightens.empty()) text += " Tighten " + field_text(one, "tightens") + ".";
    if (one.gate) text += fmt::format(" Gate: {}.", choice_name(*one.gate));
    return text;
  }

  void add(const AlignedStep& step) {
    const auto has = [&](std::size_t which) { return step.at[which].has_value(); };
    bool all = true, moved = false;
    for (std::size_t i = 0; i < drives_.size(); ++i) {
      all = all && has(i);
      moved = moved || step.moved[i];
    }
    if (!all)
      rows_.add(step.name, [&](const LoadedDrive&, std::size_t which) {
        return BesideCell{has(which) ? in_short(step, which) : ""};
      });
    if (moved)
      rows_.add(step.name + ": place", [&](const LoadedDrive&, std::size_t which) {
        return BesideCell{standing(step, which)};
      });
    if (all) add_fields(step);
  }

  void add_fields(const AlignedStep& step) {
    for (const auto& field : kFields)
      rows_.add(fmt::format("{}: {}", step.name, field[1]),
                [&](const LoadedDrive&, std::size_t which) {
                  return BesideCell{field_text(at(step, which), field[0])};
                });
  }

  BesideRows& rows_;
  std::vector<const Drive*> drives_;
};

}  // namespace

void add_step_rows(BesideRows& rows) { StepRows(rows).add_all(); }

void add_release_row(BesideRows& rows) {
  rows.add("let go by", [](const LoadedDrive& drive, std::size_t) {
    std::vector<std::string> names;
    for (const Step& step : plan_of(drive.drive).steps)
      if (gives_item(step, Item::tensioner, 1))
        names.push_back(fmt::format("{} ({})", step.written->name, trimmed(step.written->what)));
    return BesideCell{joined(names, "; ")};
  });
}

}  // namespace tautmark::procedure
