// SPDX-License-Identifier: Apache-2.0
#include "report/way_json.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "judge/way_turning.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;
using clearance::Turns;

std::string_view turns_text(Turns turns) {
  switch (turns) {
    case Turns::crank:
      return "crank";
    case Turns::camshaft:
      return "camshaft";
    case Turns::together:
      break;
  }
  return "together";
}

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json move_json(const WayMove& move) {
  const bool of_cam = move.move.turns == Turns::camshaft;
  return {{"turns", turns_text(move.move.turns)},
          {"camshaft", text_or_null(move.camshaft)},
          {"by_deg", of_cam ? in_cam_deg(move.move.cam_by) : in_crank_deg(move.move.crank_by)},
          {"least_mm", in_mm(move.move.least)},
          {"words", move.words}};
}

bool may_turn(const WayAnswer& way) { return way.may() && !way.moves.empty(); }

constexpr std::string_view kNothingMoves = "Nothing has to be turned: it stands where it should.";

}  // namespace

Json way_json(const WayAnswer& way) {
  Json moves = Json::array();
  for (const WayMove& move : way.moves) moves.push_back(move_json(move));
  return {{"entry", text_or_null(way.entry)},
          {"answer", way.answer},
          {"may_turn", may_turn(way)},
          {"forbidden", way.forbidden},
          {"ask", way.ask},
          {"no_way", text_or_null(way.no_way)},
          {"moves", moves},
          {"least_mm", way.least ? Json(in_mm(*way.least)) : Json(nullptr)},
          {"explained", way.explained},
          {"holds_for", way.entry.empty() ? "" : way_holds_for(way)},
          {"cautions", way_cautions()}};
}

std::vector<WayLine> way_lines(const WayAnswer& way) {
  std::vector<WayLine> lines;
  if (way.entry.empty()) return lines;
  lines.push_back({0, fmt::format("The way from {}: {}", way.entry, way.answer)});
  for (const std::string& clause : way.forbidden) lines.push_back({2, "because " + clause});
  if (!way.no_way.empty()) lines.push_back({2, "no way: " + way.no_way});
  for (const std::string& sentence : way.ask) lines.push_back({2, "next: " + sentence});
  if (way.may() && way.moves.empty()) lines.push_back({2, std::string(kNothingMoves)});
  for (std::size_t i = 0; i < way.moves.size(); ++i)
    lines.push_back({2, fmt::format("{}. {}", i + 1, way.moves[i].words)});
  for (const std::string& sentence : way.explained) lines.push_back({2, sentence});
  lines.push_back({2, "holds for " + way_holds_for(way)});
  for (const std::string& caution : way_cautions()) lines.push_back({2, "! caution: " + caution});
  return lines;
}

}  // namespace tautmark
