// SPDX-License-Identifier: Apache-2.0
// Compression and leak-down: what they say of valves and rings, and that neither says anything for
// the timing. A compression that is even and above its minimum is what a camshaft a tooth late
// shows (trade.md 6.B; 7, questions 17 and 18).
#include "clearance/compression.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "clearance/events.h"
#include "judge/against_fit.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/lobe_curve.h"
#include "judge/slider_of.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr Length kNoMoreLetBack = mm(1.0);  // trade.md 6.B: effective closing of the intake
constexpr double kEven = 0.15;              // trade.md 6.B: spread of one engine
constexpr double kLossWithoutModel = 0.07;  // about half a tooth; common practice, no source
constexpr Pressure kAir = kPa(101.325);     // standard atmosphere
constexpr CrankAngle kBottomAfterIntake = crank_deg(540);

// Readings of a quantity that were taken in the state of the last of them: with the drive opened
// between, they are of two engines.
struct LastState {
  CheckInput input;
  const Entry* opened = nullptr;  // since
  bool any = false;
};
LastState last_state(const CheckInput& input, Measurand quantity) {
  LastState out{.input = input};
  const Entry* last = nullptr;
  for (const Entry* entry : entries_in_order_of_work(*input.value))
    if (const auto* reading = std::get_if<Reading>(&entry->body);
        reading != nullptr && reading->quantity == quantity)
      last = entry;
  if (last == nullptr) return out;
  out.any = true;
  out.opened = opened_after(input, last);
  std::erase_if(out.input.readings, [&](const EntryOf<Reading>& one) {
    return one.body->quantity == quantity && opened_after(input, one.entry) != out.opened;
  });
  return out;
}

void mark_as_found(std::vector<Finding>& findings, const LastState& state) {
  if (state.opened == nullptr) return;
  for (Finding& finding : findings) finding.subject += ", as found";
}

// The intake of a bank: where its valve no longer lets the charge back, and how far one tooth is.
struct IntakeOfBank {
  clearance::CompressionInputs model{};
  std::string camshaft{};
  std::optional<CrankAngle> tooth{};
};
std::optional<IntakeOfBank> intake_of(const Drive& drive, const Bank& bank) {
  if (!drive.cylinders || !drive.cylinders->compression_ratio) return std::nullopt;
  const auto slider = slider_of(drive);
  if (!slider) return std::nullopt;
  for (const Camshaft& camshaft : bank.camshafts)
    for (const Valves& valves : camshaft.valves) {
      std::string why;
      const auto curve = valves.lobe ? lobe_curve(*valves.lobe, why) : nullptr;
      const auto span = curve ? clearance::open_span(*curve, kNoMoreLetBack)
                              : Result<clearance::OpenSpan>(tl::make_unexpected(Refusal{}));
      if (!span) continue;
      const double after_exchange = std::remainder(
          in_crank_deg(clearance::center(*span)) - in_crank_deg(kBottomAfterIntake), 720);
      if (std::abs(after_exchange) > 150) continue;  // an exhaust valve is open around 180 - 540
      const CrankAngle closes = span->closes - clearance::center(*span) + crank_deg(after_exchange);
      IntakeOfBank out{.model = {.slider = *slider,
                                 .ratio = drive.cylinders->compression_ratio->value.si(),
                                 .closes_after_bottom = closes},
                       .camshaft = fmt::format("bank {} / {}", bank.number, camshaft.name)};
      if (camshaft.sprocket_teeth) out.tooth = crank_deg(720.0 / *camshaft.sprocket_teeth);
      return out;
    }
  return std::nullopt;
}

struct BankMeans {
  double mean = 0, lowest = 0, highest = 0;
  int n = 0;
  std::vector<std::string> evidence{};
};
BankMeans means_of(const CheckInput& input, const std::vector<int>& cylinders) {
  BankMeans out;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::cylinder ||
        std::find(cylinders.begin(), cylinders.end(), place.number) == cylinders.end())
      continue;
    const auto dimension = dimension_at(input, Measurand::compression, place);
    if (!dimension || !dimension->impossible.empty()) continue;
    out.lowest = out.n == 0 ? dimension->mean : std::min(out.lowest, dimension->mean);
    out.highest = out.n == 0 ? dimension->mean : std::max(out.highest, dimension->mean);
    out.mean += dimension->mean;
    ++out.n;
    out.evidence.insert(out.evidence.end(), dimension->evidence.begin(), dimension->evidence.end());
  }
  if (out.n > 0) out.mean /= out.n;
  return out;
}

