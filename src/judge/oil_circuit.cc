// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_circuit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/text.h"
#include "drive/lint_report.h"
#include "measure/thermal.h"
#include "oil/bearing.h"
#include "oil/grade.h"
#include "oil/leakage.h"
#include "oil/network_check.h"
#include "oil/orifice.h"

namespace tautmark {
namespace {

using oil::ElementLaw;

constexpr double kCold = 273.15 + 20;
constexpr double kFilm = 1e-6;        // m: no journal is tighter than a film of oil
constexpr double kCoefficient = 0.7;  // of a drilling; 0.6 to 0.8 are usual (oil.md 2.4)
// Oils of one grade scatter by 10 %, the thermometer by 3 K (oil.md 4); together.
constexpr double kViscosityDoubt = 0.12;

double ratio_of(const std::optional<Written<Ratio>>& written, double otherwise) {
  return written ? written->value.si() : otherwise;
}
Length length_of(const std::optional<Written<Length>>& written) {
  return written ? written->value : Length::from_si(0);
}

// Of one gap: journal or plunger in its bore, a bearing round its hole (which stands where the gap
// is widest, away from the load), or a slot.
Result<double> conductance(const OilElement& way, Length radial) {
  if (way.kind == OilElementKind::bearing)
    return oil::feed_hole(
        {.diameter = length_of(way.feed_hole),
         .length = length_of(way.land),
         .film = oil::film_at(radial, ratio_of(way.eccentricity, 0), Angle::from_si(0))});
  if (way.kind == OilElementKind::slot)
    return oil::plane_slot({.width = length_of(way.width),
                            .height = length_of(way.clearance),
                            .length = length_of(way.land)});
  return oil::annular_land({.diameter = length_of(way.diameter),
                            .radial_clearance = radial,
                            .land = length_of(way.land),
                            .eccentricity = ratio_of(way.eccentricity, 0)});
}

Result<ElementLaw> law_of(const OilElement& way, Length radial) {
  const double many = way.count.value_or(1);
  switch (way.kind) {
    case OilElementKind::pump:
      return oil::Pump{way.per_turn ? way.per_turn->value.si() : 0,
                       way.slip ? way.slip->value.si() : 0};
    case OilElementKind::relief: {
      if (!way.flow || !way.opens || !way.full_at) return refuse("a size is missing");
      const double over = way.full_at->value.si() - way.opens->value.si();
      return oil::Relief{many * way.flow->value.si() / over, way.opens->value};
    }
    case OilElementKind::hole:
    case OilElementKind::check_valve: {
      const auto area =
          oil::round_hole(length_of(way.diameter), ratio_of(way.coefficient, kCoefficient));
      if (!area) return tl::unexpected(area.error());
      const auto left = oil::partly_blocked(*area, ratio_of(way.blocked, 0));
      if (!left) return tl::unexpected(left.error());
      if (way.kind == OilElementKind::hole) return oil::Orifice{many * *left};
      if (!way.opens) return refuse("a size is missing");
      return oil::CheckedOrifice{many * *left, way.opens->value};
    }
    case OilElementKind::screen: {
      if (!way.flow || !way.full_at || !way.viscosity) return refuse("a size is missing");
      const auto left = oil::partly_blocked(
          way.viscosity->value.si() * way.flow->value.si() / way.full_at->value.si(),
          ratio_of(way.blocked, 0));
      if (!left) return tl::unexpected(left.error());
      return oil::Laminar{many * *left, 1};
    }
    case OilElementKind::clearance:
    case OilElementKind::bearing:
    case OilElementKind::slot:
      break;
  }
  const auto one = conductance(way, radial);
  if (!one) return tl::unexpected(one.error());
  return oil::Laminar{many * way.lands.value_or(1) * *one, ratio_of(way.film, 1)};
}

// None: a material is not stated, or not known.
std::optional<double> growth_of(const EnginePlace& place, Length diameter) {
  if (place.in_bank == nullptr || !place.in_bank->head_material || place.camshaft == nullptr ||
      !place.camshaft->material)
    return std::nullopt;
  const auto bore = material(*place.in_bank->head_material);
  const auto shaft = material(*place.camshaft->material);
  if (!bore || !shaft) return std::nullopt;
  return diameter.si() / 2 * (bore->alpha.si() - shaft->alpha.si());
}

struct Middle {
  double value = 0, half = 0;
};
std::optional<Middle> new_of(const Drive& drive, Measurand quantity, const EnginePlace& place) {
  const Fit* fit = fit_for(drive, quantity, place);
  if (fit == nullptr || !fit->new_range || !fit->new_range->value.lower_si ||
      !fit->new_range->value.upper_si)
    return std::nullopt;
  const double low = *fit->new_range->value.lower_si, high = *fit->new_range->value.upper_si;
  return Middle{(low + high) / 2, (high - low) / 2};
}

std::optional<Middle> new_clearance(const Drive& drive, const EnginePlace& place) {
  if (const auto whole = new_of(drive, Measurand::journal_clearance, place)) return whole;
  const auto bore = new_of(drive, Measurand::bore_diameter, place);
  const auto shaft = new_of(drive, Measurand::journal_diameter, place);
  if (!bore || !shaft) return std::nullopt;
  return Middle{bore->value - shaft->value, std::hypot(bore->half, shaft->half)};
}

class Builder {
 public:
  Builder(const LoadedDrive& loaded, std::span<const KnownClearance> known, Temperature oil,
          double thinned)
      : drive_(loaded.drive), known_(known), places_(places_of(loaded.drive)) {
    out_.at = oil;
    out_.unknowns = {{"viscosity", viscosity(thinned)},
                     {"growth of the bores", oil::Between{0, 1}},
                     {"new parts", oil::NormalLn{1, 1}},
                     {"bearings repaired", oil::NormalLn{1, 1}}};
  }

