// SPDX-License-Identifier: Apache-2.0
#include "judge/banks_compared.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "casework/view.h"
#include "judge/case_recordings.h"
#include "judge/checks/clearance.h"
#include "judge/dimension.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"
#include "oil/banks_told.h"

namespace tautmark {
namespace {

constexpr double kSameSpeed = 0.05;  // relative
constexpr double kSameOil = 5;       // K

struct Read {
  GaugeRead gauge;
  const EnginePlace* place = nullptr;
  double speed = 0, oil = 0;
  std::string condition;
};

bool is_of_bearing(const Entry& entry) {
  const auto* reading = std::get_if<Reading>(&entry.body);
  return reading != nullptr && (reading->quantity == Measurand::journal_diameter ||
                                reading->quantity == Measurand::bore_diameter ||
                                reading->quantity == Measurand::journal_clearance);
}

// A reading with the specified oil, its speed and its oil temperature; any other is compared with
// nothing.
std::optional<Read> read_of(const CheckInput& input, const Entry& entry) {
  const auto* reading = std::get_if<PressureReading>(&entry.body);
  if (reading == nullptr || !reading->speed || !reading->oil_temperature) return std::nullopt;
  const EnginePlace* place = find_place(input.places, reading->place);
  if (place == nullptr || place->type != PlaceType::oil_port) return std::nullopt;
  const EntryOf<PressureReading> from{&entry, reading};
  std::vector<std::string> unused;
  if (oil_in_it(input, from, unused).met == Met::no) return std::nullopt;
  const auto pooled = pooled_pressure(input, {from});
  if (!pooled || !(pooled->value.estimate.value > 0)) return std::nullopt;
  const Estimate& estimate = pooled->value.estimate;
  const FindingValue shown = shown_value(estimate, default_unit(Kind::pressure));
  return Read{{Pressure::from_si(estimate.value), Pressure::from_si(shown.U), shown.shown,
               place->path, entry.id},
              place,
              reading->speed->value.si(),
              reading->oil_temperature->value.si(),
              fmt::format("{}, oil at {}", reading->speed->text, reading->oil_temperature->text)};
}

bool is_in_force(const CheckInput& input, const Entry* entry) {
  return std::find(input.entries.begin(), input.entries.end(), entry) != input.entries.end();
}

// Before the first bearing was measured: those of the engine as found.
std::vector<Read> as_found(const CheckInput& input) {
  std::vector<Read> reads;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    if (!is_in_force(input, entry)) continue;
    if (is_of_bearing(*entry)) break;
    if (auto read = read_of(input, *entry)) reads.push_back(std::move(*read));
  }
  return reads;
}

// Since the drive was last opened, or all where nothing was read since: the engine as it is now.
std::vector<Read> latest(const CheckInput& input) {
  std::vector<std::pair<const Entry*, Read>> all;
  for (const Entry* entry : entries_in_order_of_work(*input.value))
    if (is_in_force(input, entry))
      if (auto read = read_of(input, *entry))
        all.emplace_back(opened_after(input, entry), std::move(*read));
  std::vector<Read> reads;
  for (auto& [opened, read] : all)
    if (opened == all.back().first) reads.push_back(std::move(read));
  return reads;
}

bool is_same(const Read& a, const Read& b) {
  return std::abs(a.speed - b.speed) <= kSameSpeed * std::min(a.speed, b.speed) &&
         std::abs(a.oil - b.oil) <= kSameOil;
}

// The latest at this place under the same condition.
const Read* beside(const std::vector<Read>& reads, const Read& one, const EnginePlace& place) {
  const Read* found = nullptr;
  for (const Read& other : reads)
    if (other.place == &place && is_same(one, other)) found = &other;
  return found;
}

struct BankJournals {
  std::vector<oil::JournalClearance> journals{};
  std::vector<std::optional<oil::JournalClearance>> new_camshaft{}, new_head{};
  std::vector<std::string> evidence{}, missing{};
  bool has_phaser = false;
};

std::optional<oil::JournalClearance> with_new(const CheckInput& input, Measurand quantity,
                                              const EnginePlace& place, const Dimension& kept) {
  const auto part = checks::new_part(input, quantity, place);
  if (!part) return std::nullopt;
  const double clearance =
      quantity == Measurand::bore_diameter ? part->middle - kept.mean : kept.mean - part->middle;
  return oil::JournalClearance{
      place.path, Length::from_si(clearance),
      Length::from_si(2 * std::hypot(kept.budget.u, rectangular_u(part->half_width)))};
}

BankJournals journals_of(const CheckInput& input, int bank) {
  BankJournals out;
  for (const EnginePlace& place : input.places) {
    if (place.type == PlaceType::camshaft && place.bank == bank && place.camshaft->phaser)
      out.has_phaser = true;
    if (place.type != PlaceType::journal || place.bank != bank) continue;
    const auto parts = checks::clearance_from_parts(input, place);
    const auto whole = parts ? std::optional(parts->value)
                             : dimension_at(input, Measurand::journal_clearance, place);
    if (!whole) {
      out.missing.push_back(place.path);
      continue;
    }
    out.journals.push_back(
        {place.path, Length::from_si(whole->mean), Length::from_si(2 * whole->budget.u)});
    out.evidence.insert(out.evidence.end(), whole->evidence.begin(), whole->evidence.end());
    out.new_camshaft.push_back(
        parts ? with_new(input, Measurand::journal_diameter, place, parts->bore) : std::nullopt);
    out.new_head.push_back(parts ? with_new(input, Measurand::bore_diameter, place, parts->journal)
                                 : std::nullopt);
  }
  return out;
}

void add_option(BanksCompared& out, std::string name,
                const std::vector<std::optional<oil::JournalClearance>>& journals,
                std::string_view lacks) {
  oil::RepairOption option{std::move(name), {}};
  for (const auto& journal : journals) {
    if (!journal) {
      out.options_left_out.push_back(fmt::format("{}: {}", option.name, lacks));
      return;
    }
    option.journals.push_back(*journal);
  }
  out.asked.options.push_back(std::move(option));
}

template <class Q>
bool holds_at(const std::optional<WrittenRange<Q>>& range, double si) {
  return !range || ((!range->lower || si >= range->lower->si()) &&
                    (!range->upper || si <= range->upper->si()));
}

// The least pressure that the definition wants at this port under this condition.
std::optional<Pressure> least_at(const CheckInput& input, const Read& head) {
  for (const PressureLimit& limit : input.drive->drive.oil->pressures)
    if (place_matches(limit.at, *head.place) && limit.limit.value.lower_si &&
        holds_at(limit.speed, head.speed) && holds_at(limit.oil_temperature, head.oil))
      return Pressure::from_si(*limit.limit.value.lower_si);
  return std::nullopt;
}

struct ThreeReads {
  const Read *gallery = nullptr, *head = nullptr, *healthy = nullptr;
};

// Slow and hot says most.
bool says_less(const Read& one, const Read& than) {
  if (one.speed > (1 + kSameSpeed) * than.speed) return true;
  return one.speed * (1 + kSameSpeed) >= than.speed && one.oil < than.oil - kSameOil;
}

ThreeReads chosen(const CheckInput& input, const std::vector<Read>& reads) {
  ThreeReads best;
  for (const Read& gallery : reads) {
    if (gallery.place->bank) continue;
    std::vector<const Read*> heads;
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::oil_port && place.bank)
        if (const Read* head = beside(reads, gallery, place)) heads.push_back(head);
    if (heads.size() < 2) continue;
    if (best.gallery != nullptr && says_less(gallery, *best.gallery)) continue;
    const auto [low, high] = std::minmax_element(
        heads.begin(), heads.end(),
        [](const Read* a, const Read* b) { return a->gauge.mean < b->gauge.mean; });
    if ((*low)->place->bank != (*high)->place->bank) best = {&gallery, *low, *high};
  }
  return best;
}

