// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_told.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "judge/oil_condition.h"
#include "judge/pressure_read.h"
#include "judge/remembered.h"
#include "judge/repair_options.h"
#include "oil/choice.h"
#include "oil/library.h"
#include "oil/shear.h"

namespace tautmark {
namespace {

constexpr oil::Sampling kSampling{.seed = 1, .draws = 600};
constexpr int kCurvePoints = 16;
// Of a gauge that is not fitted yet (common practice, no source).
constexpr Pressure kNextGauge = kPa(2);

// Every pressure and flow of every draw.
struct Drawn {
  std::vector<std::vector<double>> pressure;  // by node, by draw
  std::vector<std::vector<double>> flow;      // by way, by draw
};

Result<Drawn> drawn(const oil::Identification& in, const oil::Posterior& of,
                    const oil::Running& running, const oil::ApplyToNetwork& option) {
  Drawn out{std::vector<std::vector<double>>(in.network.nodes.size()),
            std::vector<std::vector<double>>(in.network.elements.size())};
  const auto all = oil::forecast(in, of, running, option, [&](const oil::NetworkSolver& solved) {
    for (std::size_t i = 0; i < out.pressure.size(); ++i)
      out.pressure[i].push_back(solved.at(i).si());
    for (std::size_t i = 0; i < out.flow.size(); ++i) out.flow[i].push_back(solved.through(i).si());
    return 0.0;
  });
  if (!all) return tl::unexpected(all.error());
  return out;
}

struct OilKnown {
  oil::OilAt at;
  std::string name;
};
Result<OilKnown> specified_oil(const Drive& drive, Temperature at) {
  if (!drive.oil->grade) return refuse("the grade of the oil: the definition names none");
  const oil::OilOfLibrary* found = oil::oil_of_grade(oil::known_oils(), *drive.oil->grade);
  if (found == nullptr)
    return refuse(fmt::format("the viscosity of {}: no typical one is known", *drive.oil->grade));
  const auto properties = oil::properties_of(*found);
  if (!properties) return tl::unexpected(properties.error());
  const auto oil = oil::oil_at(*properties, at);
  if (!oil) return tl::unexpected(oil.error());
  return OilKnown{*oil, fmt::format("{}, typical", found->grade)};
}

oil::Identification asked_of(const OilCircuit& circuit, const oil::Running& running,
                             const std::vector<GaugeRead>& gauges) {
  oil::Identification in;
  in.network = circuit.network;
  in.unknowns = circuit.unknowns;
  in.apply = [&circuit](std::span<const double> values, oil::NetworkSolver& solver) {
    apply_to(circuit, circuit.journals, values, solver);
  };
  in.apply_to_running = [&circuit](std::span<const double> values, oil::Running& one) {
    apply_to(circuit, values, one);
  };
  for (const GaugeRead& gauge : gauges)
    if (const auto node = node_of(circuit, gauge.place))
      in.readings.push_back({running, *node, gauge.mean, gauge.U / 2});
  return in;
}

// What may be blocked, and ways that wear together and cannot be told apart by any gauge: journals
// that begin and end at the same places, and all that are off together.
std::vector<oil::WearSuspect> suspects_of(const OilCircuit& circuit) {
  std::vector<oil::WearSuspect> out;
  std::map<std::string, std::size_t> known;
  for (std::size_t i = 0; i < circuit.ways.size(); ++i) {
    const CircuitWay& way = circuit.ways[i];
    const oil::Element& element = circuit.network.elements[i];
    const OilElementKind kind = way.written.kind;
    // What leads on from one place to another can be blocked, each by itself.
    if (element.from != oil::kSump && element.to != oil::kSump && !way.journal &&
        kind != OilElementKind::slot) {
      out.push_back({.name = element.name, .elements = {i}, .is_blocked = true});
      continue;
    }
    if (kind == OilElementKind::relief || kind == OilElementKind::hole ||
        kind == OilElementKind::check_valve || kind == OilElementKind::screen)
      continue;
    // What was measured is known: it is no suspect any more.
    if (way.journal && circuit.journals[*way.journal].measured) continue;
    std::string key, name = element.name;
    if (way.journal) {
      const std::string& place = circuit.journals[*way.journal].place;
      // Of the front journal with its passages: all its ways.
      std::size_t ways = 0;
      for (const CircuitWay& other : circuit.ways) ways += other.journal == way.journal ? 1 : 0;
      key = ways > 1 ? place : fmt::format("{} to {}", element.from, element.to);
      name = place;
    } else {
      key = way.factor ? fmt::format("factor {}", *way.factor) : element.name;
      if (way.factor) name = circuit.unknowns[*way.factor].name;
    }
    const auto [found, is_new] = known.emplace(key, out.size());
    if (is_new) out.push_back({.name = name});
    oil::WearSuspect& suspect = out[found->second];
    suspect.elements.push_back(i);
    if (!is_new && way.journal && suspect.name.find(name) == std::string::npos)
      suspect.name += ", " + name.substr(name.rfind('/') + 2);
  }
  return out;
}

template <class Q>
oil::Estimated<Q> estimated(const std::optional<WrittenMeasured>& written) {
  if (!written) return {Q::from_si(0), 0};
  const double value = written->value.value.si;
  return {Q::from_si(value),
          value == 0 ? 0 : written->value.expanded_si.value_or(0) / std::abs(value)};
}

// Each cylinder of a bank opens the valves of a camshaft once in a turn of it.
int events_of(const Drive& drive) {
  const int banks = static_cast<int>(drive.banks.size());
  const int cylinders = drive.cylinders && drive.cylinders->count ? *drive.cylinders->count : 0;
  return banks > 0 && cylinders % banks == 0 ? cylinders / banks : 0;
}

std::optional<PhaserTold> phaser_ways(const CheckInput& input, const OilCircuit& circuit,
                                      int bank) {
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft || place.bank != bank || !place.camshaft->phaser)
      continue;
    const Phaser& phaser = *place.camshaft->phaser;
    const auto advance = node_of(circuit, place.path + " / advance");
    const auto retard = node_of(circuit, place.path + " / retard");
    if (!advance || !retard || !phaser.vanes || !phaser.vane_inner || !phaser.vane_outer ||
        !phaser.vane_width || !phaser.cam_torque)
      continue;
    const auto displacement =
        oil::displacement({*phaser.vanes, phaser.vane_inner->value, phaser.vane_outer->value,
                           phaser.vane_width->value});
    if (!displacement) continue;
    PhaserTold out{place.path, *advance, *retard, phaser, events_of(input.drive->drive)};
    out.asked.displacement = {*displacement, 0};
    out.asked.load = {estimated<Torque>(phaser.cam_torque), estimated<Torque>(phaser.bias_spring),
                      estimated<Torque>(phaser.friction)};
    return out;
  }
  return std::nullopt;
}

