// SPDX-License-Identifier: Apache-2.0
// Descriptions of the structs in case.h; the fields themselves are listed in case_fields.cc.
#pragma once

#include "base/fields.h"
#include "casework/case.h"
#include "drive/drive_fields.h"

namespace tautmark {

template <>
struct ChoiceNames<YesNo> {
  static constexpr std::string_view names[] = {"no", "yes", "partly", "unknown"};
};
template <>
struct ChoiceNames<Turned> {
  static constexpr std::string_view names[] = {"no", "by hand in running direction",
                                               "by hand backwards", "by starter", "unknown"};
};
template <>
struct ChoiceNames<OnOff> {
  static constexpr std::string_view names[] = {"on", "off", "unknown"};
};
template <>
struct ChoiceNames<InOut> {
  static constexpr std::string_view names[] = {"in", "out", "unknown"};
};
template <>
struct ChoiceNames<Locked> {
  static constexpr std::string_view names[] = {"locked", "not locked", "unknown"};
};
template <>
struct ChoiceNames<ValvesNow> {
  static constexpr std::string_view names[] = {"worked by camshafts", "followers out",
                                               "caps loosened", "unknown"};
};
template <>
struct ChoiceNames<Condition> {
  static constexpr std::string_view names[] = {"sound", "worn", "damaged", "missing", "unknown"};
};
template <>
struct ChoiceNames<CapState> {
  static constexpr std::string_view names[] = {"torqued", "hand tight", "off", "unknown"};
};
template <>
struct ChoiceNames<PartAction> {
  static constexpr std::string_view names[] = {"ordered",  "fitted",       "reused",
                                               "rejected", "old one kept", "in the box"};
};
template <>
struct ChoiceNames<BesideOld> {
  static constexpr std::string_view names[] = {"links", "teeth", "marks", "feed hole",
                                               "plunger side"};
};
template <>
struct ChoiceNames<OilState> {
  static constexpr std::string_view names[] = {"as specified", "other", "unknown"};
};
template <>
struct ChoiceNames<MarkAgainst> {
  static constexpr std::string_view names[] = {"casting", "link"};
};
template <>
struct ChoiceNames<PhasersAt> {
  static constexpr std::string_view names[] = {"base", "commanded", "none fitted", "unknown"};
};
template <>
struct ChoiceNames<PositiveIs> {
  static constexpr std::string_view names[] = {"early", "late"};
};
template <>
struct ChoiceNames<DegreesOf> {
  static constexpr std::string_view names[] = {"crank", "cam"};
};
template <>
struct ChoiceNames<EngineRuns> {
  static constexpr std::string_view names[] = {"cranking", "idle", "running"};
};

template <>
struct ChoiceNames<CycleTop> {
  static constexpr std::string_view names[] = {"firing", "gas exchange", "unknown"};
};
template <>
struct ChoiceNames<CrankProof> {
  static constexpr std::string_view names[] = {"positive stop", "damper mark", "marks", "other"};
};
template <>
struct ChoiceNames<SinceJump> {
  static constexpr std::string_view names[] = {"not turned", "turned by hand", "cranked", "ran",
                                               "unknown"};
};
template <>
struct ChoiceNames<StraightBy> {
  static constexpr std::string_view names[] = {"leak-down", "borescope", "not looked"};
};
template <>
struct ChoiceNames<Adjusters> {
  static constexpr std::string_view names[] = {"solid", "bled down", "pumped up", "unknown"};
};
template <>
struct ChoiceNames<GapBy> {
  static constexpr std::string_view names[] = {"soft clay", "pushed down"};
};

template <>
struct Description<Instrument> {
  static constexpr std::string_view name = "instrument";
  static constexpr std::string_view help = "A measuring instrument.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<EngineId> {
  static constexpr std::string_view name = "engine";
  static constexpr std::string_view help = "The engine in the case.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Complaint> {
  static constexpr std::string_view name = "complaint";
  static constexpr std::string_view help = "What the customer says, in the customer's words.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Identification> {
  static constexpr std::string_view name = "identification";
  static constexpr std::string_view help = "Which variant it is, and how that was seen.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<EngineState> {
  static constexpr std::string_view name = "state";
  static constexpr std::string_view help =
      "The state of the engine now; what is not known is left out.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PreviousWork> {
  static constexpr std::string_view name = "previous work";
  static constexpr std::string_view help = "What was done before.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<OilFound> {
  static constexpr std::string_view name = "oil";
  static constexpr std::string_view help = "The oil found in the engine.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Codes> {
  static constexpr std::string_view name = "codes";
  static constexpr std::string_view help =
      "Trouble codes read before anything was cleared, or that none was stored.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Observation> {
  static constexpr std::string_view name = "observation";
  static constexpr std::string_view help = "What was seen or felt.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Reading> {
  static constexpr std::string_view name = "reading";
  static constexpr std::string_view help = "Readings of one quantity at one place.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PressureReading> {
  static constexpr std::string_view name = "pressure";
  static constexpr std::string_view help = "Oil pressure by a gauge, with its conditions.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<ChannelHint> {
  static constexpr std::string_view name = "channel";
  static constexpr std::string_view help = "What one channel of the recording is.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<TypedEdge> {
  static constexpr std::string_view name = "edge";
  static constexpr std::string_view help = "One edge of a camshaft's sensor, read off a screen.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<SensorRecording> {
  static constexpr std::string_view name = "recording";
  static constexpr std::string_view help =
      "Crank and cam sensors recorded together: a file, or edges read off a screen.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PhaseSamples> {
  static constexpr std::string_view name = "scan";
  static constexpr std::string_view help =
      "Actual cam phase at one command, from scan data: sample by sample, or as reported.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<SprocketMark> {
  static constexpr std::string_view name = "mark";
  static constexpr std::string_view help = "How the mark of one sprocket stands.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<MarksSeen> {
  static constexpr std::string_view name = "marks";
  static constexpr std::string_view help =
      "Links counted between the marks of one chain, and how its sprocket marks stand.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<StopReading> {
  static constexpr std::string_view name = "stop";
  static constexpr std::string_view help =
      "The degree wheel read at both sides of a positive stop in the plug hole.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<EqualLift> {
  static constexpr std::string_view name = "equal lift";
  static constexpr std::string_view help = "Opening and closing of a valve through one lift.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<LiftSeen> {
  static constexpr std::string_view name = "lift";
  static constexpr std::string_view help = "One reading of the indicator.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<IndicatorReading> {
  static constexpr std::string_view name = "indicator";
  static constexpr std::string_view help =
      "Lift of a valve by a dial indicator against the degree wheel: pairs of equal lift, or a "
      "table.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<ValveGap> {
  static constexpr std::string_view name = "valve gap";
  static constexpr std::string_view help =
      "Gap of valve to piston measured on this engine, valve shut, piston at its top.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<CamStanding> {
  static constexpr std::string_view name = "camshaft standing";
  static constexpr std::string_view help = "How one camshaft stands against the crankshaft.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Standing> {
  static constexpr std::string_view name = "standing";
  static constexpr std::string_view help =
      "Where crankshaft and camshafts stand now, for the way to where they should.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<TorqueTrace> {
  static constexpr std::string_view name = "torque trace";
  static constexpr std::string_view help =
      "Torque over angle while one bolt was tightened, as a file of the wrench.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PartEntry> {
  static constexpr std::string_view name = "part";
  static constexpr std::string_view help =
      "A part ordered, found in the opened box, fitted, reused or kept.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Attachment> {
  static constexpr std::string_view name = "attachment";
  static constexpr std::string_view help = "A photo, a recording or another file beside the case.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<StepDone> {
  static constexpr std::string_view name = "step";
  static constexpr std::string_view help = "A step of the work that was done.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PersonDecision> {
  static constexpr std::string_view name = "decision";
  static constexpr std::string_view help =
      "A decision by a person, with name and reason; it never changes a verdict.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<QuickAnswer> {
  static constexpr std::string_view name = "quick";
  static constexpr std::string_view help = "A quick answer kept in the case.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Note> {
  static constexpr std::string_view name = "note";
  static constexpr std::string_view help = "Anything else.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Entry> {
  static constexpr std::string_view name = "entry";
  static constexpr std::string_view help = "One entry; entries are never edited.";
  static const TagInfo& tag() { return tag_of<&Entry::body>("kind", "what the entry is"); }
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Case> {
  static constexpr std::string_view name = "case";
  static constexpr std::string_view help = "What was found on one engine.";
  static std::span<const FieldInfo> fields();
};

}  // namespace tautmark
