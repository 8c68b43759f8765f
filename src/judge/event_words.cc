// SPDX-License-Identifier: Apache-2.0
#include "judge/event_words.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "judge/lobe_curve.h"

namespace tautmark {
namespace {

using clearance::OpenSpan;

constexpr double kMostFromExchange = 150;  // crank deg, of a center line

enum class Stroke { intake, exhaust, neither };

Stroke stroke_of(const OpenSpan& span) {
  const double after = std::remainder(in_crank_deg(clearance::center(span)) - 360, 720);
  if (std::abs(after) > kMostFromExchange) return Stroke::neither;
  return after > 0 ? Stroke::intake : Stroke::exhaust;
}

std::string side_words(CrankAngle angle, std::string_view positive, std::string_view negative,
                       std::string_view of) {
  const double degrees = in_crank_deg(angle);
  return fmt::format("{:.1f}° {} {} dead center", std::abs(degrees),
                     degrees < 0 ? negative : positive, of);
}

}  // namespace

std::optional<OpenSpan> events_of(const Valves& valves, CrankAngle early, Length at) {
  std::string why;
  if (!valves.lobe) return std::nullopt;
  const auto curve = lobe_curve(*valves.lobe, why);
  if (curve == nullptr) return std::nullopt;
  const auto span = clearance::open_span(*curve, at);
  if (!span) return std::nullopt;
  return clearance::advanced(*span, early);
}

std::string event_words(const OpenSpan& span) {
  const Stroke stroke = stroke_of(span);
  if (stroke == Stroke::neither) return "";
  const clearance::TimingCard card = clearance::timing_card(span, span);
  if (stroke == Stroke::intake)
    return fmt::format("opens {}, closes {}",
                       side_words(card.intake_opens, "before", "after", "top"),
                       side_words(card.intake_closes, "after", "before", "bottom"));
  return fmt::format("opens {}, closes {}",
                     side_words(card.exhaust_opens, "before", "after", "bottom"),
                     side_words(card.exhaust_closes, "after", "before", "top"));
}

std::string overlap_words(const OpenSpan& one, const OpenSpan& other) {
  const OpenSpan *intake = &one, *exhaust = &other;
  if (stroke_of(one) == Stroke::exhaust) std::swap(intake, exhaust);
  if (stroke_of(*intake) != Stroke::intake || stroke_of(*exhaust) != Stroke::exhaust) return "";
  const auto figures = clearance::card_figures(clearance::timing_card(*intake, *exhaust));
  if (!figures) return "";
  const double overlap = in_crank_deg(figures->overlap);
  return fmt::format("{}, lobe separation {:.1f}° cam",
                     overlap < 0 ? fmt::format("no overlap: {:.1f}° between them", -overlap)
                                 : fmt::format("overlap {:.1f}°", overlap),
                     in_cam_deg(figures->lobe_separation));
}

std::vector<std::string> definition_events(const Drive& drive) {
  std::vector<std::string> out;
  for (const Bank& bank : drive.banks) {
    std::vector<OpenSpan> spans;
    for (const Camshaft& camshaft : bank.camshafts)
      for (const Valves& valves : camshaft.valves) {
        const auto span = events_of(valves);
        if (!span) continue;
        spans.push_back(*span);
        if (const std::string words = event_words(*span); !words.empty())
          out.push_back(fmt::format("bank {} / {}, {} valves: {}", bank.number, camshaft.name,
                                    valves.name, words));
      }
    if (spans.size() != 2) continue;
    if (const std::string words = overlap_words(spans[0], spans[1]); !words.empty())
      out.push_back(fmt::format("bank {}: {}", bank.number, words));
  }
  return out;
}

}  // namespace tautmark