std::optional<oil::Authority> authority_of(const PhaserTold& phaser, const Drawn& drawn,
                                           std::span<const double> weights) {
  std::vector<double> difference;
  for (std::size_t i = 0; i < weights.size(); ++i)
    difference.push_back(drawn.pressure[phaser.advance][i] - drawn.pressure[phaser.retard][i]);
  const oil::Interval range = oil::interval_of(difference, weights);
  if (!(range.median > 0)) return std::nullopt;
  oil::AuthorityInputs asked = phaser.asked;
  asked.difference = {Pressure::from_si(range.median),
                      std::max(range.high - range.median, range.median - range.low) / range.median};
  const auto authority = oil::authority(asked);
  if (!authority) return std::nullopt;
  return *authority;
}

// The journals of the circuit, those of an option as they would be.
std::vector<CircuitJournal> with_option(const OilCircuit& circuit, const oil::RepairOption& option,
                                        bool is_new) {
  std::vector<CircuitJournal> journals = circuit.journals;
  for (CircuitJournal& journal : journals)
    for (const oil::JournalClearance& one : option.journals) {
      if (!same_place(one.name, journal.place)) continue;
      journal.clearance = one.clearance;
      journal.U = one.expanded;
      if (is_new)
        journal.error = option.name == kBearingsRepaired ? kRepairedUnknown : kNewPartsUnknown;
    }
  return journals;
}

