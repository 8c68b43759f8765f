// SPDX-License-Identifier: Apache-2.0
#include "judge/levels.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/places.h"
#include "geometry/counts.h"
#include "judge/drive_paths.h"
#include "judge/levels_path.h"
#include "judge/valve_gaps.h"

namespace tautmark {
namespace {

constexpr std::string_view kCounts = "1  counts and marks";
constexpr std::string_view kParts = "3  measured parts";
constexpr std::string_view kOil = "4  oil";
constexpr std::string_view kRecordings = "5  recordings of crank and cam sensors";
constexpr std::string_view kTightening = "6  tightening";
constexpr std::string_view kValveGaps = "7  valves and pistons";
constexpr std::string_view kProof = "8  what a pass rests on";

struct Row {
  const Drive& drive;
  std::vector<EnginePlace> places;
  std::vector<Capability> capabilities;

  Capability& add(std::string_view level, std::string question) {
    capabilities.push_back({std::string(level), std::move(question), {}, {}});
    return capabilities.back();
  }
  [[nodiscard]] bool has_place(PlaceType type) const {
    return std::any_of(places.begin(), places.end(),
                       [&](const EnginePlace& place) { return place.type == type; });
  }
  [[nodiscard]] const Fit* fit(Measurand quantity) const {
    for (const Fit& fit : drive.fits)
      if (fit.quantity == quantity) return &fit;
    return nullptr;
  }
};

// One answer for every chain that has it: "bank 1 chain 124 turns; bank 2 chain 126 turns".
struct ChainAnswer {
  std::vector<std::string> chains;
  std::string words;
};

void add_answer(std::vector<ChainAnswer>& answers, const std::string& chain, std::string words) {
  for (ChainAnswer& answer : answers) {
    if (answer.words != words) continue;
    if (std::find(answer.chains.begin(), answer.chains.end(), chain) == answer.chains.end())
      answer.chains.push_back(chain);
    return;
  }
  answers.push_back({{chain}, std::move(words)});
}

// Chains are named only where they differ.
std::string answers_text(const std::vector<ChainAnswer>& answers) {
  if (answers.size() == 1) return answers.front().words;
  std::string text;
  for (const ChainAnswer& answer : answers)
    text += fmt::format("{}{}: {}", text.empty() ? "" : "; ", joined(answer.chains, ", "),
                        answer.words);
  return text;
}

Capability teeth_capability(const Drive& drive) {
  Capability degrees = {std::string(kCounts),
                        "How many degrees is one tooth; is a shift a whole tooth or a remainder?",
                        {},
                        {}};
  for (const Bank& bank : drive.banks) {
    for (const Camshaft& camshaft : bank.camshafts) {
      if (!camshaft.sprocket_teeth || !degrees.detail.empty()) continue;
      if (const auto tooth = tooth_angle(*camshaft.sprocket_teeth))
        degrees.detail =
            fmt::format("{:.3f}° crank, {:.3f}° cam ({} teeth)", in_crank_deg(tooth->crank),
                        in_cam_deg(tooth->cam), *camshaft.sprocket_teeth);
    }
  }
  for (const GearPair& gear : drive.gears) {
    const auto turns = shaft_turns(drive, gear.driven);
    if (!turns || !degrees.detail.empty()) continue;
    degrees.detail = fmt::format("{:.3f}° crank ({} teeth of the gear on {})",
                                 360.0 / gear.driven_teeth * static_cast<double>(turns->under) /
                                     static_cast<double>(turns->over),
                                 gear.driven_teeth, gear.driven);
  }
  if (degrees.detail.empty())
    degrees.missing.push_back(
        {"teeth of a camshaft's sprocket", "count them on the sprocket or phaser"});
  return degrees;
}

Capability returns_capability(const Drive& drive, bool any_teeth) {
  Capability returns = {
      std::string(kCounts), "After how many turns do the colored links return?", {}, {}};
  std::vector<ChainAnswer> answers;
  if (const auto found = returns_of(drive))
    for (std::size_t i = 0; i < found->chains.size(); ++i)
      add_answer(answers, found->chains[i]->name,
                 fmt::format("{} crank turns, sprocket marks every {}", found->turns.links_marks[i],
                             found->turns.sprocket_marks));
  if (!answers.empty()) {
    returns.detail = answers_text(answers);
    return returns;
  }
  if (drive.chains.empty() && !drive.gears.empty()) {
    ReturnInputs in;
    for (const GearPair& gear : drive.gears)
      if (const auto turns = shaft_turns(drive, gear.driven)) in.shafts.push_back(*turns);
    if (const auto turns = mark_returns(in); turns && !in.shafts.empty()) {
      returns.detail =
          fmt::format("marked teeth meet again every {} crank turns", turns->sprocket_marks);
      return returns;
    }
  }
  if (!any_teeth)
    returns.missing.push_back(
        {"teeth of a camshaft's sprocket", "count them on the sprocket or phaser"});
  if (!drive.crankshaft || drive.crankshaft->sprockets.empty())
    returns.missing.push_back(
        {"crankshaft.sprockets",
         "count the teeth of the crank sprocket, half of the camshaft's without an idler"});
  const bool no_links = std::none_of(drive.chains.begin(), drive.chains.end(),
                                     [](const Chain& chain) { return chain.links.has_value(); });
  if (no_links)
    returns.missing.push_back(
        {"links of the chain", "lay the chain flat, paint one link, count pitches all round"});
  return returns;
}

Capability sums_capability(const Drive& drive) {
  Capability sums = {std::string(kCounts), "Do the link counts between the marks add up?", {}, {}};
  if (drive.chains.empty() && !drive.gears.empty()) {
    sums.detail = "gears only: no links to count";
    return sums;
  }
  for (const Chain& chain : drive.chains) {
    if (chain.strands.empty() || !chain.links) continue;
    std::string words;
    int sum = 0;
    for (const Strand& strand : chain.strands) {
      const int pitches = as_pitches(strand.links, chain.counted.value_or(LinkCounting::pitches));
      words += fmt::format("{}{}", words.empty() ? "" : " + ", pitches);
      sum += pitches;
    }
    if (sum != *chain.links) {
      sums.missing.push_back(
          {fmt::format("link counts of {} that add up: the strands add up to {}, the chain has {}",
                       chain.name, sum, *chain.links),
           "count every strand and the whole chain again"});
      continue;
    }
    sums.detail +=
        fmt::format("{}{} = {} ({})", sums.detail.empty() ? "" : "; ", words, sum, chain.name);
  }
  if (sums.detail.empty() && sums.missing.empty())
    sums.missing.push_back({"link counts between the marks",
                            "on an engine known to be right: count pitches from marked tooth to "
                            "marked tooth, every strand"});
  return sums;
}

void add_counts(Row& row) {
  row.capabilities.push_back(teeth_capability(row.drive));
  const bool any_teeth = row.capabilities.back().missing.empty();
  row.capabilities.push_back(returns_capability(row.drive, any_teeth));
  row.capabilities.push_back(sums_capability(row.drive));
}

void add_measured(Row& row, std::string question, Measurand quantity,
                  std::string_view places_missing) {
  Capability& capability = row.add(kParts, std::move(question));
  const MeasurandInfo& info = measurand_info(quantity);
  if (!row.has_place(info.place))
    capability.missing.push_back({std::string(places_missing), "see the engine"});
  const Fit* fit = row.fit(quantity);
  if (fit == nullptr) {
    capability.missing.push_back(
        {fmt::format("a limit of the {} in fits", info.name),
         fmt::format("the maker's limit; until then each reading can carry its own")});
    return;
  }
  capability.detail = fit->service ? fit->service->text : "new range only: " + fit->new_range->text;
}

void add_parts(Row& row) {
  add_measured(row, "Are the journals worn?", Measurand::journal_diameter,
               "banks with camshafts and their journals");
  add_measured(row, "Are the bearing bores worn?", Measurand::bore_diameter,
               "banks with camshafts and their journals");
  add_measured(row, "Is the bearing clearance inside its limit?", Measurand::journal_clearance,
               "banks with camshafts and their journals");
  Capability& what_if = row.add(kParts, "New camshaft or new head: what would the clearance be?");
  for (const Measurand quantity : {Measurand::journal_diameter, Measurand::bore_diameter})
    if (const Fit* fit = row.fit(quantity); fit == nullptr || !fit->new_range)
      what_if.missing.push_back({fmt::format("new range of the {}", measurand_info(quantity).name),
                                 "the maker's range for new parts, or measure a new part"});
  add_measured(row, "Is the end play inside its limit?", Measurand::end_play,
               "banks with camshafts");
  add_measured(row, "Is the play of the locked phaser inside its limit?", Measurand::lock_play,
               "phaser under its camshaft");
  Capability& chain = row.add(kParts, "Is the chain worn?");
  const bool no_pitch = std::none_of(row.drive.chains.begin(), row.drive.chains.end(),
                                     [](const Chain& c) { return c.pitch.has_value(); });
  if (no_pitch)
    chain.missing.push_back(
        {"pitch of the chain",
         "measure over many links with a caliper, divide; 8.00 and 9.525 mm are usual"});
  const Fit* elongation = row.fit(Measurand::chain_elongation);
  if (elongation == nullptr) elongation = row.fit(Measurand::chain_length);
  if (elongation == nullptr)
    chain.missing.push_back({"a limit of the chain elongation in fits", "the maker's limit"});
  else if (elongation->service)
    chain.detail = elongation->service->text;
  add_measured(row, "Is the groove in the guides inside its limit?", Measurand::groove_depth,
               "guides under their chain");
  add_measured(row, "Does the tensioner hold?", Measurand::sink_time, "tensioner under its chain");
  add_measured(row, "Is enough tensioner stroke left?", Measurand::tensioner_stroke_left,
               "tensioner under its chain");
  const bool no_stroke =
      std::none_of(row.drive.chains.begin(), row.drive.chains.end(),
                   [](const Chain& c) { return c.tensioner && c.tensioner->stroke; });
  if (no_stroke)
    row.capabilities.back().missing.push_back(
        {"stroke of the tensioner", "measure a new one, in and out"});
  Capability& thermal = row.add(kParts, "Can readings on a warm or cold part be brought to 20 °C?");
  for (const Bank& bank : row.drive.banks) {
    if (!bank.head_material)
      thermal.missing.push_back({fmt::format("head_material of bank {}", bank.number),
                                 "a magnet tells iron from aluminium"});
    for (const Camshaft& camshaft : bank.camshafts)
      if (!camshaft.material)
        thermal.missing.push_back(
            {fmt::format("material of bank {} / {}", bank.number, camshaft.name),
             "steel or iron; the maker's parts list"});
  }
  if (row.drive.banks.empty())
    thermal.missing.push_back({"banks with head_material and camshafts", "see the engine"});
}

void add_phaser_oil(Row& row) {
  Capability& phaser = row.add(kOil, "Is the pressure at its head enough to move a phaser?");
  const auto has = [](const EnginePlace& place) {
    if (place.type != PlaceType::phaser || place.camshaft == nullptr || !place.camshaft->phaser)
      return true;
    const Phaser& one = *place.camshaft->phaser;
    return one.vanes && one.vane_inner && one.vane_outer && one.vane_width && one.cam_torque;
  };
  if (!std::all_of(row.places.begin(), row.places.end(), has))
    phaser.missing.push_back({"vanes, vane_inner, vane_outer, vane_width, cam_torque of a phaser",
                              "measure the vanes of one taken apart; torque of the camshaft from "
                              "the maker"});
}

void add_oil(Row& row) {
  Capability& pressure = row.add(kOil, "Is the oil pressure inside its limit?");
  const bool none = !row.drive.oil || row.drive.oil->pressures.empty();
  if (none)
    pressure.missing.push_back(
        {"oil.ports and oil.pressures", "the maker's limit with speed, oil temperature and grade"});
  if (!row.drive.oil || !row.drive.oil->grade)
    pressure.missing.push_back({"oil.grade", "filler cap or handbook"});
  if (!none) pressure.detail = fmt::format("{} limits", row.drive.oil->pressures.size());
  const bool has_phaser = std::any_of(row.places.begin(), row.places.end(), [](const auto& place) {
    return place.type == PlaceType::phaser;
  });
  if (has_phaser) add_phaser_oil(row);
  Capability& ways = row.add(kOil, "What would each repair do to the pressure at a head, in kPa?");
  if (!row.drive.oil || row.drive.oil->network.empty())
    ways.missing.push_back({"oil.network",
                            "pump, holes and clearances from the maker's data, or measured on an "
                            "engine taken apart; without it the banks are compared"});
  if (row.drive.banks.size() < 2) return;
  Capability& banks = row.add(kOil, "Does one bank get less oil than the other?");
  int ports = 0;
  if (row.drive.oil)
    for (const OilPort& port : row.drive.oil->ports) ports += port.bank ? 1 : 0;
  if (ports < 2)
    banks.missing.push_back(
        {"oil.ports with their bank",
         "look for a plug in each head gallery; compare both at the same moment"});
}

bool every_camshaft(const Row& row, bool (*has)(const Camshaft&)) {
  return row.has_place(PlaceType::camshaft) &&
         std::all_of(row.places.begin(), row.places.end(), [&](const EnginePlace& place) {
           return place.type != PlaceType::camshaft || has(*place.camshaft);
         });
}

void add_recordings(Row& row) {
  Capability& timing =
      row.add(kRecordings, "Is each camshaft on time, by a recording before anything is opened?");
  const bool edges =
      every_camshaft(row, [](const Camshaft& c) { return c.sensor && !c.sensor->edges.empty(); });
  if (!edges)
    timing.missing.push_back(
        {"sensor with edges under every camshaft",
         "the maker's figures, or drive learn --recordings of engines known to "
         "be good; until then bank against bank, before against after"});
  if (!every_camshaft(row, [](const Camshaft& c) { return c.sensor && c.sensor->window; }))
    timing.missing.push_back({"window of these sensors",
                              "the maker's, or one that the shop "
                              "stands for"});
  if (!row.drive.crankshaft || !row.drive.crankshaft->sensor)
    timing.missing.push_back({"sensor under crankshaft", "its wheel and the edge that counts"});
  Capability& meaning =
      row.add(kRecordings, "One tooth, wear, or the sensor wheel: what does a phase mean?");
  if (!edges) meaning.missing.push_back({"sensor with edges under every camshaft", "as above"});
  if (!every_camshaft(row, [](const Camshaft& c) { return c.sprocket_teeth.has_value(); }))
    meaning.missing.push_back(
        {"teeth of a camshaft's sprocket", "count them on the sprocket or phaser"});
  Capability& stable = row.add(kRecordings, "Does each camshaft hold its phase at a command?");
  if (row.fit(Measurand::phase_scatter) == nullptr)
    stable.missing.push_back(
        {"a limit of phase scatter in fits", "the maker's, with engine speed and oil temperature"});
}

void add_tightening(Row& row) {
  Capability& torque = row.add(kTightening, "What are the tightening steps?");
  int with_steps = 0;
  for (const Fastener& fastener : row.drive.fasteners) {
    with_steps += fastener.steps.empty() ? 0 : 1;
    if (!fastener.single_use)
      torque.missing.push_back({fmt::format("single_use of {}", fastener.name),
                                "the maker's word; until then treated as used once"});
  }
  if (with_steps == 0)
    torque.missing.push_back({"fasteners with steps", "the maker's figures; nobody else's"});
  else
    torque.detail = fmt::format("{} fasteners with steps", with_steps);
}

constexpr std::string_view kHowValves =
    "the maker's figures; on a dismantled engine lift by dial indicator, gap by soft clay under "
    "light checking springs";

// Each missing figure once, whichever valves lack it.
void add_valves(Row& row, const LoadedDrive& loaded) {
  Capability& gaps = row.add(kValveGaps, "Where would valves and pistons meet, by error in teeth?");
  const std::vector<ValvesOfCam> all = valves_of(loaded);
  if (all.empty()) gaps.missing.push_back({"valves of each camshaft", std::string(kHowValves)});
  const auto add = [&](const std::string& what) {
    const bool is_there = std::any_of(gaps.missing.begin(), gaps.missing.end(),
                                      [&](const Missing& one) { return one.what == what; });
    if (!is_there) gaps.missing.push_back({what, std::string(kHowValves)});
  };
  for (const ValvesOfCam& valves : all) {
    for (const std::string& what : clearance::missing_for_proof(valves.inputs)) add(what);
    for (const std::string& what : valves.not_proven) add(what);
  }
  if (gaps.missing.empty()) gaps.detail = "see tautmark clearance; it allows no turning";
}

void add_proof(Row& row) {
  Capability& pass = row.add(kProof, "Can a reading pass against this definition?");
  if (!row.drive.source || !row.drive.source->origin || !can_carry_pass(*row.drive.source->origin))
    pass.missing.push_back(
        {"source with origin maker or shop, document and page", "whose figures are these?"});
  Capability& checked = row.add(kProof, "Has someone compared it with its source?");
  if (!row.drive.checked_by)
    checked.missing.push_back({"checked_by", "a second person reads every number again"});
  Capability& variant = row.add(kProof, "Can the variant be told on the engine?");
  if (row.drive.recognise.empty())
    variant.missing.push_back(
        {"recognise", "what to look at: casting, plate, sprocket, number of marks"});
}

}  // namespace

std::vector<Capability> capabilities(const LoadedDrive& loaded) {
  Row row{loaded.drive, places_of(loaded.drive), {}};
  add_counts(row);
  for (Capability& capability : path_capabilities(loaded.drive))
    row.capabilities.push_back(std::move(capability));
  add_parts(row);
  add_oil(row);
  add_recordings(row);
  add_tightening(row);
  add_valves(row, loaded);
  add_proof(row);
  return std::move(row.capabilities);
}

}  // namespace tautmark
