// SPDX-License-Identifier: Apache-2.0
// `tautmark oil`: what the gauges tell, the heads side by side, and what each repair would do.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/drive_or_case.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "draw/oil_of_case.h"
#include "judge/circuit_middle.h"
#include "report/oil_json.h"
#include "report/oil_network_json.h"

namespace tautmark::cli {
namespace {

using Json = nlohmann::ordered_json;

struct OilArguments {
  std::string name, json, plot, of = "circuit", port, paper = "screen";
  bool with_sensitivities = false;
  std::vector<std::string> drives;
};

// From the pump to the heads, with what was read at each place.
void write_circuit(Writer& to, const BankGauges& gauges) {
  to.title(fmt::format("From the gallery to the heads, {}", gauges.condition));
  const auto line = [&](int indent, const GaugeRead& read) {
    to.line(indent, fmt::format("{}: {} ({})", read.place, read.shown, read.entry));
  };
  line(2, gauges.gallery);
  to.line(4, "restriction of each head");
  line(6, gauges.healthy_head);
  line(6, gauges.head);
}

void write_alone(Writer& to, const BanksCompared& compared) {
  const auto& alone = compared.alone;
  to.line(2, fmt::format("Leakage: Σ clearance³, cold, to that of bank {}. Fitted to bank {} alone "
                         "the estimate puts bank {} at {:.0f} to {:.0f} kPa as found; read were "
                         "{:.0f}.",
                         compared.gauges.healthy, compared.gauges.healthy, compared.gauges.bank,
                         in_kPa(alone.low), in_kPa(alone.high), in_kPa(compared.gauges.head.mean)));
}

void write_table(Writer& to, const BanksCompared& compared, std::string_view from) {
  if (!compared.explained) {
    to.title("What if, before ordering: OPEN");
    to.line(2, compared.from_healthy.said + ".");
    for (const std::string& next : compared.from_healthy.measure_next)
      to.line(4, "measure next: " + next);
    write_alone(to, compared);
    to.line(2, compared.not_told);
    return;
  }
  const std::vector<OilRow> rows = oil_rows(compared);
  to.title(fmt::format("What if, before ordering for bank {}{}", compared.gauges.bank, from));
  const bool fits = to.width() >= 96;
  if (fits) to.text(fmt::format("  {:<26}{:<10}{}\n", "option", "leakage", "at the head"));
  for (const OilRow& row : rows) {
    if (fits) {
      to.text(fmt::format("  {:<26}{:<10}{:<26}{}\n", row.option, row.leakage, row.pressure,
                          row.means));
    } else {
      to.line(2, row.option);
      to.line(4, fmt::format("leakage {}; {}; {}", row.leakage, row.pressure, row.means));
    }
  }
  for (const std::string& left_out : compared.options_left_out) to.line(2, left_out);
  const oil::BankForecast& forecast = compared.best();
  to.line(2, "OPEN: " + forecast.said + ".");
  for (const std::string& next : forecast.measure_next) to.line(4, "measure next: " + next);
  write_alone(to, compared);
  if (!compared.not_told.empty()) to.line(2, compared.not_told);
  to.line(2, forecast.marked);
}

std::string range(const oil::Interval& of, double unit, int decimals) {
  return fmt::format("{:.{}f} ({:.{}f} to {:.{}f})", of.median / unit, decimals, of.low / unit,
                     decimals, of.high / unit, decimals);
}

std::string flow_words(oil::Interval flow) {
  constexpr double kUnit = 1e-3 / 60;
  if (flow.median < 0) flow = {-flow.median, -flow.high, -flow.low};
  return flow.high < 0.005 * kUnit ? "less than 0.01" : range(flow, kUnit, 2);
}

// As the oil flows, whichever way round the definition has it.
int leaves(const WayTold& way) { return way.flow.median < 0 ? way.to : way.from; }
int arrives(const WayTold& way) { return way.flow.median < 0 ? way.from : way.to; }

// Place by place, from the pump on, with the ways that leave each.
void write_places(Writer& to, const OilTold& told) {
  to.title(fmt::format("Pressure and flow at each place, as found, {}, {}", told.gauges.condition,
                       told.oil));
  for (std::size_t i = 0; i < told.nodes.size(); ++i) {
    const NodeTold& node = told.nodes[i];
    to.line(
        2, fmt::format("{}: {} kPa{}{}", node.name, range(node.pressure, 1e3, 0),
                       node.read ? fmt::format("; read {} ({})", node.read->shown, node.read->entry)
                       : node.is_port ? "; not read, or not beside the others"
                                      : "",
                       told.explained && node.least && node.pressure.high < node.least->si()
                           ? fmt::format("; {} its limit of {:.0f} kPa",
                                         node.read ? "BELOW" : "by this estimate below",
                                         in_kPa(*node.least))
                           : ""));
    for (const WayTold& way : told.ways)
      if (leaves(way) == static_cast<int>(i))
        to.line(
            4, fmt::format("{} L/min through {}{}{}", flow_words(way.flow), way.name,
                           way.clearance ? fmt::format(", {:.3f} mm", in_mm(*way.clearance)) : "",
                           arrives(way) == oil::kSump
                               ? ""
                               : " to " + told.nodes[static_cast<std::size_t>(arrives(way))].name));
  }
}

void write_held(Writer& to, const std::string& place, const PhaserHeld& held) {
  to.title(fmt::format("What {} does on a constant command, by what passes between its chambers",
                       place));
  to.line(2, fmt::format("drifts to retard by {:.1f} ± {:.1f}° cam in a second or more, until the "
                         "control brings it back",
                         in_cam_deg(held.drift), in_cam_deg(held.drift_U)));
  if (held.swing)
    to.line(2, fmt::format("swings by {:.1f} to {:.1f}° cam with the valve events, lowest to "
                           "highest, with 0.5 to 5 % of air in the oil",
                           in_cam_deg(held.swing->least), in_cam_deg(held.swing->most)));
  if (held.back && held.back->state != oil::SlewState::moves)
    to.line(2, fmt::format("to advance: {}", slew_words(held.back->state)));
  else if (held.back)
    to.line(2, fmt::format("comes back, valve wide open, by {:.1f} ± {:.1f}° cam in a second",
                           in_cam_deg(held.back->slew.in_a_second), in_cam_deg(held.back->slew.U)));
  if (held.saw_tooth)
    to.line(2,
            fmt::format("so across the dead band of its control a saw-tooth of about {:.1f}° cam, "
                        "every {:.1f} s",
                        in_cam_deg(held.saw_tooth->height), held.saw_tooth->period.si()));
}

// Which journal to look at first, and what the phaser does on a constant command.
void write_answers_to(Writer& to, const OilTold& told) {
  const std::vector<ClearanceMatters> matters = what_matters(told);
  if (!matters.empty())
    to.title(fmt::format("What 0.01 mm more clearance does to {}", lowest_head(told.gauges).place));
  for (const ClearanceMatters& one : matters)
    to.line(2, fmt::format("{}: {:+.1f} kPa", one.journal, in_kPa(one.change)));
  if (told.holding) write_held(to, told.phaser->place, *told.holding);
}

// Every clearance and every port of a gauge; oil/1 has every place.
void write_sensitivities(Writer& to, const OilTold& told) {
  const std::vector<ClearanceSensitivity> all = clearance_sensitivities(told);
  if (all.empty()) return;
  std::vector<std::size_t> ports;
  for (std::size_t i = 0; i < told.nodes.size(); ++i)
    if (told.nodes[i].is_port) ports.push_back(i);
  to.title("What 1 µm more clearance does to each port, in kPa, linear");
  std::size_t name_width = 0;
  for (const ClearanceSensitivity& one : all)
    name_width = std::max(name_width, character_count(one.clearance));
  const auto row = [&](const std::string& name, const auto& cell) {
    std::string line = fmt::format("  {:<{}}", name, name_width);
    for (const std::size_t port : ports)
      line += fmt::format("{:>{}}", cell(port), character_count(told.nodes[port].name) + 3);
    to.text(line + "\n");
  };
  row("", [&](std::size_t port) { return told.nodes[port].name; });
  for (const ClearanceSensitivity& one : all)
    row(one.clearance, [&](std::size_t port) {
      return fmt::format("{:+.2f}",
                         std::abs(one.for_um[port].si()) < 5 ? 0.0 : in_kPa(one.for_um[port]));
    });
}

// Unmeasured: bearings of the lowest head stand in the network as new.
void write_network(Writer& to, const OilTold& told, bool is_unmeasured) {
  if (!told.explained)
    to.title(
        is_unmeasured
            ? "With bearings as new the network does not explain the gauges: something is worn, or "
              "a "
              "reading or the definition is wrong. It forecasts nothing; what follows fits badly"
            : "The network does not explain the gauges: something else leaks or is blocked, a "
              "reading "
              "is wrong, or the definition is. It forecasts nothing; what follows fits badly");
  write_places(to, told);
  write_answers_to(to, told);
  if (!told.options.empty())
    to.title(fmt::format("What if, before ordering for bank {}: by the network", *told.bank));
  for (const OptionTold& option : told.options) {
    to.line(2, option.name);
    to.line(4, fmt::format("head {} kPa, {}; gallery {} kPa", range(option.head, 1e3, 0),
                           means_of(option.pressure), range(option.gallery, 1e3, 0)));
    to.line(4, "phaser, torque by what it needs: " + authority_words(option.authority));
  }
  if (!told.choice.empty()) to.line(2, "OPEN: " + told.choice + ".");
  for (const std::string& next : told.measure_next) to.line(4, "measure next: " + next);
  for (const std::string& left_out : told.left_out) to.line(2, left_out);
  if (told.from_others)
    to.line(2, fmt::format("Fitted to the other gauges alone the network puts the lowest head at "
                           "{:.0f} to {:.0f} kPa; read were {}.",
                           told.from_others->low * 1e-3, told.from_others->high * 1e-3,
                           lowest_head(told.gauges).shown));
  for (const std::string& assumed : told.circuit.assumed) to.line(2, assumed);
}

void write_wear(Writer& to, const WearTold& told) {
  const oil::WearExplanation& wear = told.wear;
  to.title(told.measured.empty()
               ? "What worn or blocked place explains the gauges, by the ports alone: no measured "
                 "bearing is in it"
               : fmt::format(
                     "What worn or blocked place explains the gauges, beside what was measured: {}",
                     joined(told.measured, ", ")));
  for (const std::size_t i : wear.ranking) {
    const oil::WearHypothesis& one = wear.hypotheses[i];
    if (one.probability < 0.01) continue;
    to.line(2, fmt::format(
                   "{:3.0f} %  {}{}", 100 * one.probability, one.name,
                   i == 0 ? ""
                          : fmt::format(": lets through {:.2g} times as much ({:.2g} to {:.2g})",
                                        one.factor.median, one.factor.low, one.factor.high)));
  }
  for (const std::string& said : wear.said) to.line(2, said);
}

std::string shown_text(const OilShown& shown, bool with_sensitivities) {
  const Drive& drive = shown.drive->drive;
  const TextStyle style = output_style();
  Writer to(style);
  if (drive.invented.value_or(false)) to.line(0, "INVENTED ENGINE, NOT FOR REAL WORK");
  to.line(0, fmt::format("{}{}; specified oil {}", bold(drive.title.value_or(drive.name), style),
                         drive.checked_by ? "" : ", NOT CHECKED",
                         drive.oil && drive.oil->grade ? *drive.oil->grade : "not stated"));
  if (drive.oil && shown.findings.empty())
    for (const PressureLimit& limit : drive.oil->pressures) to.line(2, limit_words(limit));
  if (!shown.findings.empty()) to.title("What the gauges tell");
  for (const Finding& finding : shown.findings) {
    to.line(2,
            fmt::format("{}: {}. {}", finding.subject, verdict_word(finding.verdict), finding.why));
    for (const std::string& text : finding.follows) to.line(4, text);
    for (const std::string& next : finding.next) to.line(4, "next: " + next);
  }
  if (shown.network.told) write_network(to, *shown.network.told, shown.wear.has_value());
  if (shown.network.told && with_sensitivities) write_sensitivities(to, *shown.network.told);
  if (!shown.network.missing.empty())
    to.title("The ways of the oil tell nothing yet; wanted, or wrong in the definition:");
  for (const std::string& missing : shown.network.missing) to.line(2, missing);
  if (shown.wear) write_wear(to, *shown.wear);
  if (shown.banks.compared) {
    if (!shown.network.told) write_circuit(to, shown.banks.compared->gauges);
    write_table(to, *shown.banks.compared,
                shown.network.told ? ": from cold clearances alone" : "");
  } else if (!shown.network.told || shown.network.told->options.empty()) {
    to.title("What if, before ordering: OPEN, nothing is predicted without");
    for (const std::string& missing : shown.banks.missing) to.line(2, missing);
  }
  to.title("What it is, and what it is not");
  for (const std::string& words : oil_cautions()) to.line(2, words);
  return to.take();
}

// An SVG, or what is missing for it.
Result<std::string> plotted(const OilArguments& arguments, const OilShown& shown) {
  const PlotOptions options{.paper = *paper_named(arguments.paper)};
  if (arguments.of == "pressure") {
    for (const PressureChart& chart : shown.charts)
      if (arguments.port.empty() || same_place(arguments.port, chart.port))
        return pressure_chart_svg(pressure_drawing_of(*shown.drive, chart), options);
    if (!arguments.port.empty())
      return refuse(
          fmt::format("nothing to draw at \"{}\": no such port, or no reading there with "
                      "speed and oil temperature, or no limit with both",
                      arguments.port));
    return refuse("no reading with speed and oil temperature at a port that has a limit with both");
  }
  if (!shown.network.told) {
    const std::vector<std::string>& missing = shown.network.missing;
    return refuse(missing.empty() ? "the definition tells no ways of the oil, or no gauge was read"
                                  : "nothing is drawn without " + joined(missing, "; "));
  }
  const OilTold& told = *shown.network.told;
  if (!told.explained)
    return refuse(
        "nothing is drawn of a network that does not explain the gauges: something else "
        "leaks, a reading is wrong, or the definition is");
  if (arguments.of == "circuit")
    return oil_circuit_svg(circuit_drawing_of(*shown.drive, told), options);
  if (!told.curve || told.curve->points.empty())
    return refuse("vanes and torque of the phaser, and ways of the oil to both of its chambers");
  return authority_curve_svg(authority_drawing_of(*shown.drive, told, *told.curve), options);
}

// Exit status: kExitPass when it is written or none was asked for.
int write_oil_plot(const OilArguments& arguments, const OilShown& shown) {
  if (arguments.plot.empty()) return kExitPass;
  const auto svg = plotted(arguments, shown);
  if (!svg) {
    fmt::print(stderr, "--plot: {}\n", svg.error().why);
    return kExitOpen;
  }
  return write_output(arguments.plot, *svg) ? kExitPass : kExitInput;
}

int run_oil(const OilArguments& arguments) {
  auto source = read_drive_or_case(arguments.name, arguments.drives);
  if (!source) return report_input(source.error());
  if (source->drives.empty()) {
    fmt::print(stderr, "{}: the case names no drive, so there is nothing to compare with\n",
               arguments.name);
    return kExitInput;
  }
  if (!arguments.plot.empty() && source->drives.size() != 1) {
    fmt::print(stderr, "--plot: which engine it is must be known first\n");
    return kExitOpen;
  }
  Json json = {{"schema", "oil/1"}, {"drives", Json::array()}};
  std::string text;
  bool is_failed = false;
  for (const LoadedDrive& drive : source->drives) {
    const OilShown shown = oil_shown(drive, source->work ? &source->work->value : nullptr);
    is_failed = is_failed || std::any_of(shown.findings.begin(), shown.findings.end(),
                                         [](const Finding& finding) {
                                           return finding.verdict == Verdict::fail;
                                         });
    text += (text.empty() ? "" : "\n") + shown_text(shown, arguments.with_sensitivities);
    json["drives"].push_back(oil_json(shown));
    if (const int status = write_oil_plot(arguments, shown); status != kExitPass) return status;
  }
  if (!arguments.json.empty() && !write_output(arguments.json, json.dump(1) + "\n"))
    return kExitInput;
  if (arguments.json != "-" && arguments.plot != "-") std::fputs(text.c_str(), stdout);
  return is_failed ? kExitFail : kExitOpen;
}

}  // namespace

void add_oil(CLI::App& app, int& status) {
  auto arguments = std::make_shared<OilArguments>();
  CLI::App* command = app.add_subcommand(
      "oil", "Oil pressure from the gallery to the heads, and what each repair would do to it");
  command->add_option("DRIVE|CASE", arguments->name, "A definition, or a case that names one")
      ->required();
  command->add_option("--drives", arguments->drives, "Folder where definitions are looked for");
  command->add_option("--json", arguments->json, "Write oil/1; - is standard output");
  command->add_flag("--sensitivities", arguments->with_sensitivities,
                    "Also what 1 µm of each clearance does to the pressure at each port");
  auto* plot =
      command->add_option("--plot", arguments->plot,
                          "Write an SVG: the circuit from pump to heads; - is standard output");
  command
      ->add_option("--of", arguments->of,
                   "What is drawn: the circuit, the authority of the phaser over the clearance of "
                   "its journal, or the pressure over the oil temperature")
      ->check(CLI::IsMember({"circuit", "authority", "pressure"}))
      ->capture_default_str()
      ->needs(plot);
  command->add_option("--port", arguments->port, "With --of pressure: the port")->needs(plot);
  command->add_option("--paper", arguments->paper, "Colors of the drawing")
      ->check(CLI::IsMember({"screen", "dark", "print"}))
      ->capture_default_str()
      ->needs(plot);
  command->footer(
      "Exit status: 1 a pressure is proven outside its limit, 3 everything else: a forecast is "
      "never a pass; 2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] { status = run_oil(*arguments); });
}

}  // namespace tautmark::cli