class Told {
 public:
  Told(const CheckInput& input, GaugesTogether gauges, OilCircuit circuit) : input_(input) {
    out_.gauges = std::move(gauges);
    out_.circuit = std::move(circuit);
    all_ = out_.gauges.heads;
    all_.push_back(out_.gauges.gallery);
    lowest_ = static_cast<std::size_t>(
        std::min_element(all_.begin(), all_.end() - 1,
                         [](const auto& a, const auto& b) { return a.mean < b.mean; }) -
        all_.begin());
  }

  Result<OilTold> tell(const RepairOptions& repair, WithCurve with_curve) {
    const auto oil = specified_oil(input_.drive->drive, out_.gauges.oil);
    if (!oil) return tl::unexpected(oil.error());
    out_.oil = oil->name;
    out_.running = {oil->at.dynamic, oil->at.density, out_.gauges.speed};
    for (const GaugeRead& gauge : all_) out_.evidence.push_back(gauge.entry);
    const oil::Identification asked = asked_of(out_.circuit, out_.running, all_);
    if (asked.readings.size() < 2)
      return refuse("ways of the oil to the ports that were read: the definition's lead to none");
    const auto posterior = oil::posterior(asked, kSampling);
    if (!posterior) return tl::unexpected(posterior.error());
    out_.explained = posterior->explained;
    out_.fitted = posterior->mode;
    const auto found = drawn(asked, *posterior, out_.running, nullptr);
    if (!found) return tl::unexpected(found.error());
    places(*found, posterior->weights);
    if (const auto bank = all_[lowest_].bank)
      out_.phaser = phaser_ways(input_, out_.circuit, *bank);
    from_others();
    // A network that leaves the gauges unexplained forecasts nothing.
    if (!out_.explained) return std::move(out_);
    shear();
    out_.heads_unread = heads_not_read();
    const std::vector<std::string>& unread = out_.heads_unread;
    if (out_.phaser && unread.empty()) holding(*found, posterior->weights);
    for (const std::string& head : unread) out_.measure_next.push_back(port_to_read(head));
    if (!repair.options.empty() && unread.empty()) options(repair, asked, *posterior, *found);
    if (with_curve == WithCurve::yes && unread.empty()) curve(asked, *posterior);
    return std::move(out_);
  }

 private:
  // The lowest may be among them: then the options would be those of the wrong bank.
  std::vector<std::string> heads_not_read() const {
    std::vector<std::string> unread;
    for (const EnginePlace& place : input_.places)
      if (place.type == PlaceType::oil_port && place.bank &&
          std::none_of(all_.begin(), all_.end(),
                       [&](const GaugeRead& gauge) { return same_place(gauge.place, place.path); }))
        unread.push_back(place.path);
    return unread;
  }

  void places(const Drawn& found, std::span<const double> weights) {
    const oil::Network& network = out_.circuit.network;
    for (std::size_t i = 0; i < network.nodes.size(); ++i) {
      NodeTold node{network.nodes[i], oil::interval_of(found.pressure[i], weights)};
      for (const GaugeRead& gauge : all_)
        if (same_place(gauge.place, node.name)) node.read = gauge;
      node.least = least_at(input_, node.name, out_.gauges);
      const EnginePlace* place = find_place(input_.places, node.name);
      node.is_port = place != nullptr && place->type == PlaceType::oil_port;
      out_.nodes.push_back(std::move(node));
    }
    for (std::size_t i = 0; i < network.elements.size(); ++i) {
      const CircuitWay& way = out_.circuit.ways[i];
      WayTold told{network.elements[i].name, way.written.kind, network.elements[i].from,
                   network.elements[i].to, oil::interval_of(found.flow[i], weights)};
      if (way.journal) {
        told.clearance = out_.circuit.journals[*way.journal].clearance;
        told.journal = out_.circuit.journals[*way.journal].place;
      } else if (way.written.kind != OilElementKind::slot && way.written.clearance) {
        told.clearance = way.written.clearance->value;
      }
      out_.ways.push_back(std::move(told));
    }
  }

