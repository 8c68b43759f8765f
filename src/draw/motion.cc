// SPDX-License-Identifier: Apache-2.0
#include "draw/motion.h"

#include <fmt/format.h>

#include <cmath>

#include "draw/parts.h"
#include "judge/drive_paths.h"
#include "judge/turning.h"

namespace tautmark {
namespace {

double clock_deg(Angle angle) {
  const double turned = std::fmod(in_deg(angle), 360);
  return turned < 0 ? turned + 360 : turned;
}

std::string_view kind_words(WheelKind kind) {
  switch (kind) {
    case WheelKind::crank:
      return "crankshaft";
    case WheelKind::camshaft:
      return "camshaft";
    case WheelKind::idler:
      return "idler";
    case WheelKind::pulley:
      return "pulley";
    case WheelKind::other:
      break;
  }
  return "other";
}

// In millimetres about the wheel's center.
std::string outline_of(const Figure& figure, const FigureWheel& wheel) {
  const double radius = in_mm(wheel.pitch_radius);
  if (wheel.teeth < 3) return draw::Path().circle({0, 0}, radius).d();
  const double pitch = in_mm(draw::chain_pitch_at(figure, wheel));
  return (draw::is_belt_wheel(figure, wheel) ? draw::belt_pulley_outline(wheel.teeth, radius, pitch)
                                             : draw::sprocket_outline(wheel.teeth, radius, pitch))
      .d();
}

MotionWheel wheel_of(const Figure& figure, const FigureWheel& wheel) {
  MotionWheel out;
  out.name = wheel.name;
  out.label = wheel.label;
  out.kind = kind_words(wheel.kind);
  out.x_mm = in_mm(wheel.center.x);
  out.y_mm = in_mm(wheel.center.y);
  out.radius_mm = in_mm(wheel.pitch_radius);
  out.teeth = wheel.teeth;
  out.clockwise_turns = wheel.clockwise ? wheel.turns : -wheel.turns;
  out.outline = outline_of(figure, wheel);
  out.tooth_deg = clock_deg(wheel.tooth_zero);
  if (wheel.mark) {
    const double step = wheel.teeth > 0 ? 360.0 / wheel.teeth : 0;
    out.mark =
        MotionMark{clock_deg(wheel.tooth_zero + deg(step * wheel.mark->tooth)), wheel.mark->sign};
  }
  if (wheel.casting_mark) out.casting_deg = clock_deg(*wheel.casting_mark);
  if (wheel.mark_should_be) out.should_be_deg = clock_deg(*wheel.mark_should_be);
  out.teeth_early = wheel.teeth_early;
  out.error = wheel.error.value_or("");
  return out;
}

MotionPiece piece_of(const TrackPiece& piece) {
  MotionPiece out{.x1_mm = in_mm(piece.from.x),
                  .y1_mm = in_mm(piece.from.y),
                  .x2_mm = in_mm(piece.to.x),
                  .y2_mm = in_mm(piece.to.y),
                  .pitches = piece.pitches};
  if (!piece.is_arc) return out;
  out.center_x_mm = in_mm(piece.center.x);
  out.center_y_mm = in_mm(piece.center.y);
  out.radius_mm = std::hypot(out.x1_mm - out.center_x_mm, out.y1_mm - out.center_y_mm);
  out.clockwise_deg = -in_deg(piece.sweep);
  return out;
}

MotionChain chain_of(const FigureChain& chain) {
  const int links = static_cast<int>(chain.pins.size());
  MotionChain out;
  out.name = chain.name;
  out.belt = chain.belt;
  out.pitch_mm = in_mm(chain.pitch);
  out.links = links;
  out.pitches_per_turn = chain.pitches_per_turn;
  out.first_pin = chain.first_pin;
  for (const TrackPiece& piece : chain.track) out.way.push_back(piece_of(piece));
  for (const FigureLinkMark& mark : chain.marked)
    out.marked.push_back({static_cast<int>(mark.link), mark.color});
  for (const FigureStrand& strand : chain.strands) {
    const int pins =
        (static_cast<int>(strand.last_pin) - static_cast<int>(strand.first_pin) + links) % links;
    const double at = static_cast<double>(strand.first_pin) + pins / 2.0 + chain.first_pin;
    out.strands.push_back(
        {strand.name, strand.from, strand.to, at - links * std::floor(at / links), strand.count});
  }
  return out;
}

void add_returns(const Drive& drive, Motion& out) {
  const auto returns = returns_of(drive);
  if (!returns) return;
  out.marks_return = fmt::format("The sprocket marks stand right again every {} crank turns",
                                 returns->turns.sprocket_marks);
  for (std::size_t i = 0; i < returns->chains.size(); ++i)
    for (MotionChain& chain : out.chains)
      if (chain.name == returns->chains[i]->name) {
        chain.links_return = returns->turns.links[i];
        chain.links_marks_return = returns->turns.links_marks[i];
        out.marks_return += fmt::format("; the marked links of {} together with them after {}",
                                        chain.name, returns->turns.links_marks[i]);
      }
  out.marks_return += ". Never turn an engine to wait for marked links.";
}

MotionArc arc_of(const FigureArc& arc) {
  MotionArc out{.name = arc.name,
                .x_mm = in_mm(arc.center.x),
                .y_mm = in_mm(arc.center.y),
                .radius_mm = in_mm(arc.radius),
                .from_deg = clock_deg(arc.from),
                .to_deg = clock_deg(arc.to),
                .touched = arc.touched};
  if (arc.pivot) {
    out.pivot_x_mm = in_mm(arc.pivot->x);
    out.pivot_y_mm = in_mm(arc.pivot->y);
  }
  return out;
}

}  // namespace

Motion motion_of(const Drive& drive, const Figure& drawn) {
  const Figure figure = draw::sifted(drawn);
  Motion out;
  out.title = figure.title;
  out.invented = figure.invented;
  out.to_scale = figure.to_scale;
  out.view = "seen from the front";
  out.clockwise = figure.clockwise;
  out.is_direction_known = crank_runs_clockwise(drive).has_value();
  out.backwards = turning_card({.wish = Wish::backwards}).say;
  for (const FigureWheel& wheel : figure.wheels) out.wheels.push_back(wheel_of(figure, wheel));
  for (const FigureChain& chain : figure.chains) out.chains.push_back(chain_of(chain));
  for (const FigureArc& arc : figure.arcs) out.arcs.push_back(arc_of(arc));
  for (const FigureTensioner& one : figure.tensioners)
    out.plungers.push_back({one.name, in_mm(one.base.x), in_mm(one.base.y), clock_deg(one.points),
                            one.extension ? in_mm(*one.extension) : 0});
  out.notes = figure.notes;
  add_returns(drive, out);
  return out;
}

}  // namespace tautmark
