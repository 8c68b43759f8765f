// SPDX-License-Identifier: Apache-2.0
// The fields of a drive file, written down once.
#include "drive/drive_fields.h"

namespace tautmark {
namespace {
constexpr FieldOptions kPositiveOnly{.bounds = kPositive};
constexpr FieldOptions kApart{.apart = true};
constexpr FieldOptions range(double lower, double upper) {
  return {.bounds = between(lower, upper)};
}
constexpr FieldOptions bites(std::string_view topic) { return {.topic = topic}; }
constexpr FieldOptions bites(std::string_view topic, double lower, double upper) {
  return {.bounds = between(lower, upper), .topic = topic};
}
constexpr FieldOptions bites_positive(std::string_view topic) {
  return {.bounds = kPositive, .topic = topic};
}
}  // namespace

std::span<const FieldInfo> Description<SourceRef>::fields() {
  static const FieldInfo kFields[] = {
      field<&SourceRef::origin>("origin", "Who says so. Only maker and shop can carry a pass.",
                                "maker"),
      field<&SourceRef::document>("document", "Title of the document.",
                                  "workshop manual, engine volume"),
      field<&SourceRef::edition>("edition", "Edition or date.", "3rd edition"),
      field<&SourceRef::page>("page", "Page or section.", "p. 41"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Covers>::fields() {
  static const FieldInfo kFields[] = {
      field<&Covers::displacement>("displacement", "Displacement, as it is spoken of.", "2.0 L"),
      field<&Covers::valves_per_cylinder>("valves_per_cylinder", "Valves of one cylinder.", "4",
                                          range(1, 8)),
      field<&Covers::years>("years", "Years or build dates.", "from spring 2015"),
      field<&Covers::serials>("serials", "Serial number range.", "up to 1 200 000"),
      field<&Covers::note>("note", "Anything else that limits what is covered.",
                           "not the marine version"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Cylinders>::fields() {
  static const FieldInfo kFields[] = {
      field<&Cylinders::count>("count", "Number of cylinders.", "4", range(1, 64)),
      field<&Cylinders::layout>("layout", "Arrangement of the cylinders.", "in line"),
      field<&Cylinders::bank_angle>("bank_angle", "Angle between the banks.", "60 deg", kApart),
      field<&Cylinders::bore>("bore", "Cylinder bore.", "84.0 mm", kPositiveOnly),
      field<&Cylinders::stroke>("stroke", "Stroke.", "90.0 mm", kPositiveOnly),
      field<&Cylinders::rod>("rod", "Connecting rod, center to center.", "143 mm", kPositiveOnly),
      field<&Cylinders::pin_offset>("pin_offset",
                                    "Piston pin offset, towards the major thrust side.", "0.5 mm"),
      field<&Cylinders::firing_order>("firing_order", "Firing order, by cylinder number.",
                                      "[1, 3, 4, 2]"),
      field<&Cylinders::fires_at>("fires_at",
                                  "When each of them fires, in that order, from the first one's "
                                  "firing dead center.",
                                  "[0 deg crank, 180 deg crank, 360 deg crank, 540 deg crank]"),
      field<&Cylinders::compression_ratio>("compression_ratio",
                                           "Compression ratio; 10.5 to 1 is 10.5 :1.", "10.5 :1",
                                           {.bounds = between(1.5, 40), .apart = true}),
      field<&Cylinders::compression>("compression",
                                     "What a compression test of a sound engine shows: warm, "
                                     "throttle open.",
                                     "1350 kPa", {.bounds = kPositive, .apart = true}),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CrankSprocket>::fields() {
  static const FieldInfo kFields[] = {
      field<&CrankSprocket::chain>("chain", "The chain on it; needed where there are several.",
                                   "bank 1 chain"),
      field<&CrankSprocket::teeth>("teeth", "Number of teeth.", "21", range(5, 400)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CrankSensor>::fields() {
  static const FieldInfo kFields[] = {
      field<&CrankSensor::wheel>("wheel",
                                 "Its teeth: 60-2 is 60 even places, two of them empty side by "
                                 "side; 24 has no gap.",
                                 "36-1"),
      field<&CrankSensor::edge>("edge",
                                "Which edge of a tooth counts, of the recorded voltage; of an "
                                "inductive sensor the crossing in the middle of the tooth.",
                                "falling"),
      field<&CrankSensor::kind>(
          "kind", "hall, or a coil: its crossing lies in the middle of the tooth.", "hall"),
      field<&CrankSensor::gap>("gap",
                               "Level of the recorded voltage in the gap: tells an inverted "
                               "signal, which moves every angle by the width of a tooth.",
                               "low"),
      field<&CrankSensor::first_tooth>("first_tooth",
                                       "Crank angle, from firing top dead center of cylinder 1, at "
                                       "which the first tooth after the largest gap passes.",
                                       "60 deg crank",
                                       range(-720 * kRadiansPerDegree, 720 * kRadiansPerDegree)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<SensorEdge>::fields() {
  static const FieldInfo kFields[] = {
      field<&SensorEdge::at>("at",
                             "Crank degrees after the first tooth behind the largest gap of the "
                             "crank's wheel; the cycle has 720.",
                             "52.0 deg crank", range(0, 720 * kRadiansPerDegree)),
      field<&SensorEdge::edge>("edge", "Which edge, of the recorded voltage.", "rising"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CamSensor>::fields() {
  static const FieldInfo kFields[] = {
      field<&CamSensor::wheel>("wheel", "Its teeth, in words.", "4 even teeth and one more"),
      field<&CamSensor::edges>("edges",
                               "Where its edges are when everything is right, the phaser at its "
                               "base. The first of them is the one that people speak of.",
                               "{at: 52.0 deg crank, edge: rising}", bites(topic::kSensorEdges)),
      field<&CamSensor::window>("window", "How far an edge may be off to either side.",
                                "3.0 deg crank", kPositiveOnly),
      field<&CamSensor::spread>("spread",
                                "Standard deviation of these edges from one good engine to the "
                                "next; 0.5 degrees is taken when nothing is known.",
                                "0.4 deg crank", kPositiveOnly),
      field<&CamSensor::engines>("engines", "Learned from so many engines known to be good.", "3",
                                 {.bounds = between(1, 100000), .apart = true}),
      field<&CamSensor::learned_with>("learned_with", "The state in which they were recorded.",
                                      "phaser locked, warm idle", kApart),
      field<&CamSensor::vouched_by>("vouched_by", "Who says that these engines are good, and why.",
                                    "second line: link counts and marks proven", kApart),
      field<&CamSensor::source>("source", "Where the edges and the window come from.",
                                "workshop manual, p. 63"),
      field<&CamSensor::cross_checked_by>("cross_checked_by", "Who read them a second time.",
                                          "second reader, 2026-03-02"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Crankshaft>::fields() {
  static const FieldInfo kFields[] = {
      field<&Crankshaft::rotation>("rotation", "Running direction.", "clockwise",
                                   bites(topic::kRotation)),
      field<&Crankshaft::seen_from>("seen_from", "The end from which the direction is meant.",
                                    "front"),
      field<&Crankshaft::sprockets>("sprockets", "Sprockets on the crankshaft.", ""),
      field<&Crankshaft::mark>("mark", "How its timing mark looks and where it points.",
                               "dot, at the casting arrow", bites(topic::kMarks)),
      field<&Crankshaft::marks_at>("marks_at",
                                   "Crank angle at which every mark stands right, counted from "
                                   "firing top dead center of cylinder 1.",
                                   "0 deg crank"),
      field<&Crankshaft::key>("key",
                              "Where the keyway stands then: degrees clockwise from straight up, "
                              "seen from the front.",
                              "0 deg"),
      field<&Crankshaft::sensor>("sensor", "Its sensor wheel.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Strand>::fields() {
  static const FieldInfo kFields[] = {
      field<&Strand::from>("from", "Marked sprocket where the count starts.", "crank"),
      field<&Strand::to>("to", "Marked sprocket where the count ends.", "bank 1 / camshaft"),
      field<&Strand::links>("links", "The count; see `counted` for what was counted.", "60",
                            bites(topic::kLinkCounts, 1, 100000)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ChainMark>::fields() {
  static const FieldInfo kFields[] = {
      field<&ChainMark::at>("at", "The marked sprocket.", "bank 1 / intake camshaft"),
      field<&ChainMark::links>("links",
                               "How many links side by side are marked for it. Counts go to the "
                               "one of them that leads in running direction.",
                               "2", bites(topic::kMarks, 1, 9)),
      field<&ChainMark::color>("color", "Color or sign of these links.", "copper"),
      field<&ChainMark::on>("sits",
                            "Whether the sprocket's mark is on a tooth, or in a gap that two "
                            "marked links straddle.",
                            "tooth", bites(topic::kMarks)),
      field<&ChainMark::mark>("mark", "How the sprocket's mark looks.", "dot"),
      field<&ChainMark::clock>("clock",
                               "Where it stands with the crank at marks_at: degrees clockwise "
                               "from straight up, seen from the front.",
                               "0 deg"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PathPart>::fields() {
  static const FieldInfo kFields[] = {
      field<&PathPart::name>("name", "A sprocket's place, an idler, a guide, a pump.",
                             "bank 1 / intake camshaft"),
      field<&PathPart::kind>("kind", "What it is; a toothed pulley of a belt is a sprocket.",
                             "sprocket"),
      field<&PathPart::x>("x", "Center, to the right of the crankshaft, seen from the front.",
                          "-62 mm"),
      field<&PathPart::y>("y", "Center, above the crankshaft.", "362 mm"),
      field<&PathPart::runs>("runs",
                             "Whether it lies inside the loop, or outside, where the back of the "
                             "chain runs on it.",
                             "outside"),
      field<&PathPart::teeth>("teeth", "Teeth of a sprocket that is named nowhere else.", "24",
                              range(5, 400)),
      field<&PathPart::radius>("radius",
                               "Guide, arm, pulley: radius of the chain's pin line, that is the "
                               "face and half a link plate.",
                               "250 mm", kPositiveOnly),
      field<&PathPart::from>("from", "Clock angle of one end of its face, from its center.",
                             "250 deg"),
      field<&PathPart::to>("to", "Clock angle of the other end, clockwise from the first.",
                           "290 deg"),
      field<&PathPart::pivot_x>("pivot_x", "Pivot of the arm, to the right of the crankshaft.",
                                "-50 mm"),
      field<&PathPart::pivot_y>("pivot_y", "Pivot of the arm, above the crankshaft.", "40 mm"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PlungerAt>::fields() {
  static const FieldInfo kFields[] = {
      field<&PlungerAt::base_x>("base_x", "Where its face stands at stroke 0.", "-56 mm"),
      field<&PlungerAt::base_y>("base_y", "Where its face stands at stroke 0.", "150 mm"),
      field<&PlungerAt::points>("points",
                                "Where it travels to: degrees clockwise from straight up, seen "
                                "from the front.",
                                "90 deg"),
      field<&PlungerAt::pad_x>("pad_x", "Center of the round pad on the arm, arm as in the path.",
                               "-44 mm"),
      field<&PlungerAt::pad_y>("pad_y", "Center of the round pad on the arm.", "150 mm"),
      field<&PlungerAt::pad_radius>("pad_radius", "Radius of the pad.", "6 mm", kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Guide>::fields() {
  static const FieldInfo kFields[] = {
      field<&Guide::name>("name", "Name of the guide or arm.", "fixed guide"),
      field<&Guide::side>("side", "The strand that it guides.", "tight strand"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Tensioner>::fields() {
  static const FieldInfo kFields[] = {
      field<&Tensioner::stroke>("stroke", "Full stroke of the plunger.", "15 mm", kPositiveOnly),
      field<&Tensioner::ratchet_step>("ratchet_step", "Stroke of one ratchet tooth.", "1.5 mm",
                                      kPositiveOnly),
      field<&Tensioner::side>("side", "The side on which it stands.", "outboard",
                              bites(topic::kTensionerSide)),
      field<&Tensioner::recognise>("recognise", "How to tell it from the other bank's.",
                                   "feed hole at 2 o'clock"),
      field<&Tensioner::plunger>("plunger", "Where it stands, for the drawing and the stroke.", ""),
      field<&Tensioner::plunger_diameter>("plunger_diameter", "Of one that oil feeds.", "14 mm",
                                          kPositiveOnly),
      field<&Tensioner::plunger_clearance>("plunger_clearance",
                                           "Bore less plunger, when new (diametral).", "0.040 mm",
                                           kPositiveOnly),
      field<&Tensioner::plunger_guided>("plunger_guided", "Length of the plunger in its bore.",
                                        "20 mm", kPositiveOnly),
      field<&Tensioner::spring>("spring", "Force of its spring, plunger where it works.", "60 N",
                                kPositiveOnly),
      field<&Tensioner::feed_hole>("feed_hole", "Diameter of the hole that feeds it.", "1.0 mm",
                                   kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Chain>::fields() {
  static const FieldInfo kFields[] = {
      field<&Chain::name>("name", "Name by which the case speaks of it.", "bank 1 chain"),
      field<&Chain::bank>("bank", "The bank that it drives, if it drives one.", "1", range(1, 8)),
      field<&Chain::type>("type", "Kind of chain or belt.", "bush"),
      field<&Chain::standard>("standard", "Standard and size.", "ISO 606, 05B"),
      field<&Chain::pitch>("pitch", "Distance from pin to pin.", "8.00 mm",
                           bites_positive(topic::kChainPitch)),
      field<&Chain::links>("links", "Links of the whole chain, counted as pitches.", "124",
                           bites(topic::kChainLinks, 3, 100000)),
      field<&Chain::counted>("counted",
                             "What the strand counts are: pitches from marked tooth to "
                             "marked tooth, links with both marks, or links between the marks.",
                             "pitches"),
      field<&Chain::strands>("strands", "Link counts between marks, in running direction.",
                             "{from: bank 1 / intake camshaft, to: crank, links: 64}"),
      field<&Chain::marked_links>("marked_links", "Which links are marked, and how.",
                                  "one copper link at the crank, two at the phaser",
                                  bites(topic::kMarks)),
      field<&Chain::marks>("marks", "Marked sprockets with their marked links.",
                           "{at: crank, links: 1, color: copper}"),
      field<&Chain::tensioner>("tensioner", "Its tensioner.", ""),
      field<&Chain::guides>("guides", "Its guides and its tensioner arm.", ""),
      field<&Chain::path>("path",
                          "Where everything lies that it runs around, in running direction from "
                          "the driving sprocket on.",
                          "", kApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Idler>::fields() {
  static const FieldInfo kFields[] = {
      field<&Idler::name>("name", "Name of the shaft.", "idler"),
      field<&Idler::driven_by>("driven_by", "The chain that drives it.", "primary chain"),
      field<&Idler::teeth_in>("teeth_in", "Teeth under that chain.", "40", range(5, 400)),
      field<&Idler::drives>("drives", "The chain that it drives.", "secondary chain"),
      field<&Idler::teeth_out>("teeth_out", "Teeth under that chain.", "20", range(5, 400)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<GearPair>::fields() {
  static const FieldInfo kFields[] = {
      field<&GearPair::driver>("driver", "The driving shaft.", "crank"),
      field<&GearPair::driver_teeth>("driver_teeth", "Its teeth.", "30", range(5, 400)),
      field<&GearPair::driven>("driven", "The driven shaft.", "bank 1 / intake camshaft"),
      field<&GearPair::driven_teeth>("driven_teeth", "Its teeth.", "60", range(5, 400)),
      field<&GearPair::backlash>("backlash", "Play between the teeth, at the pitch line.",
                                 "0.08 mm", kPositiveOnly),
      field<&GearPair::radius>("radius", "Pitch radius of the driven gear.", "60 mm",
                               kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Phaser>::fields() {
  static const FieldInfo kFields[] = {
      field<&Phaser::base>("base", "Where its lock pin engages.", "full advance",
                           bites(topic::kPhaserBase)),
      field<&Phaser::range>("range", "Full travel in crank degrees.", "50 deg crank",
                            kPositiveOnly),
      field<&Phaser::base_check>("base_check", "How to see that it is locked.",
                                 "does not move by hand, both ways"),
      field<&Phaser::vanes>("vanes", "Vanes of one moved by oil pressure.", "4", range(1, 12)),
      field<&Phaser::vane_inner>("vane_inner", "Radius at the foot of a vane.", "22 mm",
                                 kPositiveOnly),
      field<&Phaser::vane_outer>("vane_outer", "Radius at its tip.", "38 mm", kPositiveOnly),
      field<&Phaser::vane_width>("vane_width", "Its width along the axis.", "20 mm", kPositiveOnly),
      field<&Phaser::cam_torque>("cam_torque",
                                 "Torque the camshaft needs at hot idle, mean of a turn; it "
                                 "retards.",
                                 "2.0 ± 0.5 N·m"),
      field<&Phaser::bias_spring>(
          "bias_spring", "Torque of a spring in it; positive where it advances.", "0.5 ± 0.1 N·m"),
      field<&Phaser::friction>("friction", "Torque of its seals and faces, against every motion.",
                               "0.3 ± 0.1 N·m"),
      field<&Phaser::cam_torque_swing>("cam_torque_swing",
                                       "Half from the lowest to the highest torque of a turn.",
                                       "8 N·m", {.bounds = kPositive, .apart = true}),
      field<&Phaser::control_band>("control_band",
                                   "What its control lets it drift before it acts, end to end.",
                                   "1.0 deg crank", {.bounds = kPositive, .apart = true}),
      field<&Phaser::control_delay>("control_delay",
                                    "From there until oil flows: control and valve.", "60 ms",
                                    {.bounds = between(0, 1), .apart = true}),
      field<&Phaser::pin_diameter>("pin_diameter", "Diameter of its lock pin.", "6 mm",
                                   kPositiveOnly),
      field<&Phaser::pin_force>("pin_force", "Force of the pin's spring, pin drawn back.",
                                "2.8 ± 0.3 N"),
      field<&Phaser::pin_lifted_by>("pin_lifted_by", "The oil that lifts the pin.", "advance",
                                    kApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<LiftPoint>::fields() {
  static const FieldInfo kFields[] = {
      field<&LiftPoint::at>("at", "Crank angle of the cycle of its cylinder; 360 is gas exchange.",
                            "470 deg crank"),
      field<&LiftPoint::lift>("lift", "Lift there.", "9.50 mm"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Lobe>::fields() {
  static const FieldInfo kFields[] = {
      field<&Lobe::law>("law", "Law of the lift, where there is no table.", "harmonic", kApart),
      field<&Lobe::lift>("lift", "Highest lift.", "9.5 mm", {.bounds = kPositive, .apart = true}),
      field<&Lobe::duration>("duration", "Of the law: from seat to seat.", "250 deg crank",
                             {.bounds = kPositive, .apart = true}),
      field<&Lobe::center>("center",
                           "Of the law: highest lift, crank angle of the cycle of its cylinder, "
                           "phaser at base; 360 is gas exchange.",
                           "482 deg crank", kApart),
      field<&Lobe::table>("table", "Lift against crank angle, instead of the law.", ""),
      field<&Lobe::of>("of", "Whose lift it is.", "valve"),
      field<&Lobe::ratio>("ratio", "Rocker: lift of the valve to that of the cam.", "1.6 :1",
                          {.bounds = kPositive, .apart = true}),
      field<&Lobe::lash>("lash", "Lash at the valve; 0 with adjusters that take it up.", "0.20 mm",
                         {.bounds = between(0, 0.01), .apart = true}),
      field<&Lobe::uncertainty>("uncertainty", "Of a lift, either way, 95 %.", "0.05 mm",
                                {.bounds = between(0, 0.01)}),
      field<&Lobe::source>("source", "Where it comes from.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Valves>::fields() {
  static const FieldInfo kFields[] = {
      field<&Valves::name>("name", "Intake or exhaust.", "intake"),
      field<&Valves::lobe>("lobe", "Lift of the valve.", ""),
      field<&Valves::angle>("angle", "Angle of the valve's axis to the bore.", "18 deg"),
      field<&Valves::head_diameter>("head_diameter", "Diameter of its head.", "31.0 mm",
                                    kPositiveOnly),
      field<&Valves::head_thickness>("head_thickness", "Height of the rim of its head.", "1.5 mm",
                                     kPositiveOnly),
      field<&Valves::gap_at_top>("gap_at_top",
                                 "Gap along the valve's axis to the piston, valve shut, piston at "
                                 "its top, with its uncertainty.",
                                 "5.04 ± 0.05 mm"),
      field<&Valves::crown>("crown", "Whether the piston has pockets for the valves.", "pockets"),
      field<&Valves::pocket_diameter>("pocket_diameter", "Diameter of the pocket.", "36.0 mm",
                                      kPositiveOnly),
      field<&Valves::pocket_depth>("pocket_depth", "Height of its wall, along the valve's axis.",
                                   "2.0 mm", {.bounds = between(0, 0.1)}),
      field<&Valves::pocket_along>("pocket_along",
                                   "Its center from that of the head, valve shut and piston at "
                                   "its top, towards where the head goes as the piston falls.",
                                   "0.4 mm"),
      field<&Valves::pocket_aside>("pocket_aside", "The same, along the crankshaft.", "0 mm"),
      field<&Valves::from_axis>("from_axis",
                                "From the axis of the cylinder to the center of the head, valve "
                                "shut.",
                                "18.6 mm"),
      field<&Valves::above_deck>("above_deck", "Center of the head above the deck, valve shut.",
                                 "9 mm"),
      field<&Valves::margin>("margin", "Least gap wanted to piston and pocket.", "1.0 mm",
                             kPositiveOnly),
      field<&Valves::margin_between>("margin_between", "Least gap wanted to the other valve.",
                                     "1.0 mm", kPositiveOnly),
      field<&Valves::pocket_uncertainty>(
          "pocket_uncertainty",
          "Uncertainty of the room beside the head in its pocket (k = 2); left out: that of the "
          "gap.",
          "0.2 mm", {.bounds = kPositive, .apart = true}),
      field<&Valves::between_uncertainty>(
          "between_uncertainty",
          "Uncertainty of the way to the other valve (k = 2); left out: that of the gap.", "0.2 mm",
          {.bounds = kPositive, .apart = true}),
      field<&Valves::spring_shut>("spring_shut", "Force of its springs, valve shut.", "250 N",
                                  kPositiveOnly),
      field<&Valves::spring_open>("spring_open", "Force of its springs at the highest lift.",
                                  "520 N", kPositiveOnly),
      field<&Valves::source>("source", "Where this comes from.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Camshaft>::fields() {
  static const FieldInfo kFields[] = {
      field<&Camshaft::name>("name", "Name in its bank.", "intake camshaft"),
      field<&Camshaft::chain>("chain", "The chain that drives it; needed where there are several.",
                              "bank 1 chain"),
      field<&Camshaft::sprocket_teeth>("sprocket_teeth", "Teeth of its sprocket.", "42",
                                       range(5, 400)),
      field<&Camshaft::journals>("journals", "Number of journals, counted from the timing end.",
                                 "5", range(1, 40)),
      field<&Camshaft::material>("material", "Material, for thermal growth.", "steel"),
      field<&Camshaft::phaser>("phaser", "Its phaser; leave out if it has none.", ""),
      field<&Camshaft::sensor>("sensor", "Its sensor wheel.", ""),
      field<&Camshaft::valves>("valves", "Valves that it works, each kind for itself.", "",
                               bites(topic::kValves)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Bank>::fields() {
  static const FieldInfo kFields[] = {
      field<&Bank::number>("number", "1 holds cylinder 1.", "1", range(1, 8)),
      field<&Bank::side>("side", "Left or right, from the end named in seen_from.", "right"),
      field<&Bank::seen_from>("seen_from", "The end from which left and right are meant.",
                              "flywheel end"),
      field<&Bank::cylinders>("cylinders", "Cylinders of this bank.", "[1, 2, 3, 4]"),
      field<&Bank::head_material>("head_material", "Material of head and caps, for thermal growth.",
                                  "aluminium"),
      field<&Bank::camshafts>("camshafts", "Camshafts of this bank.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Fit>::fields() {
  static const FieldInfo kFields[] = {
      field<&Fit::quantity>("quantity", "What is limited.", "journal diameter"),
      field<&Fit::at>("at",
                      "Where: a place, or every journal, every camshaft, bank 2 / every journal.",
                      "every journal"),
      field<&Fit::new_range>("new", "Range of a new part.", "27.960..27.980 mm"),
      field<&Fit::service>("service", "Limit for a used part.", "at least 27.950 mm"),
      field<&Fit::applies_to>("applies_to",
                              "Whether the limit means the mean of all readings or the "
                              "worst direction.",
                              "mean"),
      field<&Fit::links>("links", "Chain length: over how many links.", "40",
                         {.bounds = between(2, 100000), .apart = true}),
      field<&Fit::drop>("drop", "Sink time: for this way.", "2 mm",
                        {.bounds = kPositive, .apart = true}),
      field<&Fit::force>("force", "Sink time: under this force.", "60 N",
                         {.bounds = kPositive, .apart = true}),
      field<&Fit::speed>("speed", "Phase: with the engine at this speed.", "650 ± 50 1/min",
                         kApart),
      field<&Fit::oil_temperature>("oil_temperature", "Phase: with the oil at this temperature.",
                                   "at least 90 degC", kApart),
      field<&Fit::measure>("measure", "Where and how it is measured.",
                           "two directions, cap torqued"),
      field<&Fit::source>("source", "Where this limit comes from, if not from the file's source.",
                          "workshop manual, p. 41"),
      field<&Fit::cross_checked_by>("cross_checked_by", "Who read the number a second time.",
                                    "second reader, 2026-03-02"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PressureLimit>::fields() {
  static const FieldInfo kFields[] = {
      field<&PressureLimit::at>("at",
                                "The port: main gallery, bank 1 / head port, every head port.",
                                "bank 1 / head port"),
      field<&PressureLimit::limit>("limit", "The limit.", "at least 140 kPa"),
      field<&PressureLimit::speed>("speed", "At this speed; the limit says nothing at another.",
                                   "650 ± 25 1/min"),
      field<&PressureLimit::oil_temperature>("oil_temperature", "With the oil at this temperature.",
                                             "at least 90 degC"),
      field<&PressureLimit::source>("source", "Where this limit comes from.",
                                    "workshop manual, p. 12"),
      field<&PressureLimit::cross_checked_by>(
          "cross_checked_by", "Who read the number a second time.", "second reader, 2026-03-02"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<OilPort>::fields() {
  static const FieldInfo kFields[] = {
      field<&OilPort::name>("name", "Name of the port.", "head port"),
      field<&OilPort::bank>("bank", "Its bank, if each bank has one.", "1", range(1, 8)),
  };
  return kFields;
}

// Bounds: what no engine has, wide on purpose (own judgement): slips of a unit or of a digit.
std::span<const FieldInfo> Description<OilElement>::fields() {
  static const FieldInfo kFields[] = {
      field<&OilElement::name>("name", "Name of this way.", "head feed, bank 2"),
      field<&OilElement::kind>("kind", "What the oil goes through.", "hole"),
      field<&OilElement::from>("from",
                               "Where it comes from: a port, a chamber of a phaser, or any name "
                               "that another element has; left out: the sump.",
                               "main gallery"),
      field<&OilElement::to>("to", "Where it goes; left out: the sump.", "bank 2 / head port"),
      field<&OilElement::count>("count", "How many alike, side by side.", "5", range(1, 200)),
      field<&OilElement::journal>("journal",
                                  "The journal whose measured clearance stands for `clearance`.",
                                  "bank 2 / camshaft / journal 1"),
      field<&OilElement::diameter>("diameter", "Of the journal, the plunger or the hole.",
                                   "32.0 mm", range(0.05e-3, 0.5)),
      field<&OilElement::clearance>("clearance", "Bore less journal, cold; of a slot: its height.",
                                    "0.060 mm", {.bounds = between(1e-6, 5e-3), .apart = true}),
      field<&OilElement::land>("land",
                               "Length of the gap along the flow; of a bearing fed through a "
                               "hole: its own.",
                               "9 mm", range(0.05e-3, 0.5)),
      field<&OilElement::lands>("lands", "Of how many gaps of one journal the oil leaves.", "2",
                                range(1, 8)),
      field<&OilElement::width>("width", "Of a slot, across the flow.", "12 mm", range(0.05e-3, 2)),
      field<&OilElement::feed_hole>("feed_hole", "Of a bearing: the hole that feeds it.", "4 mm",
                                    range(0.05e-3, 0.1)),
      field<&OilElement::eccentricity>(
          "eccentricity", "Offset of the axes to the radial clearance.", "0.7 :1", range(0, 1)),
      field<&OilElement::film>("film",
                               "Viscosity in the gap to that in the gallery: a loaded bearing is "
                               "hotter.",
                               "60 %", {.bounds = between(0.05, 1), .apart = true}),
      field<&OilElement::coefficient>("coefficient", "Discharge coefficient of a hole.", "0.7 :1",
                                      {.bounds = between(0.05, 1), .apart = true}),
      field<&OilElement::blocked>("blocked", "Share of a hole or screen that is shut.", "30 %",
                                  {.bounds = between(0, 1), .apart = true}),
      field<&OilElement::opens>("opens", "Pressure at which a relief or check valve opens.",
                                "400 kPa", kPositiveOnly),
      field<&OilElement::flow>("flow", "What a relief valve or a screen passes at `full_at`.",
                               "12 L/min", kPositiveOnly),
      field<&OilElement::full_at>("full_at",
                                  "Pressure for `flow`; of a screen: the pressure lost in it.",
                                  "500 kPa", kPositiveOnly),
      field<&OilElement::viscosity>("viscosity",
                                    "Of a screen: of the oil with which it passed `flow`.",
                                    "20 mPa·s", range(1e-3, 10)),
      field<&OilElement::per_turn>("per_turn", "What a pump moves in one turn of the crankshaft.",
                                   "22 cm³", range(0.1e-6, 2e-3)),
      field<&OilElement::slip>("slip",
                               "Of a pump: this, by pressure over viscosity, flows back in it.",
                               "0.005 mm³", {.bounds = between(1e-15, 1e-9), .apart = true}),
      field<&OilElement::uncertainty>("uncertainty",
                                      "Of what it lets through, as a factor either way, 95 %: 50 % "
                                      "is 1.5 times more or less.",
                                      "50 %", {.bounds = between(0, 20), .apart = true}),
      field<&OilElement::alike>("alike", "Elements with this word are off together.", "head feed",
                                kApart),
      field<&OilElement::source>("source", "Where it comes from.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Oil>::fields() {
  static const FieldInfo kFields[] = {
      field<&Oil::grade>("grade", "Specified grade; pressure limits hold with it only.", "5W-30"),
      field<&Oil::fill>("fill", "Filling with filter.", "6.0 L", kPositiveOnly),
      field<&Oil::ports>("ports", "Places where a gauge can be fitted.", ""),
      field<&Oil::pressures>("pressures", "Pressure limits with their conditions.", ""),
      field<&Oil::relief_opens>("relief_opens", "Gauge pressure at which the relief valve opens.",
                                "400 kPa", kPositiveOnly),
      field<&Oil::controlled_pump>("controlled_pump",
                                   "Whether the pump is controlled: a gauge then shows what is "
                                   "wanted, not what leaks.",
                                   "false", kApart),
      field<&Oil::piston_jets>("piston_jets", "Whether jets cool the pistons.", "false", kApart),
      field<&Oil::jets_open>("jets_open", "Gauge pressure at which they open.", "180 kPa",
                             kPositiveOnly),
      field<&Oil::network>("network", "The ways of the oil, for what a wide clearance does.", "",
                           kApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<TighteningStep>::fields() {
  static const FieldInfo kFields[] = {
      field<&TighteningStep::torque>("torque", "Tightening torque.", "35 N·m",
                                     bites_positive(topic::kTorques)),
      field<&TighteningStep::angle>("angle", "Further angle.", "75 deg",
                                    bites_positive(topic::kTorques)),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Fastener>::fields() {
  static const FieldInfo kFields[] = {
      field<&Fastener::name>("name", "What it holds.", "phaser bolt"),
      field<&Fastener::bank>("bank", "Its bank, where the banks differ.", "1", range(1, 8)),
      field<&Fastener::thread>("thread", "Thread.", "M12x1.25"),
      field<&Fastener::strength_class>("class", "Strength class.", "10.9"),
      field<&Fastener::count>("count", "How many.", "2", range(1, 1000)),
      field<&Fastener::condition>("condition", "Dry, oiled, threadlocker.", "threads oiled"),
      field<&Fastener::clamped_length>("clamped_length",
                                       "From under its head to the first thread that holds.",
                                       "40 mm", kPositiveOnly),
      field<&Fastener::free_thread>("free_thread", "Of this, how much is thread.", "20 mm",
                                    kPositiveOnly),
      field<&Fastener::clamped_width>("clamped_width", "Outer diameter of what it clamps.", "25 mm",
                                      kPositiveOnly),
      field<&Fastener::clamps>("clamps", "What that is made of.", "aluminium"),
      field<&Fastener::into>("into", "What its thread is cut in.", "aluminium"),
      field<&Fastener::steps>("steps", "Tightening steps in order.", ""),
      field<&Fastener::pattern>("pattern", "How several stand; the order is drawn from it.",
                                "two rows"),
      field<&Fastener::order>("order",
                              "The maker's order, numbered from 1; it comes before one "
                              "drawn from the pattern.",
                              "[5, 2, 1, 6, 3, 4]"),
      field<&Fastener::restart>("restart", "The maker's rule where a step was interrupted.",
                                "loosen fully, begin at the first step"),
      field<&Fastener::single_use>("single_use", "Whether it is used once only.", "yes",
                                   bites(topic::kSingleUse)),
      field<&Fastener::to_yield>("to_yield", "Whether its angle is meant to draw it past yield.",
                                 "yes", bites(topic::kSingleUse)),
      field<&Fastener::longest>("longest", "Free length up to which it may go in again.", "60.5 mm",
                                kPositiveOnly),
      field<&Fastener::thinnest>("thinnest", "Smallest diameter at which it may go in again.",
                                 "9.7 mm", kPositiveOnly),
      field<&Fastener::note>("note", "Caution or remark.", "hold the camshaft at its flats"),
      field<&Fastener::source>("source", "Where these steps come from.", "workshop manual, p. 55"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PartSet>::fields() {
  static const FieldInfo kFields[] = {
      field<&PartSet::name>("name", "Name of the part or set.", "bank 1 chain set"),
      field<&PartSet::bank>("bank", "The bank that it fits, if only one.", "1", range(1, 8)),
      field<&PartSet::count>("count",
                             "How many are needed; of one that goes with others, for each of them.",
                             "1", range(1, 200)),
      field<&PartSet::holds>("holds", "What is in it.", "[chain, tensioner, two guides]"),
      field<&PartSet::does_not_hold>("does_not_hold", "What one would expect in it and is not.",
                                     "[phaser bolt]"),
      field<&PartSet::single_use>("single_use", "Whether it is used once only.", "yes",
                                  bites(topic::kSingleUse)),
      field<&PartSet::goes_with>("goes_with",
                                 "Parts with which it is changed, and without which it is not.",
                                 "[cylinder head]"),
      field<&PartSet::edition>("edition", "Edition of this list, as printed on the box.", "B"),
      field<&PartSet::date>("date", "Date of the edition.", "2026-01-15"),
      field<&PartSet::note>("note", "Remark.", "the tensioners of the banks differ"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Tightens>::fields() {
  static const FieldInfo kFields[] = {
      field<&Tightens::fastener>("fastener", "A fastener of this file, by name.", "phaser bolt"),
      field<&Tightens::steps>("steps",
                              "Its tightening steps, written a second time: both must agree.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ProcedureStep>::fields() {
  static const FieldInfo kFields[] = {
      field<&ProcedureStep::name>("name", "Name of the step, unlike any other.",
                                  "take the covers off"),
      field<&ProcedureStep::what>(
          "what",
          "What is done, in one or two sentences. A variant may leave it out in a step that it "
          "takes over from its base.",
          "Cam covers off, bolts bagged by position.", {.required = false}),
      field<&ProcedureStep::stage>("stage", "Stage of the work.", "open up"),
      field<&ProcedureStep::bank>("bank", "The bank that it is done on, if only one.", "1",
                                  range(1, 8)),
      field<&ProcedureStep::if_decided>(
          "if_decided",
          "A part. The step is done where that part is entered as rejected, ordered or fitted, "
          "and left out where it is reused.",
          "cylinder head", kApart),
      field<&ProcedureStep::needs>("needs", "What must hold before it.", "[covers on]"),
      field<&ProcedureStep::gives>("gives", "What holds after it.", "[covers off]"),
      field<&ProcedureStep::ends>("ends", "What holds no more after it.", "[covers on]"),
      field<&ProcedureStep::gate>("gate", "A gate: what must be shown before the work goes on.",
                                  "photo"),
      field<&ProcedureStep::turns>("turns", "It turns the crankshaft by hand, this far.",
                                   "two turns", kApart),
      field<&ProcedureStep::tightens>("tightens", "The fasteners that it tightens.", ""),
      field<&ProcedureStep::fits>("fits", "The parts that it puts in.", "[phaser bolt]"),
      field<&ProcedureStep::within>("within", "Time that it may take, as of a sealant.", "10 min",
                                    kPositiveOnly),
      field<&ProcedureStep::since>("since", "The step from which that time counts.",
                                   "put the sealant on", kApart),
      field<&ProcedureStep::why>("why", "Why.", "the marks are seen only then"),
      field<&ProcedureStep::cautions>("cautions", "What can hurt someone or break something.",
                                      "[the plunger jumps out]"),
      field<&ProcedureStep::source>("source", "Where this step comes from.",
                                    "workshop manual, p. 60"),
      field<&ProcedureStep::after>(
          "after",
          "In a variant: it stands behind this step, be it new or taken over. A new one without it "
          "comes last.",
          "take the spark plugs out", kApart),
      field<&ProcedureStep::remove>("remove", "In a variant: the base's step of this name goes.",
                                    "true", kApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Drive>::fields() {
  static const FieldInfo kFields[] = {
      field<&Drive::tautmark>("tautmark", "Format and version; always the first line.", "drive/1"),
      field<&Drive::name>("name", "Short name; the file is <name>.drive.yaml.", "sample-four"),
      field<&Drive::title>("title", "Name as it is spoken.", "Sample four"),
      field<&Drive::invented>("invented", "An invented engine, not for real work.", "true"),
      field<&Drive::based_on>("based_on", "Another drive; this file lists only what differs.",
                              "vessgarth-v6-12", kApart),
      field<&Drive::confirms>(
          "confirms",
          "What this variant confirms to be the same as in its base: "
          "chain pitch, chain links, link counts, marks, phaser base, tensioner "
          "side, rotation, torques, single use, sensor edges.",
          "[rotation, torques]", kApart),
      field<&Drive::revision>("revision", "Revision of this definition.", "1"),
      field<&Drive::source>("source", "Where the numbers come from.", ""),
      field<&Drive::checked_by>("checked_by",
                                "Who compared it with the source; leave out if nobody did.",
                                "second reader, 2026-03-02"),
      field<&Drive::decimal_sign>("decimal_sign", "Decimal sign of this file.", "point"),
      field<&Drive::covers>("covers", "What the definition covers.", ""),
      field<&Drive::recognise>("recognise", "How to tell this variant on the engine.",
                               "[cast letter B beside the cover]"),
      field<&Drive::cylinders>("cylinders", "Cylinders.", ""),
      field<&Drive::crankshaft>("crankshaft", "Crankshaft.", ""),
      field<&Drive::chains>("chains", "Chains and belts.", ""),
      field<&Drive::idlers>("idlers", "Intermediate shafts between two chains.", "", kApart),
      field<&Drive::gears>("gears", "Gears in mesh: the driven shaft turns against the driver.", "",
                           kApart),
      field<&Drive::banks>("banks", "Banks with their camshafts; an in-line engine has bank 1.",
                           ""),
      field<&Drive::fits>("fits", "Limits of everything that is measured.", ""),
      field<&Drive::oil>("oil", "Oil and oil pressure.", ""),
      field<&Drive::fasteners>("fasteners", "Fasteners with their tightening steps.", ""),
      field<&Drive::parts>("parts", "Parts and sets.", ""),
      field<&Drive::procedure>("procedure", "The work step by step.", ""),
      field<&Drive::note>("note", "Remarks.", "read from a paper copy"),
  };
  return kFields;
}

}  // namespace tautmark