  // Which viscosity stands in the network.
  void shear() {
    double fastest = 0;
    for (const CircuitJournal& journal : out_.circuit.journals)
      fastest =
          std::max(fastest, oil::journal_shear_rate(journal.diameter / 2,
                                                    hot_radial(out_.circuit, journal, out_.fitted),
                                                    out_.running.speed / 2));
    std::vector<std::string>& assumed = out_.circuit.assumed;
    if (fastest > 0)
      assumed.push_back(fmt::format("in the clearances: {}; here up to {:.0f} 1/s",
                                    oil::viscosity_seen(oil::OilFilm::pressure_fed_clearance),
                                    fastest));
    if (std::ranges::any_of(out_.circuit.ways, [](const CircuitWay& way) {
          return way.written.film && way.written.film->value.si() < 1;
        }))
      assumed.push_back(fmt::format("in loaded bearings: {}",
                                    oil::viscosity_seen(oil::OilFilm::crank_bearing_idle)));
  }

  void holding(const Drawn& found, std::span<const double> weights) {
    const PhaserTold& phaser = *out_.phaser;
    const auto advance = static_cast<int>(phaser.advance), retard = static_cast<int>(phaser.retard);
    std::vector<double> leakage(weights.size());
    const std::vector<double>&from = found.pressure[phaser.advance],
          &to = found.pressure[phaser.retard];
    for (std::size_t draw = 0; draw < leakage.size(); ++draw)
      if (!(from[draw] > to[draw])) return;
    for (std::size_t i = 0; i < out_.circuit.network.elements.size(); ++i) {
      const oil::Element& way = out_.circuit.network.elements[i];
      const bool onward = way.from == advance && way.to == retard;
      if (!onward && !(way.from == retard && way.to == advance)) continue;
      for (std::size_t draw = 0; draw < leakage.size(); ++draw)
        leakage[draw] += (onward ? 1 : -1) * found.flow[i][draw] / (from[draw] - to[draw]);
    }
    std::vector<double> difference, mean;
    for (std::size_t draw = 0; draw < leakage.size(); ++draw) {
      difference.push_back(from[draw] - to[draw]);
      mean.push_back((from[draw] + to[draw]) / 2);
    }
    out_.holding =
        phaser_held(phaser, {.leakage = oil::interval_of(leakage, weights),
                             .difference = oil::interval_of(difference, weights),
                             .mean = Pressure::from_si(oil::interval_of(mean, weights).median),
                             .crankshaft = out_.running.speed,
                             .supply = [&](Flow taken) { return supply_at(taken); }});
  }

  // Between the chambers, when one takes so much and the other gives as much back; at the middle.
  Result<Pressure> supply_at(Flow taken) const {
    oil::Network network = out_.circuit.network;
    const auto advance = static_cast<int>(out_.phaser->advance),
               retard = static_cast<int>(out_.phaser->retard);
    network.elements.push_back({"phaser on its way", advance, retard, oil::FixedFlow{taken}});
    auto solver = oil::NetworkSolver::prepare(network);
    if (!solver) return tl::unexpected(solver.error());
    apply_to(out_.circuit, out_.circuit.journals, out_.fitted, *solver);
    oil::Running running = out_.running;
    apply_to(out_.circuit, out_.fitted, running);
    if (const auto solved = solver->solve(running); !solved) return tl::unexpected(solved.error());
    return solver->at(out_.phaser->advance) - solver->at(out_.phaser->retard);
  }