std::string kilopascals(Pressure pressure) { return fmt::format("{:.0f} kPa", in_kPa(pressure)); }

std::string expected_words(const IntakeOfBank& intake, Pressure nominal, CrankAngle late,
                           const std::string& which) {
  const auto share = clearance::pressure_share(intake.model, late);
  if (!share) return "";
  return fmt::format(
      "{} {} late would leave {:.0f} % of it by the gas law: {}, or {} where the gauge begins at "
      "the air's pressure",
      intake.camshaft, which, 100 * *share,
      kilopascals(clearance::expected_reading(nominal, *share, {})),
      kilopascals(clearance::expected_reading(nominal, *share, kAir)));
}

// How late a recording of this case shows the camshaft.
std::optional<std::pair<CrankAngle, std::string>> recorded_late(const CheckInput& input,
                                                                const std::string& camshaft) {
  const auto history = history_of(*input.recordings, camshaft);
  if (history.empty() || !history.front().seen->doubtful.empty()) return std::nullopt;
  const double late = -history.front().seen->against.phase;
  if (!(late > 1)) return std::nullopt;
  return std::pair(crank_deg(late), history.front().in->entry->id);
}

void add_model(Finding& finding, const CheckInput& input, const IntakeOfBank& intake,
               Pressure nominal, double share) {
  if (intake.tooth)
    finding.budget.push_back(expected_words(intake, nominal, *intake.tooth, "one tooth"));
  if (const auto recorded = recorded_late(input, intake.camshaft)) {
    finding.budget.push_back(
        expected_words(intake, nominal, recorded->first,
                       fmt::format("as recorded ({}), {:.1f}° crank", recorded->second,
                                   in_crank_deg(recorded->first))));
    finding.evidence.push_back(recorded->second);
  }
  if (const auto latest = clearance::latest_at_share(intake.model, share))
    finding.budget.push_back(
        fmt::format("by the same law {:.0f} % is what {:.0f}° crank late leaves", 100 * share,
                    in_crank_deg(*latest)));
  finding.budget.push_back(fmt::format(
      "the law: pressure as volume at closing to the power {:.1f}; closing at {:.1f} mm of lift, "
      "{:.1f}° after bottom dead center with the camshaft right",
      intake.model.exponent, in_mm(kNoMoreLetBack),
      in_crank_deg(intake.model.closes_after_bottom)));
}

// Even, and less than a sound engine shows: nothing of a test against a minimum says so.
std::optional<Finding> together(const CheckInput& input, const Bank& bank) {
  const Drive& drive = input.drive->drive;
  if (!drive.cylinders || !drive.cylinders->compression) return std::nullopt;
  const Pressure nominal = drive.cylinders->compression->value;
  std::vector<int> cylinders = bank.cylinders;
  if (cylinders.empty() && drive.banks.size() == 1)
    for (int i = 1; i <= drive.cylinders->count.value_or(0); ++i) cylinders.push_back(i);
  const BankMeans means = means_of(input, cylinders);
  if (means.n < 2) return std::nullopt;
  const double share = means.mean / nominal.si();
  const double spread = (means.highest - means.lowest) / means.mean;
  const auto intake = intake_of(drive, bank);
  double least_loss = kLossWithoutModel;
  if (intake && intake->tooth)
    if (const auto one = clearance::pressure_share(intake->model, *intake->tooth))
      least_loss = (1 - *one) / 2;
  const bool even = spread <= kEven;
  if (even && 1 - share < least_loss) return std::nullopt;
  Finding finding = open_finding(
      "",
      drive.banks.size() == 1 ? "cylinders together"
                              : fmt::format("bank {} / cylinders together", bank.number),
      OpenBecause::outside_model,
      fmt::format("mean of {} of {} cylinders {}, {:.0f} % of {}; spread {:.1f} % of the mean",
                  means.n, cylinders.size(), kilopascals(Pressure::from_si(means.mean)),
                  100 * share, drive.cylinders->compression->text, 100 * spread));
  finding.evidence = means.evidence;
  if (even) {
    finding.why +=
        ": even and above the minimum is no proof of timing; an even loss over a whole bank "
        "suggests that it is off";
    finding.next = {
        "record crank and cam sensors together before anything is opened: the phase decides",
        "count the links once it is open"};
    finding.follows = {"do not go on cranking before it is known whether the valves are straight"};
  } else {
    finding.why += fmt::format(
        ": more than {:.0f} % (common practice, no source), which is valves, rings or gasket of "
        "single cylinders, not timing alone",
        100 * kEven);
    finding.next = {"leak-down on the lowest one: where the air comes out says what leaks"};
  }
  if (intake) add_model(finding, input, *intake, nominal, share);
  finding.sources = {"slider-crank and polytropic law; both readings of one engine equally warm"};
  return finding;
}

