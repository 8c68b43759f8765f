// SPDX-License-Identifier: Apache-2.0
// The fields of a case file, written down once.
#include "casework/case_fields.h"

namespace tautmark {
namespace {
constexpr FieldOptions kPositiveOnly{.bounds = kPositive};
constexpr FieldOptions kApart{.apart = true};
constexpr FieldOptions kPositiveApart{.bounds = kPositive, .apart = true};
constexpr FieldOptions kCount{.bounds = between(1, 100000)};
}  // namespace

std::span<const FieldInfo> Description<Instrument>::fields() {
  static const FieldInfo kFields[] = {
      field<&Instrument::name>("name", "Name by which entries speak of it.", "micrometer A"),
      field<&Instrument::type>("type",
                               "Kind, from the program's list, where its own data are not known: "
                               "micrometer 0.01, caliper, "
                               "bore gauge, dial indicator, plastic strip, ruler, unknown ...",
                               "micrometer 0.01"),
      field<&Instrument::resolution>("resolution", "Smallest step that is read.", "0.001 mm"),
      field<&Instrument::uncertainty>(
          "uncertainty", "Expanded uncertainty (k = 2), from its certificate.", "0.003 mm"),
      field<&Instrument::range>("range", "Marked range, of a torque wrench.", "5..25 N·m"),
      field<&Instrument::calibrated>("calibrated", "Date of the last calibration.", "2026-01-15"),
      field<&Instrument::certificate>("certificate", "Certificate.", "no. 17 of the shop"),
      field<&Instrument::note>("note", "Remark.", "zero checked before and after"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<EngineId>::fields() {
  static const FieldInfo kFields[] = {
      field<&EngineId::serial>("serial", "Serial number.", "V6-104417"),
      field<&EngineId::built>("built", "Build date or code.", "spring 2016"),
      field<&EngineId::distance>("distance", "Distance run.", "146000 km", kPositiveOnly),
      field<&EngineId::hours>("hours", "Running time.", "5200 h", kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Complaint>::fields() {
  static const FieldInfo kFields[] = {
      field<&Complaint::words>("words", "The words.", "knocks like a loose tappet at hot idle"),
      field<&Complaint::when>("when", "When it happens.", "hot idle, not above 1100 1/min"),
      field<&Complaint::since>("since", "Since when.", "three weeks after the last repair"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Identification>::fields() {
  static const FieldInfo kFields[] = {
      field<&Identification::variant>("variant", "Name of the drive.", "vessgarth-v6-12"),
      field<&Identification::how>("how", "What was looked at.", "cast letter beside the cover"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<EngineState>::fields() {
  static const FieldInfo kFields[] = {
      field<&EngineState::apart>("apart", "Is the engine apart?", "partly"),
      field<&EngineState::apart_by>("apart_by", "By whom.", "another shop"),
      field<&EngineState::turned>("turned", "Has anyone turned it since, and how?",
                                  "by hand in running direction"),
      field<&EngineState::chain>("chain", "Chain on or off.", "on"),
      field<&EngineState::pin>("pin", "Tensioner pin in or out.", "in"),
      field<&EngineState::phaser>("phaser", "Phaser locked.", "locked"),
      field<&EngineState::phaser_checked_how>(
          "phaser_checked_how",
          "How that was checked: does not move by hand, both ways; lock tool fitted and engages; "
          "maker's lock check done. No other words prove it.",
          "does not move by hand, both ways"),
      field<&EngineState::crank_at>("crank_at", "Where the crankshaft stands.",
                                    "at the casting arrow"),
      field<&EngineState::crank_proven_how>("crank_proven_how", "How that was proven.",
                                            "positive stop"),
      field<&EngineState::valves>("valves",
                                  "What works the valves: the camshafts; or every valve closed, "
                                  "every follower out or every cap loosened.",
                                  "worked by camshafts"),
      field<&EngineState::resistance>("resistance", "Resistance felt when it was turned.", "false"),
      field<&EngineState::dropped>("dropped",
                                   "Something dropped into the chain case and not found.", "false"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PreviousWork>::fields() {
  static const FieldInfo kFields[] = {
      field<&PreviousWork::words>("words", "What.", "bank 2 phaser replaced"),
      field<&PreviousWork::by>("done_by", "By whom.", "another shop"),
      field<&PreviousWork::when>("when", "When.", "4 months ago"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<OilFound>::fields() {
  static const FieldInfo kFields[] = {
      field<&OilFound::grade>("grade", "Grade, by label or invoice.", "5W-30"),
      field<&OilFound::level>("level", "Level.", "mid"),
      field<&OilFound::smell>("smell", "Smell, foam.", "no fuel smell"),
      field<&OilFound::distance_since_change>("distance_since_change",
                                              "Distance since the last change; 0 km: changed now.",
                                              "4000 km", {.bounds = Bounds{0}}),
      field<&OilFound::viscosity_40>("viscosity_40", "A laboratory's viscosity at 40 degC.",
                                     "58.0 ± 0.6 mm²/s"),
      field<&OilFound::viscosity_100>("viscosity_100", "A laboratory's viscosity at 100 degC.",
                                      "9.0 ± 0.1 mm²/s"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Codes>::fields() {
  static const FieldInfo kFields[] = {
      field<&Codes::codes>("codes", "The codes.", "[P0021]"),
      field<&Codes::none_stored>("none_stored",
                                 "Read, and no code was stored: then instead of codes.", "true",
                                 {.apart = true}),
      field<&Codes::read_from>("read_from", "The control units that were read.",
                               "[engine, transmission]"),
      field<&Codes::when>("when", "When they were read, as to clearing, start and warm-up.",
                          "before anything was cleared, engine cold"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Observation>::fields() {
  static const FieldInfo kFields[] = {
      field<&Observation::place>("place", "Where.", "bank 2 chain / tensioner"),
      field<&Observation::aspect>("aspect", "What was looked at.", "ratchet"),
      field<&Observation::condition>("condition", "How it was found.", "sound"),
      field<&Observation::words>("words", "In words.", "pawl tip whole, holds at every tooth"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Reading>::fields() {
  static const FieldInfo kFields[] = {
      field<&Reading::quantity>("quantity", "What was measured.", "journal diameter"),
      field<&Reading::place>("place", "Where.", "bank 2 / camshaft / journal 1"),
      field<&Reading::direction>("direction", "Direction of the diameter.", "vertical"),
      field<&Reading::section>("section", "Position along the axis.", "front"),
      field<&Reading::values>("values", "The readings one by one, unit once at the end.",
                              "27.957 27.958 27.956 mm"),
      field<&Reading::value>("value",
                             "Or the mean as it was reported, with ± if that was reported.",
                             "27.957 ± 0.005 mm", kApart),
      field<&Reading::count>("count", "How many readings the reported mean is of.", "6",
                             {.bounds = between(1, 100000), .apart = true}),
      field<&Reading::passes>("passes", "Or go / no-go: this blade passes.", "0.20 mm", kApart),
      field<&Reading::stops>("stops", "And this one does not.", "0.28 mm", kApart),
      field<&Reading::instrument>(
          "instrument",
          "The instrument, by its name in this case, or a type of the program's list.",
          "micrometer A"),
      field<&Reading::temperature>("temperature", "Temperature of the part.", "21 degC"),
      field<&Reading::instrument_temperature>(
          "instrument_temperature", "Temperature of the instrument, where it differs.", "22 degC"),
      field<&Reading::cap>("cap", "Bores: how the cap was fitted.", "torqued", kApart),
      field<&Reading::links>("links", "Chain length: over how many links.", "40",
                             {.bounds = between(2, 100000), .apart = true}),
      field<&Reading::radius>("radius", "Lock play on the rim: at this radius.", "50 mm",
                              kPositiveApart),
      field<&Reading::drop>("drop", "Sink time: over this way.", "2 mm", kPositiveApart),
      field<&Reading::force>("force", "Sink time: under this force.", "60 N", kPositiveApart),
      field<&Reading::limit>("limit", "Its own limit, where no drive gives one.",
                             "at least 27.950 mm"),
      field<&Reading::applies_to>(
          "applies_to", "Whether that limit means the mean or the worst direction.", "mean"),
      field<&Reading::limit_source>("limit_source", "Where that limit comes from.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PressureReading>::fields() {
  static const FieldInfo kFields[] = {
      field<&PressureReading::place>("place", "The port.", "main gallery"),
      field<&PressureReading::values>("values", "The readings.", "184 186 185 kPa"),
      field<&PressureReading::speed>("speed", "Engine speed.", "650 1/min"),
      field<&PressureReading::oil_temperature>("oil_temperature", "Oil temperature.", "95 degC"),
      field<&PressureReading::oil>("oil", "Whether the specified grade was in the engine.",
                                   "as specified"),
      field<&PressureReading::rise>(
          "rise", "How long it took to rise, from the first turn of the crank.", "4 s"),
      field<&PressureReading::instrument>("instrument", "The gauge.", "pressure gauge"),
      field<&PressureReading::thermometer>("thermometer", "The thermometer.", "thermometer"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<SprocketMark>::fields() {
  static const FieldInfo kFields[] = {
      field<&SprocketMark::at>("at", "The sprocket, as the drive names it.", "bank 1 / camshaft"),
      field<&SprocketMark::stands>(
          "stands",
          "In words: right; 1 tooth late; a tooth and a half left; about half a tooth; at 2 "
          "o'clock; half a turn away; cannot see; paint gone.",
          "1 tooth late"),
      field<&SprocketMark::against>(
          "against",
          "Against the mark on the casting, or against the marked link: marked links come back "
          "only after many turns.",
          "casting"),
      field<&SprocketMark::link>("link",
                                 "Number of the link under it, links numbered on in running "
                                 "direction from any one.",
                                 "62", kCount),
  };
  return kFields;
}

std::span<const FieldInfo> Description<MarksSeen>::fields() {
  static const FieldInfo kFields[] = {
      field<&MarksSeen::chain>("chain", "The chain.", "bank 1 chain"),
      field<&MarksSeen::counted>("counted",
                                 "What was counted between two marked teeth: pitches from one to "
                                 "the other, links with both marked links, or only those between.",
                                 "pitches"),
      field<&MarksSeen::strands>("strands", "The counts, strand by strand, in running direction.",
                                 ""),
      field<&MarksSeen::sprockets>("sprockets", "How the sprocket marks stand.", ""),
      field<&MarksSeen::seen_from>("seen_from", "From which end it was seen.", "front"),
      field<&MarksSeen::settled>("settled",
                                 "Whether it was turned two turns forward, tensioner released, "
                                 "before it was read.",
                                 "true"),
      field<&MarksSeen::phaser>("phaser", "Phasers locked, checked by hand.", "locked"),
      field<&MarksSeen::links_found>(
          "links_found", "Marked links as found, where this chain shows another pattern.",
          "one copper link at each end"),
      field<&MarksSeen::paint>("paint", "Own paint marks and where they were set.",
                               "white on link and tooth, both sprockets"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<StopReading>::fields() {
  static const FieldInfo kFields[] = {
      field<&StopReading::cylinder>("cylinder", "In which cylinder the stop was.", "1", kCount),
      field<&StopReading::before>(
          "before", "The wheel before its zero, stop by stop: how many degrees.", "24.5 deg crank"),
      field<&StopReading::after>("after", "And after its zero, in the same order.",
                                 "22.1 deg crank"),
      field<&StopReading::reading>("reading", "Uncertainty of one reading of the wheel (k = 2).",
                                   "0.5 deg crank", kPositiveOnly),
      field<&StopReading::stop>("stop",
                                "How well the piston comes back to the same place on it (k = 2).",
                                "0.1 mm", kPositiveApart),
      field<&StopReading::pressed_up>("pressed_up",
                                      "Whether the piston was pressed up against it on both sides: "
                                      "the play of the bearings then drops out.",
                                      "true"),
      field<&StopReading::wheel_set>("wheel_set",
                                     "Whether the wheel was set after it, so that both sides read "
                                     "alike.",
                                     "true"),
      field<&StopReading::instrument>("instrument", "The wheel.", "degree wheel"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<EqualLift>::fields() {
  static const FieldInfo kFields[] = {
      field<&EqualLift::lift>("lift", "The lift.", "6.00 mm", kPositiveOnly),
      field<&EqualLift::opens>("opens",
                               "Where the valve opens through it, after the top dead center of gas "
                               "exchange; before it negative.",
                               "70.6 deg crank"),
      field<&EqualLift::closes>("closes", "And where it closes through it.", "174.4 deg crank"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<LiftSeen>::fields() {
  static const FieldInfo kFields[] = {
      field<&LiftSeen::at>("at",
                           "The wheel, after the top dead center of gas exchange; before it "
                           "negative.",
                           "60 deg crank"),
      field<&LiftSeen::lift>("lift", "The indicator.", "4.31 mm"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<IndicatorReading>::fields() {
  static const FieldInfo kFields[] = {
      field<&IndicatorReading::place>("place", "The camshaft.", "bank 1 / camshaft"),
      field<&IndicatorReading::valves>(
          "valves", "Which valves, of a camshaft that works both kinds.", "intake"),
      field<&IndicatorReading::cylinder>("cylinder", "Of which cylinder.", "1", kCount),
      field<&IndicatorReading::pairs>("pairs", "Pairs of equal lift.", ""),
      field<&IndicatorReading::table>("table", "Or lift by lift over the whole lobe.", ""),
      field<&IndicatorReading::top>("top",
                                    "Uncertainty of the wheel's zero (k = 2), from the stop.",
                                    "0.4 deg crank", kPositiveOnly),
      field<&IndicatorReading::forward_only>(
          "forward_only", "Whether every reading was taken turning forward.", "true"),
      field<&IndicatorReading::phaser>("phaser", "Its phaser locked.", "locked"),
      field<&IndicatorReading::phaser_checked_how>("phaser_checked_how", "How that was checked.",
                                                   "does not move by hand, both ways"),
      field<&IndicatorReading::as_lobe>(
          "as_lobe",
          "Whether the table is this engine's own lift from now on: taken with the timing proven "
          "right.",
          "true", kApart),
      field<&IndicatorReading::instrument>("instrument", "The indicator.", "dial indicator"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ValveGap>::fields() {
  static const FieldInfo kFields[] = {
      field<&ValveGap::place>("place", "The camshaft.", "bank 1 / camshaft"),
      field<&ValveGap::valves>("valves", "Which valves, of a camshaft that works both kinds.",
                               "intake"),
      field<&ValveGap::cylinder>("cylinder", "In which cylinder.", "1", kCount),
      field<&ValveGap::gap>("gap",
                            "The gap along the valve, valve shut and piston at its top, with its "
                            "uncertainty.",
                            "5.1 ± 0.2 mm"),
      field<&ValveGap::how>("how",
                            "By soft clay on the piston under a light checking spring, or by "
                            "pushing the valve down against an indicator.",
                            "soft clay"),
      field<&ValveGap::instrument>("instrument", "With what it was measured.", "caliper"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CamStanding>::fields() {
  static const FieldInfo kFields[] = {
      field<&CamStanding::at>("at", "The camshaft.", "bank 1 / camshaft"),
      field<&CamStanding::stands>(
          "stands", "In words, against where it belongs: right; 2 teeth late; 1 tooth early.",
          "2 teeth late"),
      field<&CamStanding::within>("within",
                                  "How far it can be off besides whole teeth, either way: wear, "
                                  "slack.",
                                  "3 deg crank", kPositiveOnly),
      field<&CamStanding::phaser>("phaser", "Its phaser locked.", "locked"),
      field<&CamStanding::phaser_checked_how>("phaser_checked_how", "How that was checked.",
                                              "does not move by hand, both ways"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Standing>::fields() {
  static const FieldInfo kFields[] = {
      field<&Standing::crank>("crank",
                              "The crankshaft, in running direction after a top dead center of "
                              "cylinder 1, with its uncertainty.",
                              "75 ± 1 deg crank"),
      field<&Standing::after>("after",
                              "Which top dead center that is: firing, all valves of cylinder 1 "
                              "shut, or gas exchange.",
                              "firing"),
      field<&Standing::crank_proof>(
          "crank_proof", "What that rests on. A damper mark or sprocket marks do not prove it.",
          "positive stop"),
      field<&Standing::camshafts>("camshafts", "Each camshaft.", ""),
      field<&Standing::wanted>("wanted",
                               "Where the crankshaft should stand, every camshaft right; left out: "
                               "where it is.",
                               "0 deg crank"),
      field<&Standing::wanted_after>("wanted_after", "After which top dead center.", "firing"),
      field<&Standing::since_jump>(
          "since_jump", "How it was turned since the timing was off: not; by hand; cranked; ran.",
          "turned by hand"),
      field<&Standing::valves_straight>(
          "valves_straight",
          "What says that the valves are straight: a leak-down test, a borescope; or that nobody "
          "looked.",
          "borescope"),
      field<&Standing::adjusters>(
          "adjusters", "Lash adjusters: none that oil fills (solid), bled down, or pumped up.",
          "bled down"),
      field<&Standing::surfaced>("surfaced", "Whether head or block was ever surfaced.", "false"),
      field<&Standing::other_parts>(
          "other_parts", "Whether gasket, pistons, valves or camshafts are other than the maker's.",
          "false"),
      field<&Standing::in_cylinders>("in_cylinders", "Whether anything lies in a cylinder.",
                                     "false"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<TorqueTrace>::fields() {
  static const FieldInfo kFields[] = {
      field<&TorqueTrace::fastener>("fastener", "A fastener of the drive, by name.", "phaser bolt"),
      field<&TorqueTrace::bank>("bank", "Its bank.", "2", kCount),
      field<&TorqueTrace::bolt>("bolt", "Which of them, from 1.", "2", kCount),
      field<&TorqueTrace::file>("file", "The trace, inside the case folder.", "traces/bolt-2.csv"),
      field<&TorqueTrace::sha256>("sha256", "Its SHA-256 sum, when it was entered.",
                                  "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f0"
                                  "0a08"),
      field<&TorqueTrace::instrument>("instrument", "The wrench, by name.", "electronic wrench"),
      field<&TorqueTrace::step>("step", "Which of its steps, from 1; left out: all of them.", "2",
                                kCount),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PartEntry>::fields() {
  static const FieldInfo kFields[] = {
      field<&PartEntry::part>("part", "The part.", "phaser"),
      field<&PartEntry::action>("action", "What was done.", "ordered"),
      field<&PartEntry::bank>("bank", "Its bank.", "2", kCount),
      field<&PartEntry::count>("count", "How many.", "1", kCount),
      field<&PartEntry::reason>("reason", "Why.", "ran starved"),
      field<&PartEntry::beside_old>("beside_old",
                                    "What is the same on old and new, one laid beside the other.",
                                    "[links, marks]"),
      field<&PartEntry::differs>("differs",
                                 "What is not the same on old and new, one laid beside the other.",
                                 "[feed hole]"),
      field<&PartEntry::found>("found", "Of an opened set: what lay in the box, piece by piece.",
                               "[chain of 124 links, tensioner arm]"),
      field<&PartEntry::edition>("edition", "The set's edition, as printed on the box.", "B"),
      field<&PartEntry::date>("date", "Its date, as printed on the box.", "2026-01-15"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ChannelHint>::fields() {
  static const FieldInfo kFields[] = {
      field<&ChannelHint::channel>("channel", "Counted from 1, the time column excluded.", "2",
                                   {.bounds = between(1, 64)}),
      field<&ChannelHint::is>("is", "crank, a camshaft, or not used.", "bank 2 / camshaft"),
  };
  return kFields;
}
std::span<const FieldInfo> Description<TypedEdge>::fields() {
  static const FieldInfo kFields[] = {
      field<&TypedEdge::cam>("cam", "The camshaft.", "bank 2 / camshaft"),
      field<&TypedEdge::values>("values",
                                "Degrees after the first tooth behind the gap, cycle by cycle.",
                                "117.3 117.5 117.2 deg crank"),
      field<&TypedEdge::edge>("edge", "Which edge, of the recorded voltage.", "rising"),
  };
  return kFields;
}
std::span<const FieldInfo> Description<SensorRecording>::fields() {
  static const FieldInfo kFields[] = {
      field<&SensorRecording::file>("file", "The recording, inside the case folder.",
                                    "recordings/before.csv"),
      field<&SensorRecording::sha256>("sha256", "Its SHA-256 sum, when it was entered.",
                                      "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f0"
                                      "0a08"),
      field<&SensorRecording::channels>("channels",
                                        "Which channel is what; what is not said is found.",
                                        "{channel: 1, is: crank}"),
      field<&SensorRecording::edges>("edges", "Edges read off a screen instead of a file.", "",
                                     kApart),
      field<&SensorRecording::phasers>("phasers",
                                       "Where the phasers stood: at their base, as they are "
                                       "locked without command, or commanded; or that the engine "
                                       "has none.",
                                       "base"),
      field<&SensorRecording::phasers_checked_how>("phasers_checked_how", "How that was known.",
                                                   "actuators unplugged, cold start"),
      field<&SensorRecording::commanded>("commanded", "The commanded angle, if it was constant.",
                                         "10 deg crank", kApart),
      field<&SensorRecording::command_log>("command_log",
                                           "Commanded angle against time, inside the case folder.",
                                           "recordings/command.csv", kApart),
      field<&SensorRecording::command_positive>(
          "command_positive", "Which way its angles grow: scan tools differ.", "early", kApart),
      field<&SensorRecording::command_degrees>("command_degrees",
                                               "Whether they are crank or cam "
                                               "degrees.",
                                               "crank", kApart),
      field<&SensorRecording::engine>("engine", "Cranking without start, idle, or running.",
                                      "cranking"),
      field<&SensorRecording::speed>("speed", "Engine speed, if it was read.", "230 1/min"),
      field<&SensorRecording::oil_temperature>("oil_temperature", "Oil temperature.", "20 degC"),
  };
  return kFields;
}
std::span<const FieldInfo> Description<PhaseSamples>::fields() {
  static const FieldInfo kFields[] = {
      field<&PhaseSamples::place>("place", "The camshaft.", "bank 2 / camshaft"),
      field<&PhaseSamples::commanded>("commanded", "The command, constant meanwhile.",
                                      "10.0 deg crank"),
      field<&PhaseSamples::actual>("actual", "The actual angle, sample by sample.",
                                   "7.1 12.4 9.0 5.6 11.8 deg crank"),
      field<&PhaseSamples::mean>("mean", "Or as reported: the mean.", "9.2 deg crank", kApart),
      field<&PhaseSamples::sd>("sd", "The standard deviation.", "2.65 deg crank", kPositiveApart),
      field<&PhaseSamples::peak_to_peak>("peak_to_peak", "Largest less smallest.", "7.4 deg crank",
                                         kPositiveApart),
      field<&PhaseSamples::count>("count", "Of how many samples.", "10",
                                  {.bounds = between(2, 1000000), .apart = true}),
      field<&PhaseSamples::speed>("speed", "Engine speed.", "650 1/min"),
      field<&PhaseSamples::oil_temperature>("oil_temperature", "Oil temperature.", "95 degC"),
  };
  return kFields;
}
std::span<const FieldInfo> Description<Attachment>::fields() {
  static const FieldInfo kFields[] = {
      field<&Attachment::file>("file", "The file, inside the case folder.",
                               "photos/marks-bank-2.jpg"),
      field<&Attachment::shows>("shows", "What it shows.",
                                "marks of bank 2 before the chain was moved"),
      field<&Attachment::place>("place", "Where it was taken.", "bank 2 chain"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<StepDone>::fields() {
  static const FieldInfo kFields[] = {
      field<&StepDone::step>("step", "The step.", "tensioner pinned"),
      field<&StepDone::late>("late", "Entered later than done.", "true"),
      field<&StepDone::second_name>("second_name", "Who saw it as the second person.",
                                    "second technician"),
      field<&StepDone::shown_by>("shown_by", "Entries that show it: a reading, marks, a photo.",
                                 "[e12]"),
      field<&StepDone::fasteners>("fasteners", "How many fasteners were ticked one by one.", "10",
                                  FieldOptions{.bounds = between(0, 1000)}),
      field<&StepDone::interrupted>("interrupted",
                                    "It was interrupted, as where an angle was lost.", "true"),
      field<&StepDone::against_gate>("against_gate",
                                     "Why a gate was passed though its condition is open.",
                                     "cover needed to move the vehicle"),
      field<&StepDone::allowed_by>("allowed_by", "Who allowed that.", "foreman"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PersonDecision>::fields() {
  static const FieldInfo kFields[] = {
      field<&PersonDecision::about>("about", "About what.", "bank 2 phaser"),
      field<&PersonDecision::decided>("decided", "What was decided.", "replace"),
      field<&PersonDecision::reason>("reason", "Why.", "ran starved, play at 90 % of the limit"),
      field<&PersonDecision::name>("name", "Who decided.", "foreman"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<QuickAnswer>::fields() {
  static const FieldInfo kFields[] = {
      field<&QuickAnswer::question>("question", "The question.", "chain over 40 links"),
      field<&QuickAnswer::asked>("asked", "What was given.", "[length 320.90 mm]"),
      field<&QuickAnswer::answer>("answer", "The answer.", "[elongation 0.28 %]"),
      field<&QuickAnswer::forbids>("forbids", "What was said that forbids turning, one clause.",
                                   "a camshaft is off: 2 teeth late"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Note>::fields() {
  static const FieldInfo kFields[] = {
      field<&Note::words>("words", "The words.", "customer waits"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Entry>::fields() {
  static const FieldInfo kFields[] = {
      field<&Entry::id>("id", "Name of the entry in this case.", "e17"),
      field<&Entry::at>("at", "When.", "2026-03-02T10:15"),
      field<&Entry::by>("by", "Who.", "bay 3"),
      field<&Entry::replaces>("replaces", "The earlier entry that this one corrects.", "e1",
                              kApart),
      field<&Entry::remark>("remark", "Remark.", "second try after cleaning"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<Case>::fields() {
  static const FieldInfo kFields[] = {
      field<&Case::tautmark>("tautmark", "Format and version; always the first line.", "case/1"),
      field<&Case::name>("name", "Short name.", "vessgarth-bay3"),
      field<&Case::title>("title", "Title.", "Vessgarth, bay 3"),
      field<&Case::invented>("invented", "An invented case, not for real work.", "true"),
      field<&Case::drive>("drive", "The drive, by name, or a file beside the case.",
                          "vessgarth-v6-12"),
      field<&Case::candidates>("candidates",
                               "Or several variants, until an identification decides.",
                               "[vessgarth-v6-12, vessgarth-v6-12b]", kApart),
      field<&Case::decimal_sign>("decimal_sign", "Decimal sign of this file.", "point"),
      field<&Case::engine>("engine", "The engine.", ""),
      field<&Case::instruments>("instruments", "Instruments used.", ""),
      field<&Case::entries>("entries", "Entries in order of time.", ""),
  };
  return kFields;
}

}  // namespace tautmark