  void from_others() {
    if (out_.gauges.heads.size() < 2) return;
    std::vector<GaugeRead> others = all_;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(lowest_));
    const oil::Identification asked = asked_of(out_.circuit, out_.running, others);
    const auto node = node_of(out_.circuit, all_[lowest_].place);
    const auto posterior = oil::posterior(asked, kSampling);
    if (!posterior || !node) return;
    const auto predicted =
        oil::forecast(asked, *posterior, out_.running, nullptr,
                      [&](const oil::NetworkSolver& solved) { return solved.at(*node).si(); });
    if (predicted) out_.from_others = predicted->interval;
  }

  void options(const RepairOptions& repair, const oil::Identification& asked,
               const oil::Posterior& posterior, const Drawn& found) {
    const auto head = node_of(out_.circuit, all_[lowest_].place);
    const auto gallery = node_of(out_.circuit, out_.gauges.gallery.place);
    if (!head || !gallery || !all_[lowest_].bank) return;
    out_.bank = all_[lowest_].bank;
    out_.left_out = repair.left_out;
    std::vector<Drawn> all;
    std::vector<std::string> renews;
    for (const oil::RepairOption& option : repair.options) {
      const bool is_new = option.journals != repair.journals;
      const auto journals = with_option(out_.circuit, option, is_new);
      const auto with =
          is_new ? drawn(asked, posterior, out_.running,
                         [&](std::span<const double> values, oil::NetworkSolver& solver) {
                           apply_to(out_.circuit, journals, values, solver);
                         })
                 : Result<Drawn>(found);
      if (!with) {
        out_.left_out.push_back(fmt::format("{}: {}", option.name, with.error().why));
        continue;
      }
      OptionTold told{option.name, oil::interval_of(with->pressure[*head], posterior.weights),
                      oil::interval_of(with->pressure[*gallery], posterior.weights)};
      told.pressure =
          oil::against_least({Pressure::from_si(told.head.median), Pressure::from_si(told.head.low),
                              Pressure::from_si(told.head.high)},
                             least_at(input_, all_[lowest_].place, out_.gauges));
      if (out_.phaser) told.authority = authority_of(*out_.phaser, *with, posterior.weights);
      out_.options.push_back(std::move(told));
      all.push_back(std::move(*with));
      renews.push_back(option.renews);
    }
    std::vector<oil::OptionDraws> draws;
    for (std::size_t i = 0; i < all.size(); ++i)
      draws.push_back({out_.options[i].name, renews[i], all[i].pressure[*head]});
    const oil::Choice choice = oil::choose(draws, posterior.weights);
    out_.choice = choice.said + (out_.left_out.empty() ? "" : "; of those computed only");
    for (const std::size_t i : choice.rivals) out_.highest.push_back(draws[i].name);
    if (choice.can_choose && choice.rivals.size() > 1)
      out_.measure_next.push_back(
          fmt::format("after either, {}", port_to_read(all_[lowest_].place)));
    if (!choice.can_choose && draws.size() > 1)
      out_.measure_next.push_back(
          fmt::format("the journals and bores of bank {} again, with a better gauge", *out_.bank));
    out_.evidence.insert(out_.evidence.end(), repair.evidence.begin(), repair.evidence.end());
  }

  void curve(const oil::Identification& asked, const oil::Posterior& posterior) {
    const std::optional<PhaserTold>& phaser = out_.phaser;
    if (!phaser) return;
    const std::vector<CircuitJournal>& journals = out_.circuit.journals;
    // The journal whose oil goes to the chambers.
    std::optional<std::size_t> feeds;
    for (std::size_t i = 0; i < out_.circuit.ways.size() && !feeds; ++i) {
      const oil::Element& way = out_.circuit.network.elements[i];
      if (out_.circuit.ways[i].journal && (way.from == static_cast<int>(phaser->advance) ||
                                           way.to == static_cast<int>(phaser->advance)))
        feeds = out_.circuit.ways[i].journal;
    }
    if (!feeds) return;
    AuthorityCurve out{.journal = journals[*feeds].place};
    if (journals[*feeds].measured) {
      out.measured = journals[*feeds].clearance;
      out.measured_U = journals[*feeds].U;
    }
    if (const EnginePlace* place = find_place(input_.places, out.journal))
      if (const Fit* fit = fit_for(input_.drive->drive, Measurand::journal_clearance, *place);
          fit != nullptr && fit->service && fit->service->value.upper_si)
        out.most = Length::from_si(*fit->service->value.upper_si);
    const double widest = std::max(
        {2 * journals[*feeds].clearance.si(), out.most ? 1.8 * out.most->si() : 0, 0.12e-3});
    for (int i = 1; i <= kCurvePoints; ++i) {
      std::vector<CircuitJournal> changed = journals;
      changed[*feeds].clearance = Length::from_si(widest * i / kCurvePoints);
      changed[*feeds].U = Length::from_si(0);
      const auto with = drawn(asked, posterior, out_.running,
                              [&](std::span<const double> values, oil::NetworkSolver& solver) {
                                apply_to(out_.circuit, changed, values, solver);
                              });
      if (!with) continue;
      const auto authority = authority_of(*phaser, *with, posterior.weights);
      if (authority && authority->margin)
        out.points.push_back(
            {changed[*feeds].clearance, *authority->margin, authority->low, authority->high});
    }
    out_.curve = std::move(out);
  }

  const CheckInput& input_;
  OilTold out_;
  std::vector<GaugeRead> all_;  // heads, then the gallery
  std::size_t lowest_ = 0;      // head
};