  Result<OilCircuit> build() {
    if (!drive_.oil || drive_.oil->network.empty())
      return refuse("the definition tells no ways of the oil (oil.network)");
    for (const OilElement& way : drive_.oil->network)
      if (auto added = add(way); !added) return tl::unexpected(added.error());
    std::vector<double> middle;
    for (const oil::Unknown& unknown : out_.unknowns)
      middle.push_back(std::holds_alternative<oil::NormalLn>(unknown.prior) ? 1 : 0.5);
    for (std::size_t i = 0; i < out_.ways.size(); ++i) {
      CircuitWay& way = out_.ways[i];
      way.radial = way.journal ? hot_radial(out_, out_.journals[*way.journal], middle)
                               : length_of(way.written.clearance) / 2;
      auto law = law_of(way.written, way.radial);
      if (!law) return refuse(fmt::format("{}: {}", way.written.name, law.error().why));
      out_.network.elements[i].law = std::move(*law);
    }
    return std::move(out_);
  }

 private:
  // 95 % from fresh to thinned, beside what is not known of the fresh oil.
  static oil::NormalLn viscosity(double thinned) {
    const double half = -std::log1p(-thinned) / 2;
    return {std::exp(-half), std::hypot(kViscosityDoubt, half / 1.96)};
  }

  int node(const std::optional<std::string>& name) {
    if (!name) return oil::kSump;
    const auto [found, is_new] =
        nodes_.emplace(folded(*name), static_cast<int>(out_.network.nodes.size()));
    if (is_new) {
      const EnginePlace* place = find_place(places_, *name);
      out_.network.nodes.push_back(place != nullptr ? place->path : *name);
    }
    return found->second;
  }

  Result<void> add(const OilElement& written) {
    CircuitWay way{written};
    if (written.journal) {
      const auto index = journal(written);
      if (!index) return tl::unexpected(index.error());
      way.journal = *index;
    }
    if (written.uncertainty && written.uncertainty->value.si() > 0) way.factor = factor(written);
    out_.network.elements.push_back({written.name, node(written.from), node(written.to), {}});
    out_.ways.push_back(way);
    return {};
  }

  std::size_t factor(const OilElement& written) {
    const std::string name = written.alike.value_or(written.name);
    const auto [found, is_new] = factors_.emplace(folded(name), out_.unknowns.size());
    if (is_new)
      out_.unknowns.push_back(
          {name, oil::NormalLn{1, std::log1p(written.uncertainty->value.si()) / 1.96}});
    return found->second;
  }

  std::size_t error_of(std::optional<int> bank) {
    const auto [found, is_new] = errors_.emplace(bank.value_or(0), out_.unknowns.size());
    if (is_new)
      out_.unknowns.push_back(
          {bank ? fmt::format("clearances of bank {}", *bank) : "clearances", oil::NormalLn{1, 1}});
    return found->second;
  }

