// SPDX-License-Identifier: Apache-2.0
#include "report/trace_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "draw/trace_plot.h"
#include "drive/places.h"
#include "judge/trace_words.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

Json number_or_null(const auto& value, auto in) { return value ? Json(in(*value)) : Json(nullptr); }

Json or_null(const std::optional<int>& value) { return value ? Json(*value) : Json(nullptr); }

Json spot_json(const std::optional<tighten::TraceSpot>& spot) {
  if (!spot) return nullptr;
  return {{"angle_deg", in_deg(spot->angle)}, {"torque_Nm", spot->torque.si()}};
}

Json load_json(const std::optional<tighten::TracePreload>& load) {
  if (!load) return nullptr;
  return {{"low_N", load->low.si()}, {"high_N", load->high.si()}};
}

Json values_json(const tighten::TraceResult& r, const tighten::ExpectedStep& step) {
  const auto si = [](const auto& quantity) { return quantity.si(); };
  const auto degrees = [](Angle angle) { return in_deg(angle); };
  return {{"prevailing_Nm", number_or_null(r.prevailing, si)},
          {"closed", spot_json(r.snug)},
          {"gradient_Nm_per_deg", number_or_null(r.gradient, si)},
          {"gradient_U_Nm_per_deg", number_or_null(r.gradient_expanded, si)},
          {"origin_deg", number_or_null(r.origin, degrees)},
          {"origin_U_deg", number_or_null(r.origin_expanded, degrees)},
          {"clamp_angle_deg", number_or_null(r.clamp_angle, degrees)},
          {"yield", spot_json(r.yield)},
          {"plastic_angle_deg", number_or_null(r.plastic_angle, degrees)},
          {"end", spot_json(r.end)},
          {"noise_Nm", r.noise.si()},
          {"wrench_deviation", step.wrench_deviation},
          {"clamp_load_by_torque", load_json(r.by_torque)},
          {"clamp_load_by_angle", load_json(r.by_angle)},
          {"strokes", r.strokes}};
}

Json signs_json(const TraceJudged& judged) {
  Json signs = Json::array();
  if (!judged.result) return signs;
  for (const tighten::TraceFinding& sign : judged.result->findings) {
    const bool out = must_come_out(sign.sign);
    signs.push_back(
        {{"sign", tighten::trace_sign_name(sign.sign)},
         {"why", sign.why},
         {"looks_the_same", sign.not_told_from},
         {"take_out", out},
         {"follows", out ? what_follows(sign.sign, judged.take_new) : std::vector<std::string>{}}});
  }
  return signs;
}

struct At {
  double angle = 0, torque = 0;  // degrees, N·m
};

// Rounded to what a drawing can show.
Json at_json(const At& at) {
  return {std::round(at.angle * 100) / 100, std::round(at.torque * 1000) / 1000};
}

// Of every piece of so many points its first, least, most and last, in their order.
Json thinned(const std::vector<At>& points) {
  constexpr std::size_t kOfPiece = 4;
  const std::size_t pieces = kMostDrawnPoints / kOfPiece;
  const std::size_t each = std::max(kOfPiece, (points.size() + pieces - 1) / pieces);
  Json out = Json::array();
  for (std::size_t from = 0; from < points.size(); from += each) {
    const auto begin = points.begin() + static_cast<std::ptrdiff_t>(from);
    const auto end =
        points.begin() + static_cast<std::ptrdiff_t>(std::min(from + each, points.size()));
    if (each == kOfPiece) {
      for (auto at = begin; at != end; ++at) out.push_back(at_json(*at));
      continue;
    }
    auto [least, most] = std::minmax_element(
        begin, end, [](const At& a, const At& b) { return a.torque < b.torque; });
    std::array kept = {begin, least, most, end - 1};
    std::sort(kept.begin(), kept.end());
    const auto last = std::unique(kept.begin(), kept.end());
    for (auto at = kept.begin(); at != last; ++at) out.push_back(at_json(**at));
  }
  return out;
}