// Of the oil in the engine when the gallery was read.
struct OilAsked {
  double thinned = 0;         // share of the viscosity that smelled fuel may have taken
  std::string fuel;           // entry; empty: none was smelled
  bool out_of_grade = false;  // by a laboratory
  bool is_assumed = true;     // nobody says that it was the specified one
  bool operator==(const OilAsked&) const = default;
};
OilAsked oil_asked(const CheckInput& input, const GaugesTogether& gauges) {
  OilAsked out;
  for (const auto& reading : all_of_kind<PressureReading>(input.entries))
    if (reading.entry->id == gauges.gallery.entry)
      if (const auto grade = grade_in_it(input, reading)) out.is_assumed = grade->is_assumed;
  out.out_of_grade = found_out_of_grade(input, gauges.gallery.entry).has_value();
  const auto smell = fuel_smelled(input, gauges.gallery.entry);
  const auto& grade = input.drive->drive.oil->grade;
  const auto thinned = smell && grade ? thinned_by_fuel(*grade) : std::nullopt;
  if (thinned) {
    out.thinned = thinned->most;
    out.fuel = smell->entry->id;
  }
  return out;
}

std::map<int, RepairOptions> repairs_of(const CheckInput& input) {
  std::map<int, RepairOptions> out;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::journal && place.bank && !out.contains(*place.bank))
      out.emplace(*place.bank, repair_options(input, *place.bank));
  return out;
}

std::vector<KnownClearance> known_of(const std::map<int, RepairOptions>& repairs) {
  std::vector<KnownClearance> known;
  for (const auto& [bank, repair] : repairs)
    for (const oil::JournalClearance& one : repair.journals)
      known.push_back({one.name, one.clearance, one.expanded});
  return known;
}

// All that the answer follows from: the places of an engine follow from its definition.
struct OilQuestion {
  Drive drive{};
  GaugesTogether gauges{};
  std::map<int, RepairOptions> repairs{};
  OilAsked oil{};
  WithCurve curve = WithCurve::no;
  bool operator==(const OilQuestion&) const = default;
};
constexpr std::size_t kQuestionsRemembered = 8;

