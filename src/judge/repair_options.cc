// SPDX-License-Identifier: Apache-2.0
#include "judge/repair_options.h"

#include <fmt/format.h>

#include <cmath>

#include "judge/checks/clearance.h"
#include "judge/dimension.h"

namespace tautmark {
namespace {

using Clearances = std::vector<std::optional<oil::JournalClearance>>;

std::optional<oil::JournalClearance> with_new(const CheckInput& input, Measurand quantity,
                                              const EnginePlace& place, const Dimension& kept) {
  const auto part = checks::new_part(input, quantity, place);
  if (!part) return std::nullopt;
  const double clearance =
      quantity == Measurand::bore_diameter ? part->middle - kept.mean : kept.mean - part->middle;
  if (!(clearance > 0)) return std::nullopt;
  return oil::JournalClearance{
      place.path, Length::from_si(clearance),
      Length::from_si(2 * std::hypot(kept.budget.u, rectangular_u(part->half_width)))};
}

constexpr std::string_view kWholeOnly =
    "clearances were measured, and not each journal and bore by itself";

// A bore that is brought back to size, with the journal's clearance as new.
std::optional<oil::JournalClearance> as_new(const CheckInput& input, const EnginePlace& place) {
  const auto part = checks::new_part(input, Measurand::journal_clearance, place);
  if (!part) return std::nullopt;
  return oil::JournalClearance{place.path, Length::from_si(part->middle),
                               Length::from_si(2 * rectangular_u(part->half_width))};
}

void add_option(RepairOptions& out, oil::RepairOption option, const Clearances& journals,
                std::string_view lacks) {
  for (const auto& journal : journals) {
    if (!journal) {
      out.left_out.push_back(fmt::format("{}: {}", option.name, lacks));
      return;
    }
    option.journals.push_back(*journal);
  }
  out.options.push_back(std::move(option));
}

}  // namespace

std::string read_again(const std::string& place) {
  return fmt::format("journal and bore of {}, again: the journal is read larger than its bore",
                     place);
}

RepairOptions repair_options(const CheckInput& input, int bank) {
  RepairOptions out;
  Clearances new_camshaft, new_head, repaired;
  bool has_phaser = false, are_parts_read = true;
  for (const EnginePlace& place : input.places) {
    if (place.type == PlaceType::camshaft && place.bank == bank && place.camshaft->phaser)
      has_phaser = true;
    if (place.type != PlaceType::journal || place.bank != bank) continue;
    const auto parts = checks::clearance_from_parts(input, place);
    const auto whole = parts ? std::optional(parts->value)
                             : dimension_at(input, Measurand::journal_clearance, place);
    if (!whole || !(whole->mean > 0)) {
      (whole ? out.impossible : out.missing).push_back(place.path);
      continue;
    }
    are_parts_read = are_parts_read && parts;
    out.journals.push_back(
        {place.path, Length::from_si(whole->mean), Length::from_si(2 * whole->budget.u)});
    out.evidence.insert(out.evidence.end(), whole->evidence.begin(), whole->evidence.end());
    new_camshaft.push_back(parts ? with_new(input, Measurand::journal_diameter, place, parts->bore)
                                 : std::nullopt);
    new_head.push_back(parts ? with_new(input, Measurand::bore_diameter, place, parts->journal)
                             : std::nullopt);
    repaired.push_back(as_new(input, place));
  }
  if (!out.missing.empty() || !out.impossible.empty() || out.journals.empty()) return out;
  out.options.push_back({"as found", out.journals});
  if (has_phaser) out.options.push_back({"new phaser only", out.journals});
  add_option(out, {"new camshaft, old head", {}, "journals"}, new_camshaft,
             are_parts_read ? "the definition has no new range of a journal" : kWholeOnly);
  add_option(out, {"new head, old camshaft", {}, "bores"}, new_head,
             are_parts_read ? "the definition has no new range of a bore" : kWholeOnly);
  add_option(out, {std::string(kBearingsRepaired), {}, "bores"}, repaired,
             "the definition has no new range of a clearance");
  return out;
}

}  // namespace tautmark