Json drawn_json(const TraceJudged& judged) {
  std::vector<At> points, curve;
  for (const tighten::TracePoint& point : judged.trace.points)
    if (std::isfinite(point.angle.si()) && std::isfinite(point.torque.si()))
      points.push_back({in_deg(point.angle), point.torque.si()});
  Json line = nullptr, target = nullptr, snug = nullptr;
  if (judged.result) {
    for (const tighten::TraceSpot& spot : judged.result->curve)
      curve.push_back({in_deg(spot.angle), spot.torque.si()});
    if (judged.result->line_low && judged.result->line_high)
      line = {
          at_json({in_deg(judged.result->line_low->angle), judged.result->line_low->torque.si()}),
          at_json(
              {in_deg(judged.result->line_high->angle), judged.result->line_high->torque.si()})};
  }
  if (const auto& step = judged.expected.step) {
    if (step->target) target = step->target->si();
    if (step->snug) snug = step->snug->si();
  }
  return {{"points", thinned(points)},
          {"curve", thinned(curve)},
          {"line", std::move(line)},
          {"target_Nm", std::move(target)},
          {"snug_Nm", std::move(snug)}};
}

double band_spread(const OtherTraces& others) { return 3 * others.spread; }

}  // namespace

tl::expected<const LoadedDrive*, std::string> drive_of_fastener(
    const std::vector<const LoadedDrive*>& drives, const std::string& fastener) {
  std::vector<std::string> known;
  const LoadedDrive* found = nullptr;
  for (const LoadedDrive* drive : drives) {
    for (const Fastener& one : drive->drive.fasteners) known.push_back(one.name);
    const Fastener* here = fastener_named(drive->drive, fastener);
    if (here == nullptr) continue;
    if (found != nullptr && !(*here == *fastener_named(found->drive, fastener)))
      return tl::make_unexpected(
          fmt::format("{} differs between {} and {}: name the drive instead of the case", fastener,
                      found->drive.name, drive->drive.name));
    found = drive;
  }
  if (found != nullptr) return found;
  const auto near = nearest(fastener, known);
  return tl::make_unexpected(fmt::format(
      "no fastener \"{}\"; {}", fastener,
      near ? fmt::format("did you mean \"{}\"?", *near) : "known: " + joined(known, ", ")));
}

Result<TraceJudged> judge_trace(const LoadedDrive& drive, const std::string& fastener,
                                std::optional<int> step, const FastenerSaid& said,
                                tighten::Trace trace, const std::optional<OtherTraces>& others) {
  Fastener of = *fastener_named(drive.drive, fastener, said.bank);
  if (said.thread) of.thread = said.thread;
  if (said.strength_class) of.strength_class = said.strength_class;
  if (said.condition) of.condition = said.condition;
  TraceJudged judged{.drive = drive.drive.name,
                     .title = drive.drive.title.value_or(drive.drive.name),
                     .invented = drive.drive.invented.value_or(false),
                     .fastener = of.name,
                     .step = step,
                     .take_new = of.single_use.value_or(true),
                     .expected = trace_expected(of, step),
                     .trace = std::move(trace)};
  if (!judged.expected.step) return judged;
  judged.others = others;
  if (others) judged.expected.step->slope = slope_of(*others, *judged.expected.step);
  auto result = tighten::analyse_trace(judged.trace, *judged.expected.step);
  if (!result) return tl::make_unexpected(result.error());
  judged.result = std::move(*result);
  if (others && judged.result->gradient)
    judged.differs = differs_from_others(*judged.result->gradient, *others);
  return judged;
}