OilToldOrMissing worked_out(const CheckInput& input, const OilQuestion& asked) {
  if (const auto wrong = above_gallery(asked.gauges))
    return {{},
            {fmt::format("{} and the gallery again: the head cannot have more than what feeds it",
                         wrong->place)}};
  if (asked.oil.out_of_grade)
    return {{}, {"sound oil: a laboratory found it out of its grade when the gauges were read"}};
  if (!(asked.gauges.gallery.mean.si() > 0))
    return {{}, {"a pressure at the gallery: it shows nothing"}};
  if (input.drive->drive.oil->controlled_pump.value_or(false))
    return {{},
            {"a pump that is not controlled: a controlled one shows what is wanted, not what "
             "leaks"}};
  for (const auto& [bank, repair] : asked.repairs)
    if (!repair.impossible.empty()) return {{}, {read_again(repair.impossible.front())}};
  auto circuit =
      oil_circuit(*input.drive, known_of(asked.repairs), asked.gauges.oil, asked.oil.thinned);
  if (!circuit) return {{}, {circuit.error().why}};
  if (asked.oil.is_assumed)
    circuit->assumed.push_back(
        "which oil was in it when the gauges were read is not entered: the specified one is taken");
  if (!asked.oil.fuel.empty())
    circuit->assumed.push_back(
        fmt::format("it smells of fuel: the ranges hold for none to {:.0f} % of it in the oil",
                    100 * kFuelAsked));
  const GaugeRead& lowest = lowest_head(asked.gauges);
  const RepairOptions none;
  const auto repair = lowest.bank ? asked.repairs.find(*lowest.bank) : asked.repairs.end();
  auto told = Told(input, asked.gauges, std::move(*circuit))
                  .tell(repair == asked.repairs.end() ? none : repair->second, asked.curve);
  if (!told) return {{}, {told.error().why}};
  if (!asked.oil.fuel.empty()) told->evidence.push_back(asked.oil.fuel);
  return {std::move(*told), {}};
}

std::optional<WearTold> worked_out_wear(const CheckInput& input, const OilQuestion& question_of) {
  if (input.drive->drive.oil->controlled_pump.value_or(false) || question_of.oil.out_of_grade ||
      !(question_of.gauges.gallery.mean.si() > 0))
    return std::nullopt;
  const GaugesTogether& gauges = question_of.gauges;
  const auto oil = specified_oil(input.drive->drive, gauges.oil);
  const auto circuit =
      oil_circuit(*input.drive, known_of(question_of.repairs), gauges.oil, question_of.oil.thinned);
  if (!oil || !circuit) return std::nullopt;
  const oil::Running running{oil->at.dynamic, oil->at.density, gauges.speed};
  std::vector<GaugeRead> all = gauges.heads;
  all.push_back(gauges.gallery);
  oil::WearQuestion question{.as_new = asked_of(*circuit, running, all),
                             .suspects = suspects_of(*circuit)};
  for (const EnginePlace& place : input.places) {
    const auto is_read = [&](const GaugeRead& gauge) { return gauge.place == place.path; };
    if (place.type != PlaceType::oil_port || std::any_of(all.begin(), all.end(), is_read)) continue;
    if (const auto node = node_of(*circuit, place.path))
      question.ports.push_back({place.path, *node, running, kNextGauge});
  }
  auto wear = oil::explain_wear(question);
  if (!wear) return std::nullopt;
  WearTold out{gauges, std::move(*wear)};
  for (const GaugeRead& gauge : all) out.evidence.push_back(gauge.entry);
  for (const auto& [bank, repair] : question_of.repairs)
    out.evidence.insert(out.evidence.end(), repair.evidence.begin(), repair.evidence.end());
  if (!question_of.oil.fuel.empty()) out.evidence.push_back(question_of.oil.fuel);
  for (const CircuitJournal& journal : circuit->journals)
    if (journal.measured) out.measured.push_back(journal.place);
  return out;
}

}  // namespace

OilToldOrMissing oil_told(const CheckInput& input, WithCurve curve) {
  if (input.drive == nullptr || !input.drive->drive.oil || input.drive->drive.oil->network.empty())
    return {};
  auto gauges = gauges_together(input, GaugesOf::as_found, 1);
  if (!gauges) return {{}, ports_to_read(input, GaugesOf::as_found)};
  const OilQuestion asked{.drive = input.drive->drive,
                          .gauges = *gauges,
                          .repairs = repairs_of(input),
                          .oil = oil_asked(input, *gauges),
                          .curve = curve};
  static Remembered<OilQuestion, OilToldOrMissing> remembered(kQuestionsRemembered);
  return remembered.answer(asked, [&] { return worked_out(input, asked); });
}