bool timing_known_right(const CheckInput& input) {
  const auto all_pass = [](const std::vector<Finding>& findings) {
    return !findings.empty() && std::all_of(findings.begin(), findings.end(), [](const Finding& f) {
      return f.verdict == Verdict::pass;
    });
  };
  return all_pass(cam_timing(input)) || all_pass(lobe_center(input));
}

}  // namespace

std::vector<Finding> compression(const CheckInput& input) {
  const LastState state = last_state(input, Measurand::compression);
  if (!state.any) return {};
  AgainstFit what;
  what.check = "compression";
  what.quantity = Measurand::compression;
  what.cautions = {
      "cranking turns the engine: where the timing may be off, only as the turning answer allows; "
      "spark and fuel off, plugs out, hands away"};
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::pass)
      finding.follows.emplace_back(
          "says nothing for the timing: a camshaft a tooth late passes it");
    if (finding.verdict == Verdict::fail)
      finding.follows.emplace_back(
          "leak-down first, with the camshafts where they really stand: valves, rings or timing");
  };
  auto findings = judged_against_fit(state.input, what);
  if (input.drive != nullptr)
    for (const Bank& bank : input.drive->drive.banks)
      if (auto finding = together(state.input, bank)) {
        finding->check = what.check;
        finding->cautions = what.cautions;
        findings.push_back(std::move(*finding));
      }
  mark_as_found(findings, state);
  return findings;
}

std::vector<Finding> leak_down(const CheckInput& input) {
  const LastState state = last_state(input, Measurand::leak_down);
  if (!state.any) return {};
  AgainstFit what;
  what.check = "leak-down";
  what.quantity = Measurand::leak_down;
  what.cautions = {
      "air pressure turns the crankshaft: hold it, tool off the bolt before the air goes on, stand "
      "clear, fingers out"};
  what.finish = [&input](const CheckInput&, const EnginePlace&, const Dimension&,
                         Finding& finding) {
    if (finding.verdict == Verdict::pass)
      finding.follows.emplace_back(
          "its valves are shut and straight as far as this shows; says nothing for the timing");
    if (finding.verdict != Verdict::fail) return;
    finding.next.emplace_back(
        "listen where the air comes out: intake, exhaust, oil filler, "
        "coolant, the next plug hole");
    finding.next.emplace_back(
        "make sure that no adjuster holds the valve open: bled down or pumped up, or the lash "
        "gone");
    if (timing_known_right(input)) return;
    // A valve that stands open because the camshaft is elsewhere leaks all of it.
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::outside_model;
    finding.why +=
        "; a leak proves a bent valve only where this cylinder stood at its firing dead center as "
        "the camshafts really stand, and its marks are not to be trusted now";
    finding.next.insert(finding.next.begin(),
                        "turn nothing for it; see by the lobes, rocker cover off, that both valves "
                        "of the cylinder are shut, and test again");
  };
  auto findings = judged_against_fit(state.input, what);
  mark_as_found(findings, state);
  return findings;
}

}  // namespace tautmark::checks
