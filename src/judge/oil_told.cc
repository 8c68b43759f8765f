// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_told.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "judge/oil_question.h"
#include "judge/phaser_oil.h"
#include "judge/remembered.h"
#include "oil/choice.h"
#include "oil/shear.h"

namespace tautmark {
namespace {

constexpr oil::Sampling kSampling{.seed = 1, .draws = 600};
constexpr int kCurvePoints = 16;

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
    if (!advance || !retard || !phaser.cam_torque) continue;
    const auto displacement = displacement_of(phaser);
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
  asked.difference = {Pressure::from_si(range.median), relative_U(range)};
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
    auto supply = supply_of(phaser);
    if (!supply) return;
    out_.holding =
        phaser_held(phaser, {.leakage = oil::interval_of(leakage, weights),
                             .difference = oil::interval_of(difference, weights),
                             .mean = Pressure::from_si(oil::interval_of(mean, weights).median),
                             .crankshaft = out_.running.speed,
                             .supply = std::move(*supply)});
  }

  // Between the chambers, when one takes so much and the other gives as much back; at the middle.
  Result<oil::PhaserSupply> supply_of(const PhaserTold& phaser) const {
    oil::Network network = out_.circuit.network;
    const std::size_t moved = network.elements.size();
    network.elements.push_back({"phaser on its way", static_cast<int>(phaser.advance),
                                static_cast<int>(phaser.retard), oil::FixedFlow{}});
    auto prepared = oil::NetworkSolver::prepare(network);
    if (!prepared) return tl::unexpected(prepared.error());
    apply_to(out_.circuit, out_.circuit.journals, out_.fitted, *prepared);
    oil::Running running = out_.running;
    apply_to(out_.circuit, out_.fitted, running);
    return [solver = std::move(*prepared), running, moved, advance = phaser.advance,
            retard = phaser.retard](Flow taken) mutable -> Result<Pressure> {
      solver.change(moved, oil::FixedFlow{taken});
      if (const auto solved = solver.solve(running); !solved) return tl::unexpected(solved.error());
      return solver.at(advance) - solver.at(retard);
    };
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
    for (std::string& next : to_measure_next(choice, fmt::format("bank {}", *out_.bank)))
      out_.measure_next.push_back(std::move(next));
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

OilToldOrMissing worked_out(const CheckInput& input, const OilQuestion& asked, WithCurve curve) {
  if (std::string wanted = wanted_first(asked); !wanted.empty()) return {{}, {std::move(wanted)}};
  auto circuit = circuit_of(*input.drive, asked);
  if (!circuit) return {{}, {circuit.error().why}};
  const GaugeRead& lowest = lowest_head(asked.gauges);
  const RepairOptions none;
  const auto repair = lowest.bank ? asked.repairs.find(*lowest.bank) : asked.repairs.end();
  auto told = Told(input, asked.gauges, std::move(*circuit))
                  .tell(repair == asked.repairs.end() ? none : repair->second, curve);
  if (!told) return {{}, {told.error().why}};
  if (!asked.oil.fuel.empty()) told->evidence.push_back(asked.oil.fuel);
  return {std::move(*told), {}};
}

}  // namespace

OilToldOrMissing oil_told(const CheckInput& input, WithCurve curve) {
  const auto asked = oil_question(input);
  if (!asked)
    return {
        {},
        tells_ways(input) ? ports_to_read(input, GaugesOf::as_found) : std::vector<std::string>{}};
  static Remembered<std::pair<OilQuestion, WithCurve>, OilToldOrMissing> remembered(
      kQuestionsRemembered);
  return remembered.answer({*asked, curve}, [&] { return worked_out(input, *asked, curve); });
}

}  // namespace tautmark
