// SPDX-License-Identifier: Apache-2.0
#include "serve/api_types_motion.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "serve/api_options.h"

namespace tautmark {

const TypeInfo& TypeOf<double>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info;
    info.name = "number";
    info.json_type = "number";
    info.read = [](std::string_view text, const TextRules&,
                   void* value) -> std::optional<TextError> {
      double number = 0;
      const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
      if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(number))
        return TextError{0, text.size(), "not a plain number", {}};
      *static_cast<double*>(value) = number;
      return std::nullopt;
    };
    info.write = [](const void* value) {
      return fmt::format("{}", *static_cast<const double*>(value));
    };
    return info;
  }();
  return kInfo;
}

std::span<const FieldInfo> Description<MotionMark>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionMark::clock_deg>("clock_deg", "Where it stands.", "0"),
      field<&MotionMark::sign>("sign", "What it looks like.", "dot", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionWheel>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionWheel::name>("name", "Name.", "bank 1 / intake"),
      field<&MotionWheel::label>("label", "In short.", "intake"),
      field<&MotionWheel::kind>("kind", "crankshaft, camshaft, idler, pulley or other.",
                                "camshaft"),
      field<&MotionWheel::x_mm>("x_mm", "Center.", "112.5"),
      field<&MotionWheel::y_mm>("y_mm", "Center.", "231"),
      field<&MotionWheel::radius_mm>("radius_mm", "Where the pins run.", "50.96"),
      field<&MotionWheel::teeth>("teeth", "0: smooth.", "40", kCount),
      field<&MotionWheel::clockwise_turns>(
          "clockwise_turns",
          "Per turn of the crankshaft in its running direction; negative: it "
          "runs counterclockwise; 0: not known.",
          "0.5"),
      field<&MotionWheel::outline>("outline",
                                   "SVG path about its center, mm, y down, tooth 0 straight up.",
                                   "M0-50A50 50 0 0 1 0 50"),
      field<&MotionWheel::tooth_deg>("tooth_deg", "Clock angle of tooth 0.", "4.5"),
      field<&MotionWheel::mark>("mark", "Its mark.", ""),
      field<&MotionWheel::casting_deg>("casting_deg", "Pointer on the casting.", "0"),
      field<&MotionWheel::should_be_deg>("should_be_deg", "Where its mark should stand.", "9"),
      field<&MotionWheel::teeth_early>(
          "teeth_early", "Of its own against its driver, as found; negative: late.", "-1"),
      field<&MotionWheel::error>("error", "The same in words; absent: nothing found.",
                                 "1 tooth late: 9.0° cam, 18.0° crank", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionPiece>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionPiece::x1_mm>("x1_mm", "Beginning.", "25.6"),
      field<&MotionPiece::y1_mm>("y1_mm", "Beginning.", "0"),
      field<&MotionPiece::x2_mm>("x2_mm", "End.", "-25.6"),
      field<&MotionPiece::y2_mm>("y2_mm", "End.", "0"),
      field<&MotionPiece::radius_mm>("radius_mm", "0: straight.", "25.6"),
      field<&MotionPiece::center_x_mm>("center_x_mm", "Of an arc.", "0"),
      field<&MotionPiece::center_y_mm>("center_y_mm", "Of an arc.", "0"),
      field<&MotionPiece::clockwise_deg>("clockwise_deg",
                                         "Swept by an arc; negative: counterclockwise.", "180"),
      field<&MotionPiece::pitches>("pitches", "Pitches on it.", "10"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionMarkedLink>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionMarkedLink::link>("link", "Between pin `link` and the next.", "0", kCount),
      field<&MotionMarkedLink::color>("color", "Its color.", "copper"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionStrand>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionStrand::name>("name", "Name.", "tight strand"),
      field<&MotionStrand::from>("from", "Wheel that it leaves.", "crank"),
      field<&MotionStrand::to>("to", "Wheel that it runs to.", "bank 1 / intake"),
      field<&MotionStrand::at>("at", "Its middle, in pitches along the way.", "31.5"),
      field<&MotionStrand::count>("count",
                                  "Pitches from marked link to marked link, as they stand.", "42"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionChain>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionChain::name>("name", "Name.", "bank 1"),
      field<&MotionChain::belt>("belt", "A toothed belt.", "false"),
      field<&MotionChain::pitch_mm>("pitch_mm", "Pitch.", "8"),
      field<&MotionChain::links>("links", "Links, or teeth of a belt.", "122", kCount),
      field<&MotionChain::pitches_per_turn>("pitches_per_turn",
                                            "Travelled in one turn of the crankshaft.", "20"),
      field<&MotionChain::first_pin>("first_pin",
                                     "Where pin 0 stands, in pitches along the way; pin i stands "
                                     "i further.",
                                     "4.5"),
      field<&MotionChain::way>("way",
                               "In running direction from where it comes to its driving wheel; "
                               "the pitches add up to the links.",
                               "", kAlways),
      field<&MotionChain::marked>("marked", "Marked links.", "", kAlways),
      field<&MotionChain::strands>("strands", "In running direction.", "", kAlways),
      field<&MotionChain::links_return>(
          "links_return", "Crank turns until its links stand on the driving wheel as they did.",
          "61"),
      field<&MotionChain::links_marks_return>(
          "links_marks_return", "Crank turns until they do together with every sprocket mark.",
          "122"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionArc>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionArc::name>("name", "Name.", "tight guide"),
      field<&MotionArc::x_mm>("x_mm", "Center.", "-310"),
      field<&MotionArc::y_mm>("y_mm", "Center.", "120"),
      field<&MotionArc::radius_mm>("radius_mm", "Where the pins run.", "400"),
      field<&MotionArc::from_deg>("from_deg", "From here clockwise.", "60"),
      field<&MotionArc::to_deg>("to_deg", "To here.", "85"),
      field<&MotionArc::touched>("touched", "The chain runs on it.", "true"),
      field<&MotionArc::pivot_x_mm>("pivot_x_mm", "Pivot of an arm.", "60"),
      field<&MotionArc::pivot_y_mm>("pivot_y_mm", "Pivot of an arm.", "210"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MotionPlunger>::fields() {
  static const FieldInfo kFields[] = {
      field<&MotionPlunger::name>("name", "Name.", "bank 1 / tensioner"),
      field<&MotionPlunger::x_mm>("x_mm", "Its base.", "90"),
      field<&MotionPlunger::y_mm>("y_mm", "Its base.", "80"),
      field<&MotionPlunger::points_deg>("points_deg", "Clock angle that it pushes to.", "270"),
      field<&MotionPlunger::extension_mm>("extension_mm", "How far it is out.", "7.5"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Motion>::fields() {
  static const FieldInfo kFields[] = {
      field<&Motion::title>("title", "Of the drive.", "Vessgarth V6-12"),
      field<&Motion::invented>("invented", "An invented engine, not for real work.", "true"),
      field<&Motion::to_scale>("to_scale", "No: places are made up, counts are true.", "true"),
      field<&Motion::view>("view", "From where.", "seen from the front"),
      field<&Motion::clockwise>("clockwise", "Running direction of the crankshaft.", "true"),
      field<&Motion::is_direction_known>(
          "is_direction_known", "No: it is not in the drive, clockwise was taken.", "true"),
      field<&Motion::backwards>("backwards", "What holds for turning the engine backwards.",
                                "Never backwards, not even a little."),
      field<&Motion::marks_return>("marks_return", "When marks and marked links return.",
                                   "The sprocket marks stand right again every 2 crank turns.",
                                   kMayLack),
      field<&Motion::wheels>("wheels", "Wheels, the crankshaft's first.", "", kAlways),
      field<&Motion::chains>("chains", "Chains and belts.", "", kAlways),
      field<&Motion::arcs>("arcs", "Guides and arms.", "", kAlways),
      field<&Motion::plungers>("plungers", "Tensioners.", "", kAlways),
      field<&Motion::notes>("notes", "What was assumed or left out.", "", kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DecodedMark>::fields() {
  static const FieldInfo kFields[] = {
      field<&DecodedMark::time_s>("time_s", "On the recording's own clock.", "1.25"),
      field<&DecodedMark::angle_deg>("angle_deg", "Crank angle, inside the cycle.", "412.5"),
      field<&DecodedMark::channel>("channel", "From 1, the time column excluded.", "2", kCount),
      field<&DecodedMark::place>(
          "place", "Tooth of the crank's turn, or place of a cam's edge, from 0; -1: fits nowhere.",
          "3"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DecodedMarks>::fields() {
  static const FieldInfo kFields[] = {
      field<&DecodedMarks::from>("from", "s, as asked.", "0"),
      field<&DecodedMarks::to>("to", "s, as asked.", "0.5"),
      field<&DecodedMarks::found>("found", "How many there are.", "240", kCount),
      field<&DecodedMarks::marks>(
          "marks", "All of them by time; none when there are more than asked.", "", kAlways),
  };
  return kFields;
}

}  // namespace tautmark