std::vector<std::string> ports_to_read(const CheckInput& input, const std::vector<Read>& reads) {
  std::vector<std::string> missing;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::oil_port) continue;
    if (std::none_of(reads.begin(), reads.end(),
                     [&](const Read& read) { return read.place == &place; }))
      missing.push_back(place.path);
  }
  return missing;
}

GaugesOrMissing gauges_of(const CheckInput& input, const std::vector<Read>& reads,
                          const ThreeReads& three) {
  GaugesOrMissing out;
  if (three.gallery == nullptr) {
    for (const std::string& port : ports_to_read(input, reads))
      out.missing.push_back(port_to_read(port));
    if (out.missing.empty())
      out.missing.emplace_back("every port again at one speed and one oil temperature");
    return out;
  }
  out.gauges = {*three.head->place->bank, *three.healthy->place->bank, three.gallery->gauge,
                three.head->gauge,        three.healthy->gauge,        three.head->condition};
  return out;
}

bool has_heads(const CheckInput& input) {
  return input.drive != nullptr && input.drive->drive.oil &&
         std::count_if(input.places.begin(), input.places.end(), [](const EnginePlace& place) {
           return place.type == PlaceType::oil_port && place.bank;
         }) > 1;
}

}  // namespace

std::string port_to_read(const std::string& place) {
  return fmt::format("the pressure at {}, hot idle, specified oil, with speed and oil temperature",
                     place);
}