std::optional<WearTold> wear_told(const CheckInput& input) {
  if (input.drive == nullptr || !input.drive->drive.oil || input.drive->drive.oil->network.empty())
    return std::nullopt;
  auto gauges = gauges_together(input, GaugesOf::as_found, 1);
  if (!gauges) return std::nullopt;
  const OilQuestion asked{.drive = input.drive->drive,
                          .gauges = *gauges,
                          .repairs = repairs_of(input),
                          .oil = oil_asked(input, *gauges)};
  if (const auto bank = lowest_head(asked.gauges).bank)
    if (const auto repair = asked.repairs.find(*bank);
        repair != asked.repairs.end() && !repair->second.options.empty())
      return std::nullopt;
  static Remembered<OilQuestion, std::optional<WearTold>> remembered(kQuestionsRemembered);
  return remembered.answer(asked, [&] { return worked_out_wear(input, asked); });
}

Result<CircuitSolved> solved_with(const OilTold& told, std::span<const KnownClearance> asked) {
  std::vector<CircuitJournal> journals = told.circuit.journals;
  for (const KnownClearance& one : asked) {
    const auto found = std::find_if(journals.begin(), journals.end(), [&](const auto& journal) {
      return same_place(journal.place, one.place);
    });
    if (found == journals.end())
      return refuse(fmt::format("no way of the oil goes past \"{}\"", one.place));
    if (!(one.clearance.si() > 0))
      return refuse(fmt::format("{}: a clearance is above 0", one.place));
    found->clearance = one.clearance;
    found->U = Length::from_si(0);
  }
  auto solver = oil::NetworkSolver::prepare(told.circuit.network);
  if (!solver) return tl::unexpected(solver.error());
  apply_to(told.circuit, journals, told.fitted, *solver);
  oil::Running running = told.running;
  apply_to(told.circuit, told.fitted, running);
  if (const auto solved = solver->solve(running); !solved) return tl::unexpected(solved.error());
  CircuitSolved out;
  for (std::size_t i = 0; i < told.circuit.network.nodes.size(); ++i)
    out.at.push_back(solver->at(i));
  for (std::size_t i = 0; i < told.circuit.network.elements.size(); ++i)
    out.through.push_back(solver->through(i));
  if (told.phaser) {
    oil::AuthorityInputs phaser = told.phaser->asked;
    phaser.difference = {out.at[told.phaser->advance] - out.at[told.phaser->retard], 0};
    if (phaser.difference.value.si() > 0)
      if (const auto authority = oil::authority(phaser)) out.authority = *authority;
  }
  return out;
}

std::vector<ClearanceMatters> what_matters(const OilTold& told) {
  if (!told.explained || !told.heads_unread.empty()) return {};
  constexpr Length kMore = mm(0.01);
  constexpr Pressure kNoticed = Pressure::from_si(50);
  constexpr std::size_t kMost = 5;
  const auto head = node_of(told.circuit, lowest_head(told.gauges).place);
  std::vector<ClearanceMatters> out;
  for (const CircuitJournal& journal : told.circuit.journals) {
    const KnownClearance as_is{journal.place, journal.clearance, {}};
    const KnownClearance wider{journal.place, journal.clearance + kMore, {}};
    const auto before = solved_with(told, {&as_is, 1}), after = solved_with(told, {&wider, 1});
    if (!head || !before || !after) continue;
    const Pressure change = after->at[*head] - before->at[*head];
    if (std::abs(change.si()) >= kNoticed.si()) out.push_back({journal.place, change});
  }
  std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) {
    return std::abs(a.change.si()) > std::abs(b.change.si());
  });
  if (out.size() > kMost) out.resize(kMost);
  return out;
}

}  // namespace tautmark
