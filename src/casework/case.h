// SPDX-License-Identifier: Apache-2.0
// A case: what was measured, seen and recorded on one engine. Data only.
//
// Entries are append-only: a correction is a new entry that names the one it replaces. A new kind
// of entry is one struct, its description, and one alternative of EntryBody.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/fields.h"
#include "base/finding.h"
#include "base/written.h"
#include "drive/drive.h"
#include "drive/measurand.h"

namespace tautmark {

enum class YesNo { no, yes, partly, unknown };
enum class Turned { no, by_hand_running_direction, by_hand_backwards, by_starter, unknown };
enum class OnOff { on, off, unknown };
enum class InOut { in, out, unknown };
enum class Locked { locked, not_locked, unknown };
// Followers out and caps loosened mean every one of them, so that every valve is closed.
enum class ValvesNow { worked_by_camshafts, followers_out, caps_loosened, unknown };
enum class Condition { sound, worn, damaged, missing, unknown };
enum class CapState { torqued, hand_tight, off, unknown };
enum class PartAction { ordered, fitted, reused, rejected, old_one_kept, in_the_box };
enum class BesideOld { links, teeth, marks, feed_hole, plunger_side };
enum class OilState { as_specified, other, unknown };
enum class MarkAgainst { casting, link };
enum class PhasersAt { base, commanded, none_fitted, unknown };
inline bool at_base(PhasersAt at) { return at == PhasersAt::base || at == PhasersAt::none_fitted; }
enum class PositiveIs { early, late };
enum class DegreesOf { crank, cam };
enum class EngineRuns { cranking, idle, running };
enum class CycleTop { firing, gas_exchange, unknown };  // which top dead center of cylinder 1
enum class CrankProof { positive_stop, damper_mark, marks, other };
enum class SinceJump { not_turned, turned_by_hand, cranked, ran, unknown };
enum class StraightBy { leak_down, borescope, not_looked };
enum class Adjusters { solid, bled_down, pumped_up, unknown };
enum class GapBy { soft_clay, pushed_down };

struct Instrument {
  std::string name;
  std::optional<std::string> type;  // of the program's list, when no own data are known
  std::optional<WrittenAny> resolution;
  std::optional<WrittenAny> uncertainty;  // expanded, k = 2
  std::optional<WrittenAnyRange> range;   // marked range, of a torque wrench
  std::optional<Date> calibrated;
  std::optional<std::string> certificate;
  std::optional<std::string> note;
  bool operator==(const Instrument&) const = default;
};

struct EngineId {
  std::optional<std::string> serial;
  std::optional<std::string> built;
  std::optional<Written<Length>> distance;
  std::optional<Written<Time>> hours;
  bool operator==(const EngineId&) const = default;
};

struct Complaint {
  std::string words;
  std::optional<std::string> when;
  std::optional<std::string> since;
  bool operator==(const Complaint&) const = default;
};
struct Identification {
  std::string variant;
  std::optional<std::string> how;
  bool operator==(const Identification&) const = default;
};
struct EngineState {
  std::optional<YesNo> apart;
  std::optional<std::string> apart_by;
  std::optional<Turned> turned;
  std::optional<OnOff> chain;
  std::optional<InOut> pin;
  std::optional<Locked> phaser;
  std::optional<std::string> phaser_checked_how;
  std::optional<std::string> crank_at;
  std::optional<std::string> crank_proven_how;
  std::optional<ValvesNow> valves;
  std::optional<bool> resistance;  // felt when turning
  std::optional<bool> dropped;     // into the chain case, not found
  bool operator==(const EngineState&) const = default;
};
struct PreviousWork {
  std::string words;
  std::optional<std::string> by;
  std::optional<std::string> when;
  bool operator==(const PreviousWork&) const = default;
};
struct OilFound {
  std::optional<std::string> grade;
  std::optional<std::string> level;
  std::optional<std::string> smell;
  std::optional<Written<Length>> distance_since_change;
  std::optional<WrittenMeasured> viscosity_40, viscosity_100;  // kinematic, of a laboratory
  bool operator==(const OilFound&) const = default;
};
// What control units had stored. That nothing was is said in so many words: an empty list is none.
struct Codes {
  std::vector<std::string> codes;
  std::optional<bool> none_stored;
  std::vector<std::string> read_from;  // control units
  std::optional<std::string> when;
  bool operator==(const Codes&) const = default;
};
struct Observation {
  std::string place;
  std::string aspect;
  std::optional<Condition> condition;
  std::optional<std::string> words;
  bool operator==(const Observation&) const = default;
};

// Readings of one measurand at one place and direction with one instrument.
struct Reading {
  Measurand quantity{};
  std::string place;
  std::optional<std::string> direction;  // "vertical", "horizontal", "45 deg"
  std::optional<std::string> section;    // "front", "rear": along the axis
  std::optional<WrittenList> values;     // the readings one by one
  std::optional<WrittenMeasured> value;  // or a reported mean, with ± if it was reported
  std::optional<int> count;              // how many readings the reported mean is of
  std::optional<WrittenAny> passes;      // or go / no-go: this blade passes
  std::optional<WrittenAny> stops;       // and this one does not
  std::optional<std::string> instrument;
  std::optional<Written<Temperature>> temperature;             // of the part
  std::optional<Written<Temperature>> instrument_temperature;  // of the gauge, if not the same
  std::optional<CapState> cap;                                 // bores: how the cap was fitted
  std::optional<int> links;                                    // chain length: over how many links
  std::optional<Written<Length>> radius;                       // lock play on a rim
  std::optional<Written<Length>> drop;                         // sink time
  std::optional<Written<Force>> force;
  std::optional<WrittenAnyRange> limit;  // its own limit, where no drive gives one
  std::optional<AppliesTo> applies_to;
  std::optional<SourceRef> limit_source;
  bool operator==(const Reading&) const = default;
};

struct PressureReading {
  std::string place;
  WrittenList values;
  std::optional<Written<RotationalSpeed>> speed;
  std::optional<Written<Temperature>> oil_temperature;
  std::optional<OilState> oil;        // the specified grade in it?
  std::optional<Written<Time>> rise;  // from the first turn of the crank until it was up
  std::optional<std::string> instrument;
  std::optional<std::string> thermometer;
  bool operator==(const PressureReading&) const = default;
};

struct SprocketMark {
  std::string at;      // as in the drive: "crank", "bank 1 / intake camshaft"
  std::string stands;  // in words, see mark_words.h
  std::optional<MarkAgainst> against;
  std::optional<int> link;  // number of the link under it, counted on in running direction
  bool operator==(const SprocketMark&) const = default;
};

// Links counted and marks seen on one chain, without turning it in between.
struct MarksSeen {
  std::string chain;
  std::optional<LinkCounting> counted;
  std::vector<Strand> strands;
  std::vector<SprocketMark> sprockets;
  std::optional<ViewedFrom> seen_from;
  std::optional<bool> settled;  // turned two turns forward, tensioner released, before it was read
  std::optional<Locked> phaser;
  std::optional<std::string> links_found;  // marked links as found on this chain
  std::optional<std::string> paint;
  bool operator==(const MarksSeen&) const = default;
};

struct ChannelHint {
  int channel = 0;  // from 1, the time column excluded
  std::string is;   // "crank", a camshaft's place, "not used"
  bool operator==(const ChannelHint&) const = default;
};
// Cursor readings of one cam edge, cycle by cycle: degrees after the gap.
struct TypedEdge {
  std::string cam;
  WrittenList values;
  std::optional<EdgeSense> edge;
  bool operator==(const TypedEdge&) const = default;
};
// Crank and cam sensors recorded together, as a file or as edges read off a screen.
struct SensorRecording {
  std::optional<std::string> file;
  std::optional<std::string> sha256;
  std::vector<ChannelHint> channels;
  std::vector<TypedEdge> edges;
  std::optional<PhasersAt> phasers;
  std::optional<std::string> phasers_checked_how;
  std::optional<Written<CrankAngle>> commanded;
  std::optional<std::string> command_log;
  std::optional<PositiveIs> command_positive;
  std::optional<DegreesOf> command_degrees;
  std::optional<EngineRuns> engine;
  std::optional<Written<RotationalSpeed>> speed;
  std::optional<Written<Temperature>> oil_temperature;
  bool operator==(const SensorRecording&) const = default;
};

// Actual cam phase at one command, from scan data.
struct PhaseSamples {
  std::string place;  // camshaft
  std::optional<Written<CrankAngle>> commanded;
  std::optional<WrittenList> actual;  // sample by sample
  // or as reported:
  std::optional<Written<CrankAngle>> mean, sd, peak_to_peak;
  std::optional<int> count;
  std::optional<Written<RotationalSpeed>> speed;
  std::optional<Written<Temperature>> oil_temperature;
  bool operator==(const PhaseSamples&) const = default;
};

// The wheel at both sides of a positive stop, as read before and after its zero.
struct StopReading {
  std::optional<int> cylinder;
  WrittenList before, after;                   // of each pair one, crank deg
  std::optional<Written<CrankAngle>> reading;  // uncertainty of one reading, k = 2
  std::optional<Written<Length>> stop;         // of where the piston comes back to, k = 2
  std::optional<bool> pressed_up;              // against the stop, on both sides
  std::optional<bool> wheel_set;               // afterwards, so that both sides read alike
  std::optional<std::string> instrument;
  bool operator==(const StopReading&) const = default;
};

// Angles of an indicator entry: crank deg after top dead center of gas exchange of that cylinder,
// before it negative.
struct EqualLift {
  Written<Length> lift;
  Written<CrankAngle> opens, closes;
  bool operator==(const EqualLift&) const = default;
};
struct LiftSeen {
  Written<CrankAngle> at;
  Written<Length> lift;
  bool operator==(const LiftSeen&) const = default;
};
// Lift of one valve by a dial indicator against the degree wheel.
struct IndicatorReading {
  std::string place;                  // camshaft
  std::optional<std::string> valves;  // of a camshaft that works both kinds
  std::optional<int> cylinder;
  std::vector<EqualLift> pairs;
  std::vector<LiftSeen> table;
  std::optional<Written<CrankAngle>> top;  // uncertainty of the wheel's zero, k = 2
  std::optional<bool> forward_only;
  std::optional<Locked> phaser;
  std::optional<std::string> phaser_checked_how;
  std::optional<bool> as_lobe;  // timing proven right: the table is this engine's own lift
  std::optional<std::string> instrument;
  bool operator==(const IndicatorReading&) const = default;
};

// Gap of valve to piston measured on this engine: along the valve, valve shut, piston at its top.
struct ValveGap {
  std::string place;  // camshaft
  std::optional<std::string> valves;
  std::optional<int> cylinder;
  WrittenMeasured gap;
  std::optional<GapBy> how;
  std::optional<std::string> instrument;
  bool operator==(const ValveGap&) const = default;
};

struct CamStanding {
  std::string at;                             // camshaft
  std::optional<std::string> stands;          // in words, mark_words.h: "2 teeth late"
  std::optional<Written<CrankAngle>> within;  // besides whole teeth, either way: wear
  std::optional<Locked> phaser;
  std::optional<std::string> phaser_checked_how;
  bool operator==(const CamStanding&) const = default;
};
// Where crankshaft and camshafts stand now, and what else the gaps rest on. What is not said is not
// known.
struct Standing {
  std::optional<WrittenMeasured> crank;  // after that top dead center of cylinder 1, ± k = 2
  std::optional<CycleTop> after;
  std::optional<CrankProof> crank_proof;
  std::vector<CamStanding> camshafts;
  std::optional<Written<CrankAngle>> wanted;  // of the crank, all camshafts right; empty: as it is
  std::optional<CycleTop> wanted_after;       // after which top
  std::optional<SinceJump> since_jump;
  std::optional<StraightBy> valves_straight;
  std::optional<Adjusters> adjusters;
  std::optional<bool> surfaced;      // head or block
  std::optional<bool> other_parts;   // gasket, pistons, valves or camshafts not as the maker's
  std::optional<bool> in_cylinders;  // debris
  bool operator==(const Standing&) const = default;
};

// Torque over angle, as the wrench recorded it while one bolt was tightened.
struct TorqueTrace {
  std::string fastener;     // of the drive, by name
  std::optional<int> bank;  // where each bank has its own
  std::optional<int> bolt;  // which of them, from 1
  std::string file;
  std::optional<std::string> sha256;
  std::optional<std::string> instrument;
  std::optional<int> step;  // of its steps, from 1; empty: all of them
  bool operator==(const TorqueTrace&) const = default;
};

struct PartEntry {
  std::string part;
  PartAction action{};
  std::optional<int> bank;
  std::optional<int> count;
  std::optional<std::string> reason;
  std::vector<BesideOld> beside_old;   // what was found alike, old laid beside new
  std::vector<BesideOld> differs;      // and what was not
  std::vector<std::string> found;      // of an opened set: what lay in the box
  std::optional<std::string> edition;  // as printed on the box
  std::optional<Date> date;
  bool operator==(const PartEntry&) const = default;
};
struct Attachment {
  std::string file;
  std::optional<std::string> shows;
  std::optional<std::string> place;
  bool operator==(const Attachment&) const = default;
};
// A step of the drive's procedure, or of no procedure at all. A gate may be passed against its
// condition, by name and reason: what rests on it then stays open.
struct StepDone {
  std::string step;
  std::optional<bool> late;
  std::optional<std::string> second_name;
  std::vector<std::string> shown_by;        // ids of entries: the reading, the photo
  std::optional<int> fasteners;             // ticked one by one
  std::optional<bool> interrupted;          // in the middle, as of an angle lost
  std::optional<std::string> against_gate;  // the reason
  std::optional<std::string> allowed_by;    // the name
  bool operator==(const StepDone&) const = default;
};
struct PersonDecision {
  std::string about;
  std::string decided;
  std::string reason;
  std::optional<std::string> name;
  bool operator==(const PersonDecision&) const = default;
};
struct QuickAnswer {
  std::string question;
  std::vector<std::string> asked;
  std::vector<std::string> answer;
  std::optional<std::string> forbids;  // one clause: what was said that forbids turning
  bool operator==(const QuickAnswer&) const = default;
};
struct Note {
  std::string words;
  bool operator==(const Note&) const = default;
};

using EntryBody =
    std::variant<Complaint, Identification, EngineState, PreviousWork, OilFound, Codes, Observation,
                 Reading, PressureReading, SensorRecording, PhaseSamples, MarksSeen, StopReading,
                 IndicatorReading, ValveGap, Standing, TorqueTrace, PartEntry, Attachment, StepDone,
                 PersonDecision, QuickAnswer, Note>;

struct Entry {
  std::string id;
  std::optional<Date> at;
  std::optional<std::string> by;
  std::optional<std::string> replaces;
  std::optional<std::string> remark;
  EntryBody body;
  bool operator==(const Entry&) const = default;
};

struct Case {
  std::string tautmark;  // "case/1"
  std::string name;
  std::optional<std::string> title;
  std::optional<bool> invented;
  std::optional<std::string> drive;
  std::vector<std::string> candidates;
  std::optional<DecimalSign> decimal_sign;
  std::optional<EngineId> engine;
  std::vector<Instrument> instruments;
  std::vector<Entry> entries;
  bool operator==(const Case&) const = default;
};

}  // namespace tautmark
