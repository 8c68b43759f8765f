// SPDX-License-Identifier: Apache-2.0
// `tautmark clearance`: where valves and pistons of a definition would meet, by error in teeth.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "cli/clearance_plot.h"
#include "cli/commands.h"
#include "cli/drive_or_case.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "judge/event_words.h"
#include "judge/gap_words.h"
#include "report/clearance_json.h"
#include "report/way_json.h"

namespace tautmark::cli {
namespace {

using Json = nlohmann::ordered_json;

struct ClearanceArguments {
  std::string name, json;
  std::vector<std::string> drives;
  ClearancePlotArguments plot;
};

// Cells side by side where they fit, else one under the other.
void write_row(Writer& to, const std::string& name, const std::vector<std::string>& cells,
               std::size_t width) {
  std::string row = fmt::format("  {:<14}", name);
  const bool fits = 16 + cells.size() * width <= static_cast<std::size_t>(to.width());
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (fits)
      row += fmt::format("{:<{}}", cells[i], width);
    else
      row += (i == 0 ? "" : "\n" + std::string(16, ' ')) + cells[i];
  }
  while (row.ends_with(' ')) row.pop_back();
  to.text(row + "\n");
}

std::vector<std::string> cells_of(const GapRow& row) {
  std::vector<std::string> cells;
  for (const clearance::TableCell& cell : row.cells) cells.push_back(gap_words(cell));
  return cells;
}

void write_valves(Writer& to, const ValvesOfCam& valves, const std::vector<GapRow>& rows) {
  to.title(
      fmt::format("{}, {} valves: least gap over a whole cycle{}", valves.camshaft, valves.name,
                  valves.inputs.required
                      ? fmt::format("; at least {:.2f} mm wanted", in_mm(*valves.inputs.required))
                      : ""));
  std::vector<std::string> heads;
  for (const PhaserPlace& place : valves.phaser) heads.push_back(place.words);
  std::size_t width = 0;
  std::vector<std::string> missing;
  for (const std::string& head : heads) width = std::max(width, head.size() + 3);
  for (const GapRow& row : rows) {
    for (const std::string& cell : cells_of(row)) width = std::max(width, cell.size() + 3);
    for (const clearance::TableCell& cell : row.cells)
      for (const std::string& one : cell.missing)
        if (std::find(missing.begin(), missing.end(), one) == missing.end()) missing.push_back(one);
  }
  write_row(to, "camshaft", heads, width);
  for (const GapRow& row : rows) write_row(to, teeth_words(row.teeth), cells_of(row), width);
  if (rows.empty()) to.line(2, "no table: sprocket_teeth of the camshaft is not in the definition");
  if (!missing.empty()) to.line(2, "NOT KNOWN without: " + joined(missing, "; "));
}

void write_free(Writer& to, const FreeCamshafts& free) {
  to.title("Chain off: where the crankshaft may stand while camshafts turn");
  if (!free.not_known.empty()) {
    to.line(2, "NOT KNOWN without: " + joined(free.not_known, "; "));
    return;
  }
  if (free.windows.empty()) {
    to.line(2,
            "Nowhere: at every place of the crankshaft some valve can meet a piston. Take the "
            "valves out of the question first.");
    return;
  }
  for (const clearance::CrankWindow& window : free.windows)
    to.line(2, fmt::format("{:.1f} to {:.1f} deg crank after a dead center of cylinder 1; best at "
                           "{:.1f}: no contact expected, at least {:.2f} mm, while the crankshaft "
                           "stands there, its own uncertainty inside these edges, and is held",
                           std::ceil(in_crank_deg(window.from) * 10) / 10,
                           std::floor(in_crank_deg(window.to) * 10) / 10, in_crank_deg(window.park),
                           in_mm(free.least)));
}

std::string rests_words(const FreedCamshaft& freed) {
  std::vector<std::string> words;
  for (const clearance::RestPlace& rest : freed.rests) {
    words.push_back(
        rest.to - rest.from < cam_deg(1)
            ? fmt::format("{:.0f}", in_cam_deg(rest.from))
            : fmt::format("{:.0f} to {:.0f}", in_cam_deg(rest.from), in_cam_deg(rest.to)));
  }
  return words.empty() ? "nowhere" : joined(words, ", ") + " deg cam";
}

void write_freed(Writer& to, const FreedCamshafts& freed) {
  to.title("What the valve springs do to a camshaft that nothing holds");
  for (const FreedCamshaft& one : freed.camshafts)
    to.line(2, fmt::format("{}: pushed with up to {:.1f} N·m; comes to rest at {}", one.camshaft,
                           one.most.si(), rests_words(one)));
  if (!freed.not_known.empty()) to.line(2, "NOT KNOWN without: " + joined(freed.not_known, "; "));
  if (freed.parking.empty()) {
    to.line(2, "Where to park the crankshaft before the chain comes off is not known.");
  } else {
    const ParkingPlace& best = freed.parking.front();
    to.line(2, fmt::format("Least push with the crankshaft parked at {:.0f} deg crank after the "
                           "firing dead center of cylinder 1, camshafts right:",
                           in_crank_deg(best.crank)));
    for (const Pushed& one : best.camshafts) to.line(4, one.camshaft + ": " + push_words(one));
  }
  to.line(2,
          "Hold every camshaft at its flats before anything is loosened; it may go either way. "
          "Fingers out.");
}

std::string shown_text(const ClearanceShown& shown) {
  const Drive& drive = shown.drive->drive;
  const TextStyle style = output_style();
  Writer to(style);
  if (drive.invented.value_or(false)) to.line(0, "INVENTED ENGINE, NOT FOR REAL WORK");
  to.line(0, fmt::format("{}{}, {}", bold(drive.title.value_or(drive.name), style),
                         drive.revision ? ", revision " + *drive.revision : "",
                         drive.checked_by ? "checked by " + *drive.checked_by : "NOT CHECKED"));
  to.line(0, "DO NOT TURN on this table.");
  if (shown.valves.empty()) {
    to.line(0, "No valves, lifts and pistons in the definition: no gap is computed from nothing.");
  }
  for (std::size_t i = 0; i < shown.valves.size(); ++i)
    write_valves(to, shown.valves[i], shown.rows[i]);
  if (!shown.events.empty())
    to.title(fmt::format("Events by the definition at {:.2f} mm lift", in_mm(kCheckingLift)));
  for (const std::string& words : shown.events) to.line(2, words);
  if (!shown.valves.empty()) write_free(to, shown.free);
  if (!shown.valves.empty()) write_freed(to, shown.freed);
  if (!shown.free.not_known.empty()) {
    to.title("Without these figures");
    for (const std::string& words : without_figures()) to.line(2, words);
  }
  to.title("What it is, and what it is not");
  for (const std::string& words : clearance_cautions()) to.line(2, words);
  return to.take();
}

std::string way_text(const WayAnswer& way) {
  Writer to(output_style());
  for (const WayLine& line : way_lines(way)) to.line(line.indent, line.words);
  return to.take();
}

// Of a case; of several candidates none is the one to look for a way in.
std::optional<WayAnswer> way_of(const DriveOrCase& source) {
  if (!source.work) return std::nullopt;
  const LoadedCase& work = source.work->value;
  const std::vector<const LoadedDrive*> in_use = drives_in_use(work);
  return way_answer(work, in_use.size() == 1 ? in_use.front() : nullptr);
}

int run_clearance(const ClearanceArguments& arguments) {
  auto source = read_drive_or_case(arguments.name, arguments.drives);
  if (!source) return report_input(source.error());
  if (source->drives.empty()) {
    fmt::print(stderr, "{}: the case names no drive, so there is no definition to compute with\n",
               arguments.name);
    return kExitInput;
  }
  if (source->drives.size() > 1 && !arguments.plot.file.empty()) {
    fmt::print(stderr, "--plot: the case names several definitions; name one of them\n");
    return kExitUsage;
  }
  const Case* engine = source->work ? &source->work->value.value : nullptr;
  const std::optional<WayAnswer> way = way_of(*source);
  if (const int status = write_clearance_plot(arguments.plot, source->drives.front(), engine,
                                              way ? &*way : nullptr);
      status != kExitPass)
    return status;
  Json json = {{"schema", "clearance/1"}, {"drives", Json::array()}};
  std::string text;
  bool is_known = true;
  for (const LoadedDrive& drive : source->drives) {
    const ClearanceShown shown = clearance_shown(drive, engine);
    is_known = is_known && shown.free.not_known.empty();
    text += (text.empty() ? "" : "\n") + shown_text(shown);
    json["drives"].push_back(clearance_json(shown));
  }
  json["way"] = way ? way_json(*way) : Json(nullptr);
  if (way && !way->entry.empty()) text = way_text(*way) + "\n" + text;
  if (!arguments.json.empty() && !write_output(arguments.json, json.dump(1) + "\n"))
    return kExitInput;
  if (arguments.json != "-" && arguments.plot.file != "-") std::fputs(text.c_str(), stdout);
  const bool may = !source->work || (way && way->may());
  return is_known && may ? kExitPass : kExitOpen;
}

}  // namespace

void add_clearance(CLI::App& app, int& status) {
  auto arguments = std::make_shared<ClearanceArguments>();
  CLI::App* command = app.add_subcommand(
      "clearance",
      "Least gap of valve to piston by error in teeth, and where camshafts can be turned freely");
  command->add_option("DRIVE|CASE", arguments->name, "A definition, or a case that names one")
      ->required();
  command->add_option("--drives", arguments->drives, "Folder where definitions are looked for");
  command->add_option("--json", arguments->json, "Write clearance/1; - is standard output");
  add_plot_options(*command, arguments->plot);
  command->footer(
      "Exit status: 0 computed, 3 figures are missing or the case has no way that may be turned, "
      "2 the input could not be used, 64 wrong usage. The table allows no turning; of a case the "
      "way above it says what may be turned.");
  command->callback([arguments, &status] { status = run_clearance(*arguments); });
}

}  // namespace tautmark::cli