  Result<std::size_t> journal(const OilElement& written) {
    const EnginePlace* place = find_place(places_, *written.journal);
    if (place == nullptr)
      return refuse(
          fmt::format("{}: no journal \"{}\" in this drive", written.name, *written.journal));
    for (std::size_t i = 0; i < out_.journals.size(); ++i)
      if (out_.journals[i].place == place->path) return i;
    const auto growth = growth_of(*place, length_of(written.diameter));
    CircuitJournal journal{.place = place->path,
                           .bank = place->bank,
                           .diameter = length_of(written.diameter),
                           .growth = growth.value_or(0),
                           .error = error_of(place->bank)};
    const auto known = std::find_if(known_.begin(), known_.end(), [&](const KnownClearance& one) {
      return same_place(one.place, place->path);
    });
    const auto as_new = new_clearance(drive_, *place);
    if (known != known_.end()) {
      journal.clearance = known->clearance;
      journal.U = known->U;
      journal.measured = true;
    } else if (written.clearance) {
      journal.clearance = written.clearance->value;
      journal.U = as_new ? Length::from_si(as_new->half) : Length::from_si(0);
    } else if (as_new) {
      journal.clearance = Length::from_si(as_new->value);
      journal.U = Length::from_si(as_new->half);
    } else {
      return refuse(
          fmt::format("{}: no clearance of {} is known: measure it, or state it in the "
                      "definition",
                      written.name, place->path));
    }
    if (!growth)
      out_.assumed.push_back(fmt::format(
          "{}: no growth, since the material of head or camshaft is not stated", place->path));
    out_.journals.push_back(std::move(journal));
    return out_.journals.size() - 1;
  }