TraceJudged judged_of_case(const LoadedDrive* drive, const TraceOfCase& seen,
                           tighten::Trace trace) {
  TraceJudged judged{.fastener = seen.body->fastener,
                     .bolt = seen.body->bolt,
                     .step = seen.body->step,
                     .file = std::filesystem::path(seen.body->file).filename().string(),
                     .problem = seen.problem,
                     .decides = seen.decides,
                     .expected = seen.expected,
                     .trace = std::move(trace),
                     .result = seen.result,
                     .others = seen.others};
  if (drive != nullptr) {
    judged.drive = drive->drive.name;
    judged.title = drive->drive.title.value_or(drive->drive.name);
    judged.invented = drive->drive.invented.value_or(false);
  }
  if (seen.fastener != nullptr) judged.take_new = seen.fastener->single_use.value_or(true);
  if (judged.others && judged.expected.step)
    judged.expected.step->slope = slope_of(*judged.others, *judged.expected.step);
  if (judged.others && judged.result && judged.result->gradient)
    judged.differs = differs_from_others(*judged.result->gradient, *judged.others);
  return judged;
}

std::string_view trace_answer(const TraceJudged& judged) {
  if (!judged.result) return "not judged";
  switch (judged.result->answer) {
    case tighten::TraceAnswer::signs_found:
      return "signs found";
    case tighten::TraceAnswer::not_decided:
      return "not decided";
    case tighten::TraceAnswer::nothing_found:
      return "nothing found";
  }
  return "";
}

bool is_take_out(const TraceJudged& judged) {
  return judged.result &&
         std::any_of(judged.result->findings.begin(), judged.result->findings.end(),
                     [](const auto& sign) { return must_come_out(sign.sign); });
}

Json trace_json(const TraceJudged& judged, bool with_drawn) {
  Json json = {{"schema", "tightening-trace/1"},
               {"drive", judged.drive.empty() ? Json(nullptr) : Json(judged.drive)},
               {"fastener", judged.fastener},
               {"bolt", or_null(judged.bolt)},
               {"file", judged.file},
               {"step", or_null(judged.step)},
               {"answer", trace_answer(judged)},
               {"take_out", is_take_out(judged)},
               {"missing", judged.expected.missing},
               {"assumed", judged.expected.assumed},
               {"notes", judged.trace.notes},
               {"signs", signs_json(judged)}};
  if (!judged.problem.empty()) {
    json["problem"] = judged.problem;
    json["decides"] = judged.decides;
  }
  if (with_drawn) json["drawn"] = drawn_json(judged);
  if (!judged.result) return json;
  json["sentences"] = trace_sentences(*judged.result, *judged.expected.step);
  json["open"] = judged.result->open;
  json["cannot_be_told"] = judged.result->cannot_be_told;
  json["differs"] = judged.differs;
  json["others"] = judged.others ? Json{{"count", judged.others->count},
                                        {"gradient_Nm_per_deg", judged.others->gradient.si()},
                                        {"spread", judged.others->spread}}
                                 : Json(nullptr);
  json["values"] = values_json(*judged.result, *judged.expected.step);
  return json;
}

std::string trace_drawing(const TraceJudged& judged, Paper paper) {
  const tighten::ExpectedStep& step = *judged.expected.step;
  TracePlot plot{.title = judged.fastener + ", " + judged.file,
                 .invented = judged.invented,
                 .trace = judged.trace,
                 .result = *judged.result,
                 .target = step.target,
                 .snug = step.snug};
  plot.facts = {{"engine", judged.title},
                {"bolt", fmt::format("{}, {}", step.thread.shown, step.strength.name)},
                {"friction", fmt::format("{:.2f} to {:.2f}, {}", step.friction.low,
                                         step.friction.high, step.friction.condition)},
                {"answer", std::string(trace_answer(judged))}};
  if (judged.others)
    plot.band =
        GradientBand{judged.others->gradient * (1 - std::min(0.9, band_spread(*judged.others))),
                     judged.others->gradient * (1 + band_spread(*judged.others)),
                     fmt::format("by {} other bolts of this fastener", judged.others->count)};
  return trace_svg(plot, {.paper = paper});
}

}  // namespace tautmark