GaugesOrMissing bank_gauges(const CheckInput& input) {
  if (!has_heads(input))
    return {{}, {"a port for a gauge at each head: the definition names none (oil.ports)"}};
  const std::vector<Read> reads = latest(input);
  return gauges_of(input, reads, chosen(input, reads));
}

ComparedOrMissing banks_compared(const CheckInput& input) {
  if (!has_heads(input)) return {{}, bank_gauges(input).missing};
  const std::vector<Read> reads = as_found(input);
  const ThreeReads three = chosen(input, reads);
  const GaugesOrMissing found = gauges_of(input, reads, three);
  ComparedOrMissing out{{}, found.missing};
  if (!found.gauges) return out;
  BanksCompared compared{.gauges = *found.gauges};
  const BankGauges& gauges = compared.gauges;
  const BankJournals own = journals_of(input, gauges.bank);
  const BankJournals healthy = journals_of(input, gauges.healthy);
  for (const auto* side : {&own, &healthy})
    for (const std::string& place : side->missing)
      out.missing.push_back(fmt::format("journal and bore of {}", place));
  if (own.journals.empty() || healthy.journals.empty() || !out.missing.empty()) {
    if (out.missing.empty())
      out.missing.emplace_back("the journals of the camshafts: the definition does not count them");
    return out;
  }
  auto& asked = compared.asked;
  asked.bank = fmt::format("bank {}", gauges.bank);
  asked.read = {gauges.gallery.mean, gauges.healthy_head.mean,
                std::max({gauges.gallery.U, gauges.healthy_head.U, gauges.head.U})};
  asked.healthy = healthy.journals;
  asked.options.push_back({"as found", own.journals});
  if (own.has_phaser) asked.options.push_back({"new phaser only", own.journals});
  add_option(compared, "new camshaft, old head", own.new_camshaft,
             "the definition has no new range of a journal");
  add_option(compared, "new head, old camshaft", own.new_head,
             "the definition has no new range of a bore");
  asked.least_at_head = least_at(input, *three.head);
  auto forecast = oil::compare_banks(asked);
  if (!forecast) return {{}, {forecast.error().why}};
  compared.from_healthy = std::move(*forecast);
  compared.evidence = {gauges.gallery.entry, gauges.healthy_head.entry, gauges.head.entry};
  for (const auto* side : {&own, &healthy})
    compared.evidence.insert(compared.evidence.end(), side->evidence.begin(), side->evidence.end());
  if (auto told = oil::forecast_with_reading(asked, gauges.head.mean))
    compared.told = std::move(*told);
  else
    compared.not_told = told.error().why;
  out.compared = std::move(compared);
  return out;
}

}  // namespace tautmark