  const Drive& drive_;
  std::span<const KnownClearance> known_;
  std::vector<EnginePlace> places_;
  std::map<std::string, int> nodes_;
  std::map<std::string, std::size_t> factors_;
  std::map<int, std::size_t> errors_;  // by bank
  OilCircuit out_;
};

}  // namespace

Result<OilCircuit> oil_circuit(const LoadedDrive& loaded, std::span<const KnownClearance> known,
                               Temperature oil, double thinned) {
  return Builder(loaded, known, oil, thinned).build();
}

std::optional<std::size_t> node_of(const OilCircuit& circuit, std::string_view place) {
  for (std::size_t i = 0; i < circuit.network.nodes.size(); ++i)
    if (same_place(circuit.network.nodes[i], place)) return i;
  return std::nullopt;
}

Length hot_radial(const OilCircuit& circuit, const CircuitJournal& journal,
                  std::span<const double> values) {
  const double error = std::log(values[journal.error]) * journal.U.si() / 2;
  const double cold = (journal.clearance.si() + error) / 2;
  const double hot = cold + values[kGrowthUnknown] * journal.growth * (circuit.at.si() - kCold);
  return Length::from_si(std::max(hot, kFilm));
}

// What a way lets through is in proportion to its factor and to the cube of its clearance.
void apply_to(const OilCircuit& circuit, std::span<const CircuitJournal> journals,
              std::span<const double> values, oil::NetworkSolver& solver) {
  for (std::size_t i = 0; i < circuit.ways.size(); ++i) {
    const CircuitWay& way = circuit.ways[i];
    if (!way.journal && !way.factor) continue;
    double by = way.factor ? values[*way.factor] : 1;
    if (way.journal)
      by *= std::pow(hot_radial(circuit, journals[*way.journal], values) / way.radial, 3);
    ElementLaw law = circuit.network.elements[i].law;
    if (auto* gap = std::get_if<oil::Laminar>(&law)) gap->conductance *= by;
    if (auto* hole = std::get_if<oil::Orifice>(&law)) hole->area *= by;
    if (auto* hole = std::get_if<oil::CheckedOrifice>(&law)) hole->area *= by;
    if (auto* relief = std::get_if<oil::Relief>(&law)) relief->slope *= by;
    if (auto* pump = std::get_if<oil::Pump>(&law)) pump->slip *= by;
    solver.change(i, law);
  }
}

void apply_to(const OilCircuit&, std::span<const double> values, oil::Running& running) {
  running.viscosity = DynamicViscosity::from_si(running.viscosity.si() * values[kViscosityUnknown]);
}

namespace {

// Where in the definition stands what a refusal names: a way, else the end of one.
std::string where_of(const Drive& drive, std::string_view why) {
  const std::vector<OilElement>& network = drive.oil->network;
  const auto names = [&](std::string_view name) {
    return (why.starts_with(name) && why.substr(name.size()).starts_with(":")) ||
           why.find(fmt::format("\"{}\"", name)) != std::string_view::npos;
  };
  for (std::size_t i = 0; i < network.size(); ++i)
    if (names(network[i].name)) return fmt::format("oil.network[{}].name", i);
  for (std::size_t i = 0; i < network.size(); ++i)
    for (const auto& [end, key] :
         {std::pair{network[i].from, "from"}, std::pair{network[i].to, "to"}})
      if (end && names(*end)) return fmt::format("oil.network[{}].{}", i, key);
  return "oil.network";
}

// A check valve that is shut at a fast turning engine with thin oil is turned round, or opens too
// late ever to open.
void check_shut(LintReport& report, const OilCircuit& circuit) {
  constexpr oil::Running kFast{mPa_s(10), Density::from_si(800), per_min(3000)};
  const auto solved = oil::solve(circuit.network, kFast);
  if (!solved) return;
  const auto at = [&](int node) {
    return node == oil::kSump ? kPa(0) : solved->at[static_cast<std::size_t>(node)];
  };
  for (const oil::Element& way : circuit.network.elements) {
    const auto* valve = std::get_if<oil::CheckedOrifice>(&way.law);
    if (valve == nullptr) continue;
    const Pressure over = at(way.from) - at(way.to);
    // A bypass of a filter or cooler is meant to stay shut.
    const bool is_bypass = std::ranges::any_of(circuit.network.elements, [&](const auto& other) {
      return &other != &way && way.to != oil::kSump && other.from == way.from && other.to == way.to;
    });
    if (over > valve->opens || is_bypass) continue;
    const std::string where = where_of(report.drive(), way.name + ":");
    if (over.si() < 0)
      report.warning(
          where,
          fmt::format("{}: shut, since more pressure stands behind it than before it", way.name),
          "turn from and to round");
    else
      report.warning(where, fmt::format("{}: opens at {:.0f} kPa, and even a fast engine with thin "
                                        "oil has only {:.0f} kPa over it",
                                        way.name, in_kPa(valve->opens), in_kPa(over)));
  }
}

}  // namespace

Diagnostics oil_lint(const LoadedDrive& loaded) {
  LintReport report(loaded);
  const Drive& drive = loaded.drive;
  if (drive.oil && drive.oil->grade && oil::grade_name(*drive.oil->grade).empty())
    report.warning(
        "oil.grade",
        fmt::format("{} is no grade of SAE J300: its viscosity is not known", *drive.oil->grade),
        "grade: 5W-30");
  if (!drive.oil || drive.oil->network.empty()) return report.take();
  // What each way lacks by itself was said when the definition was read.
  if (std::any_of(loaded.warnings.begin(), loaded.warnings.end(),
                  [](const Diagnostic& said) { return said.severity == Severity::error; }))
    return report.take();
  const auto circuit = oil_circuit(loaded, {}, degC(100));
  if (!circuit) {
    report.error(where_of(drive, circuit.error().why), circuit.error().why);
    return report.take();
  }
  if (const auto places = oil::check_places(circuit->network); !places)
    report.error(where_of(drive, places.error().why), places.error().why);
  check_shut(report, *circuit);
  for (const OilPort& port : drive.oil->ports) {
    const std::string place =
        port.bank ? fmt::format("bank {} / {}", *port.bank, port.name) : port.name;
    if (!node_of(*circuit, place))
      report.warning(
          "oil.ports",
          fmt::format("no way reaches {}: a gauge there tells the network nothing", place));
  }
  for (const CircuitWay& way : circuit->ways)
    if (way.written.kind == OilElementKind::pump && !way.written.slip)
      report.warning(where_of(drive, way.written.name + ":"),
                     fmt::format("{}: without slip a pump gives any pressure", way.written.name),
                     "slip: 0.005 mm³");
  return report.take();
}

}  // namespace tautmark
