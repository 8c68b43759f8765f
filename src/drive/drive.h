// SPDX-License-Identifier: Apache-2.0
// A drive: what the timing drive of one engine family should be. Data only.
//
// Most real engines come with twenty lines; everything but the name may be left out. Later parts of
// the definition (lift curves, guide coordinates, pockets, oil network, procedure) are further
// optional members of these structs.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/fields.h"
#include "base/finding.h"
#include "base/written.h"
#include "drive/measurand.h"

namespace tautmark {

enum class DecimalSign { point, comma };
enum class Rotation { clockwise, counterclockwise };
enum class ViewedFrom { front, flywheel_end };
enum class ChainType { roller, bush, inverted_tooth, toothed_belt };
enum class Layout { in_line, v, flat };
enum class LinkCounting { pitches, both_marks, between };
enum class AppliesTo { mean, worst };
enum class PhaserBase { full_advance, full_retard, mid_travel };
enum class Side { left, right };
enum class PathKind { sprocket, pulley, guide, arm };
enum class RunsOn { inside, outside };
enum class MarkOn { tooth, gap };
enum class EdgeSense { rising, falling };
enum class SignalLevel { low, high };
enum class SensorKind { hall, inductive };
enum class CamLaw { harmonic, cycloidal, polynomial_345, polynomial_4567 };
enum class ClampedOf { steel, cast_iron, aluminium };
enum class LiftOf { valve, cam };
enum class CrownKind { pockets, flat };
enum class BoltPattern { circle, two_rows };
enum class WorkStage { tests, open_up, measure, decide, assemble, prove, hand_over };
// What a gate wants to see before the work goes on; more than a tick where a wrong step bends
// metal.
enum class GateWants { tick, reading, photo, second_name };
enum class OilElementKind {
  pump,
  relief,
  hole,
  check_valve,
  clearance,
  bearing,  // fed through one hole
  slot,
  screen,  // fine mesh or filter: laminar
};
enum class PinLiftedBy { advance, retard, either, supply };
enum class StepTurns { to_reference, two_turns, a_little };

struct SourceRef {
  std::optional<Origin> origin;
  std::optional<std::string> document;
  std::optional<std::string> edition;
  std::optional<std::string> page;
  bool operator==(const SourceRef&) const = default;
};

struct Covers {
  std::optional<std::string> displacement;
  std::optional<int> valves_per_cylinder;
  std::optional<std::string> years;
  std::optional<std::string> serials;
  std::optional<std::string> note;
  bool operator==(const Covers&) const = default;
};

struct Cylinders {
  std::optional<int> count;
  std::optional<Layout> layout;
  std::optional<Written<Angle>> bank_angle;
  std::optional<Written<Length>> bore;
  std::optional<Written<Length>> stroke;
  std::optional<Written<Length>> rod;
  std::optional<Written<Length>> pin_offset;
  std::vector<int> firing_order;
  std::vector<Written<CrankAngle>> fires_at;  // in firing order, from the first one's dead center
  std::optional<Written<Ratio>> compression_ratio;
  std::optional<Written<Pressure>> compression;  // mean of a warm engine, throttle open
  bool operator==(const Cylinders&) const = default;
};

struct CrankSprocket {
  std::optional<std::string> chain;  // needed only where there are several chains
  int teeth = 0;
  bool operator==(const CrankSprocket&) const = default;
};

// Sensor wheels. Angles are crank degrees after the first tooth behind the largest gap of the
// crank's wheel, 0 to 720; edges are those of the recorded voltage.
struct CrankSensor {
  std::optional<std::string> wheel;  // "36-1", "60-2", "24"
  std::optional<EdgeSense> edge;     // which edge of a tooth the angles are counted between
  std::optional<SensorKind> kind;
  std::optional<SignalLevel> gap;  // of the recorded voltage: tells an inverted signal
  std::optional<Written<CrankAngle>> first_tooth;  // where it passes, from firing dead center
  bool operator==(const CrankSensor&) const = default;
};
struct SensorEdge {
  Written<CrankAngle> at;
  std::optional<EdgeSense> edge;
  bool operator==(const SensorEdge&) const = default;
};
struct CamSensor {
  std::optional<std::string> wheel;           // in words: "4 even teeth and one more"
  std::vector<SensorEdge> edges;              // nominal, the phaser at its base
  std::optional<Written<CrankAngle>> window;  // allowed to either side: decides pass or fail
  std::optional<Written<CrankAngle>> spread;  // standard deviation from engine to engine
  std::optional<int> engines;                 // learned from so many known-good ones
  std::optional<std::string> learned_with;    // "phaser locked, warm idle"
  std::optional<std::string> vouched_by;      // who says that they are good
  std::optional<SourceRef> source;
  std::optional<std::string> cross_checked_by;
  bool operator==(const CamSensor&) const = default;
};

struct Crankshaft {
  std::optional<Rotation> rotation;
  std::optional<ViewedFrom> seen_from;
  std::vector<CrankSprocket> sprockets;
  std::optional<std::string> mark;
  std::optional<Written<CrankAngle>> marks_at;  // crank angle at which all marks stand right
  std::optional<Written<Angle>> key;            // clock angle of the keyway then
  std::optional<CrankSensor> sensor;
  bool operator==(const Crankshaft&) const = default;
};

struct Strand {  // links from one marked tooth to the next, in running direction
  std::string from;
  std::string to;
  int links = 0;
  bool operator==(const Strand&) const = default;
};

// A marked sprocket of a chain and the marked link or links that belong to it. Clock angles are
// degrees clockwise from straight up, seen from the front.
struct ChainMark {
  std::string at;                       // "crank", "bank 1 / camshaft"
  std::optional<int> links;             // marked links there: 1, or 2 and more side by side
  std::optional<std::string> color;     // of these links
  std::optional<MarkOn> on;             // the sprocket's mark: on a tooth, or in a gap
  std::optional<std::string> mark;      // how the sprocket's mark looks: dot, line, letter
  std::optional<Written<Angle>> clock;  // where it stands with the crank at marks_at
  bool operator==(const ChainMark&) const = default;
};

// What the chain runs around, in running direction. Center seen from the front, x to the right,
// y up, from the crankshaft's center.
struct PathPart {
  std::string name;  // "crank", a camshaft's place, an idler, a guide, a pump
  PathKind kind{};
  Written<Length> x, y;
  std::optional<RunsOn> runs;              // sprockets lie inside the loop unless said otherwise
  std::optional<int> teeth;                // of a sprocket that is named nowhere else
  std::optional<Written<Length>> radius;   // guide, arm, pulley: of the chain's pin line
  std::optional<Written<Angle>> from, to;  // ends of a guide's or arm's face, clock angles
  std::optional<Written<Length>> pivot_x, pivot_y;  // of the arm
  bool operator==(const PathPart&) const = default;
};

struct PlungerAt {  // of a tensioner, at the position in which the arm is drawn in the path
  Written<Length> base_x, base_y;
  Written<Angle> points;  // clock angle of its travel
  Written<Length> pad_x, pad_y, pad_radius;
  bool operator==(const PlungerAt&) const = default;
};

struct Guide {
  std::string name;
  std::optional<std::string> side;  // "tight strand", "slack strand"
  bool operator==(const Guide&) const = default;
};

struct Tensioner {
  std::optional<Written<Length>> stroke;
  std::optional<Written<Length>> ratchet_step;
  std::optional<std::string> side;
  std::optional<std::string> recognise;
  std::optional<PlungerAt> plunger;
  // Of one that oil feeds.
  std::optional<Written<Length>> plunger_diameter;
  std::optional<Written<Length>> plunger_clearance;  // diametral
  std::optional<Written<Length>> plunger_guided;     // length in its bore
  std::optional<Written<Force>> spring;              // plunger where it works
  std::optional<Written<Length>> feed_hole;          // diameter
  bool operator==(const Tensioner&) const = default;
};

struct Chain {
  std::string name;
  std::optional<int> bank;
  std::optional<ChainType> type;
  std::optional<std::string> standard;
  std::optional<Written<Length>> pitch;
  std::optional<int> links;
  std::optional<LinkCounting> counted;
  std::vector<Strand> strands;
  std::optional<std::string> marked_links;
  std::vector<ChainMark> marks;
  std::optional<Tensioner> tensioner;
  std::vector<Guide> guides;
  std::vector<PathPart> path;
  bool operator==(const Chain&) const = default;
};

struct Idler {  // a shaft that takes one chain's motion and hands it to the next
  std::string name;
  std::string driven_by;
  int teeth_in = 0;
  std::string drives;
  int teeth_out = 0;
  bool operator==(const Idler&) const = default;
};

// A pair of gears: the driven shaft turns against the driving one.
struct GearPair {
  std::string driver;  // "crank", an idler, a camshaft's place
  int driver_teeth = 0;
  std::string driven;
  int driven_teeth = 0;
  std::optional<Written<Length>> backlash;  // at the pitch line
  std::optional<Written<Length>> radius;    // pitch radius of the driven gear
  bool operator==(const GearPair&) const = default;
};

struct Phaser {
  std::optional<PhaserBase> base;
  std::optional<Written<CrankAngle>> range;
  std::optional<std::string> base_check;
  // Of one that is moved by oil pressure: vanes from their feet to their tips.
  std::optional<int> vanes;
  std::optional<Written<Length>> vane_inner;  // radius
  std::optional<Written<Length>> vane_outer;  // radius
  std::optional<Written<Length>> vane_width;  // along the axis
  // On the camshaft at hot idle: the mean of a turn, which retards; a spring that helps to advance;
  // seals and faces, against every motion.
  std::optional<WrittenMeasured> cam_torque;
  std::optional<WrittenMeasured> bias_spring;
  std::optional<WrittenMeasured> friction;
  std::optional<Written<Torque>> cam_torque_swing;  // half from lowest to highest
  // What its control lets pass before it acts, and how late it then acts.
  std::optional<Written<CrankAngle>> control_band;
  std::optional<Written<Time>> control_delay;
  std::optional<Written<Length>> pin_diameter;  // of the lock pin
  std::optional<WrittenMeasured> pin_force;     // of its spring, pin drawn back
  std::optional<PinLiftedBy> pin_lifted_by;
  bool operator==(const Phaser&) const = default;
};

// Lift against crank angle, the phaser at its base. Angles are crank degrees of the cycle of the
// cylinder: 0 its firing dead center, 360 that of gas exchange.
struct LiftPoint {
  Written<CrankAngle> at;
  Written<Length> lift;
  bool operator==(const LiftPoint&) const = default;
};
struct Lobe {
  std::optional<CamLaw> law;
  std::optional<Written<Length>> lift;          // highest
  std::optional<Written<CrankAngle>> duration;  // of the law, seat to seat
  std::optional<Written<CrankAngle>> center;
  std::vector<LiftPoint> table;  // instead of the law
  std::optional<LiftOf> of;
  std::optional<Written<Ratio>> ratio;         // of the rocker: valve to cam
  std::optional<Written<Length>> lash;         // at the valve
  std::optional<Written<Length>> uncertainty;  // of a lift, either way
  std::optional<SourceRef> source;
  bool operator==(const Lobe&) const = default;
};

// Valves of one kind that a camshaft works, and the piston under them. The gap is along the valve
// axis, valve shut, piston at its top.
struct Valves {
  std::string name;  // "intake", "exhaust"
  std::optional<Lobe> lobe;
  std::optional<Written<Angle>> angle;  // of the axis to the bore
  std::optional<Written<Length>> head_diameter;
  std::optional<Written<Length>> head_thickness;  // of its rim
  std::optional<WrittenMeasured> gap_at_top;
  std::optional<CrownKind> crown;
  std::optional<Written<Length>> pocket_diameter;
  std::optional<Written<Length>> pocket_depth;
  std::optional<Written<Length>> pocket_along;  // its center from the head's, valve shut, to where
                                                // the head goes
  std::optional<Written<Length>> pocket_aside;
  std::optional<Written<Length>> from_axis;       // head center to the axis of the cylinder, shut
  std::optional<Written<Length>> above_deck;      // head center, shut
  std::optional<Written<Length>> margin;          // the least gap wanted, piston and wall
  std::optional<Written<Length>> margin_between;  // to the other valve
  std::optional<Written<Length>> pocket_uncertainty;   // of the room to its wall, k = 2
  std::optional<Written<Length>> between_uncertainty;  // of the way to the other valve, k = 2
  std::optional<Written<Force>> spring_shut;
  std::optional<Written<Force>> spring_open;  // at the highest lift
  std::optional<SourceRef> source;
  bool operator==(const Valves&) const = default;
};

struct Camshaft {
  std::string name;
  std::optional<std::string> chain;
  std::optional<int> sprocket_teeth;
  std::optional<int> journals;
  std::optional<std::string> material;
  std::optional<Phaser> phaser;
  std::optional<CamSensor> sensor;
  std::vector<Valves> valves;
  bool operator==(const Camshaft&) const = default;
};

struct Bank {
  int number = 0;
  std::optional<Side> side;
  std::optional<ViewedFrom> seen_from;
  std::vector<int> cylinders;
  std::optional<std::string> head_material;
  std::vector<Camshaft> camshafts;
  bool operator==(const Bank&) const = default;
};

// A limit of one measurand at one or more places.
struct Fit {
  Measurand quantity{};
  std::string at;
  std::optional<WrittenAnyRange> new_range;
  std::optional<WrittenAnyRange> service;
  std::optional<AppliesTo> applies_to;
  std::optional<int> links;             // chain length: over how many links
  std::optional<Written<Length>> drop;  // sink time: for this way
  std::optional<Written<Force>> force;  // sink time: under this force; chain: pulled with
  std::optional<WrittenRange<RotationalSpeed>> speed;        // phase: the engine runs at
  std::optional<WrittenRange<Temperature>> oil_temperature;  // phase: with the oil at
  std::optional<std::string> measure;                        // where and how
  std::optional<SourceRef> source;
  std::optional<std::string> cross_checked_by;
  bool operator==(const Fit&) const = default;
};

struct PressureLimit {
  std::string at;
  WrittenAnyRange limit;
  std::optional<WrittenRange<RotationalSpeed>> speed;
  std::optional<WrittenRange<Temperature>> oil_temperature;
  std::optional<SourceRef> source;
  std::optional<std::string> cross_checked_by;
  bool operator==(const PressureLimit&) const = default;
};

struct OilPort {
  std::string name;
  std::optional<int> bank;
  bool operator==(const OilPort&) const = default;
};

// A way for the oil from one place to another. Places are ports ("main gallery", "bank 2 / head
// port"), the chambers of a phaser ("bank 2 / camshaft / advance", "... / retard"), or any other
// name that two ways share; a way without `from` comes from the sump, one without `to` ends there.
// Clearances are diametral and cold, as a micrometer tells them. A size that is not quite known
// states by how much; alike ones (the feeds of both heads) then differ from it together.
struct OilElement {
  std::string name;
  OilElementKind kind{};
  std::optional<std::string> from;
  std::optional<std::string> to;
  std::optional<int> count;                  // alike, side by side
  std::optional<std::string> journal;        // place whose clearance, once measured, stands for
                                             // `clearance`
  std::optional<Written<Length>> diameter;   // of the journal, the plunger or the hole
  std::optional<Written<Length>> clearance;  // of a slot: its height
  std::optional<Written<Length>> land;       // length along the flow; of a bearing: its own
  std::optional<int> lands;                  // where oil leaves, side by side
  std::optional<Written<Length>> width;      // of a slot, across the flow
  std::optional<Written<Length>> feed_hole;  // of a bearing, diameter
  std::optional<Written<Ratio>> eccentricity;
  std::optional<Written<Ratio>> film;         // viscosity in the film to that in the gallery
  std::optional<Written<Ratio>> coefficient;  // of discharge
  std::optional<Written<Ratio>> blocked;      // share of the hole or screen
  std::optional<Written<Pressure>> opens;     // relief, check valve
  std::optional<Written<Flow>> flow;          // relief, screen: at `full_at`
  std::optional<Written<Pressure>> full_at;
  std::optional<Written<DynamicViscosity>> viscosity;  // of the oil that a screen passed `flow` of
  std::optional<Written<Volume>> per_turn;             // pump, for a turn of the crankshaft
  std::optional<Written<Volume>> slip;        // pump: times pressure by viscosity is its slip
  std::optional<Written<Ratio>> uncertainty;  // of what it lets through: 50 % is a third less to a
                                              // half more, 95 %; none: as written
  std::optional<std::string> alike;  // elements with this word are equal in what is unknown
  std::optional<SourceRef> source;
  bool operator==(const OilElement&) const = default;
};

struct Oil {
  std::optional<std::string> grade;
  std::optional<Written<Volume>> fill;
  std::vector<OilPort> ports;
  std::vector<PressureLimit> pressures;
  std::vector<OilElement> network;
  std::optional<Written<Pressure>> relief_opens;
  std::optional<bool> controlled_pump;  // its pressure is the controller's target
  std::optional<bool> piston_jets;
  std::optional<Written<Pressure>> jets_open;
  bool operator==(const Oil&) const = default;
};

struct TighteningStep {
  std::optional<Written<Torque>> torque;
  std::optional<Written<Angle>> angle;
  bool operator==(const TighteningStep&) const = default;
};

struct Fastener {
  std::string name;
  std::optional<int> bank;
  std::optional<std::string> thread;
  std::optional<std::string> strength_class;
  std::optional<int> count;
  std::optional<std::string> condition;
  std::optional<Written<Length>> clamped_length;  // from head to the first thread that holds
  std::optional<Written<Length>> free_thread;     // of it
  std::optional<Written<Length>> clamped_width;   // outer diameter of what is clamped
  std::optional<ClampedOf> clamps;
  std::optional<ClampedOf> into;  // what its thread is cut in
  std::vector<TighteningStep> steps;
  std::optional<BoltPattern> pattern;
  std::vector<int> order;              // the maker's, numbered from 1
  std::optional<std::string> restart;  // the maker's rule for a step that was interrupted
  std::optional<bool> single_use;
  std::optional<bool> to_yield;             // the last angle is meant to draw it past yield
  std::optional<Written<Length>> longest;   // free length up to which it may go in again
  std::optional<Written<Length>> thinnest;  // smallest diameter, likewise
  std::optional<std::string> note;
  std::optional<SourceRef> source;
  bool operator==(const Fastener&) const = default;
};

// A set of parts, or one part that is ordered by itself: then it holds nothing.
struct PartSet {
  std::string name;
  std::optional<int> bank;
  std::optional<int> count;  // of one part: how many; of one that goes with others: for each
  std::vector<std::string> holds;
  std::vector<std::string> does_not_hold;
  std::vector<std::string> goes_with;  // it is changed with one of these, and not without
  std::optional<bool> single_use;
  std::optional<std::string> edition;
  std::optional<Date> date;  // of the edition
  std::optional<std::string> note;
  bool operator==(const PartSet&) const = default;
};

// What a step of the procedure tightens: the figures are written again here, so that a unit mixed
// up in one place stands against the other.
struct Tightens {
  std::string fastener;
  std::vector<TighteningStep> steps;
  bool operator==(const Tightens&) const = default;
};

// One step of the work. Conditions are in the words of procedure/facts.h ("chain on", "phaser
// locked"); without a bank in front they are of the step's own bank, or of every bank.
struct ProcedureStep {
  std::string name;
  std::string what;  // the instruction
  std::optional<WorkStage> stage;
  std::optional<int> bank;
  std::optional<std::string> if_decided;  // a part: done only where it was decided to be replaced
  std::vector<std::string> needs;         // what must hold before
  std::vector<std::string> gives;         // what holds after
  std::vector<std::string> ends;          // what holds no more
  std::optional<GateWants> gate;
  std::optional<StepTurns> turns;  // it turns the crankshaft by hand
  std::vector<Tightens> tightens;
  std::vector<std::string> fits;  // parts put in
  std::optional<Written<Time>> within;
  std::optional<std::string> since;  // the step from which `within` counts
  std::optional<std::string> why;
  std::vector<std::string> cautions;
  std::optional<SourceRef> source;
  // Of a variant's file only, see placed_steps in variant_steps.h; never set in a drive that
  // loaded.
  std::optional<std::string> after;
  std::optional<bool> remove;
  bool operator==(const ProcedureStep&) const = default;
};

struct Drive {
  std::string tautmark;  // "drive/1"
  std::string name;
  std::optional<std::string> title;
  std::optional<bool> invented;
  std::optional<std::string> based_on;
  std::vector<std::string> confirms;
  std::optional<std::string> revision;
  std::optional<SourceRef> source;
  std::optional<std::string> checked_by;
  std::optional<DecimalSign> decimal_sign;
  std::optional<Covers> covers;
  std::vector<std::string> recognise;
  std::optional<Cylinders> cylinders;
  std::optional<Crankshaft> crankshaft;
  std::vector<Chain> chains;
  std::vector<Idler> idlers;
  std::vector<GearPair> gears;
  std::vector<Bank> banks;
  std::vector<Fit> fits;
  std::optional<Oil> oil;
  std::vector<Fastener> fasteners;
  std::vector<PartSet> parts;
  std::vector<ProcedureStep> procedure;
  std::optional<std::string> note;
  bool operator==(const Drive&) const = default;
};

// Names under which an inheriting variant confirms what would bite when wrongly inherited.
namespace topic {
inline constexpr std::string_view kChainPitch = "chain pitch";
inline constexpr std::string_view kChainLinks = "chain links";
inline constexpr std::string_view kLinkCounts = "link counts";
inline constexpr std::string_view kMarks = "marks";
inline constexpr std::string_view kPhaserBase = "phaser base";
inline constexpr std::string_view kTensionerSide = "tensioner side";
inline constexpr std::string_view kRotation = "rotation";
inline constexpr std::string_view kTorques = "torques";
inline constexpr std::string_view kSingleUse = "single use";
inline constexpr std::string_view kSensorEdges = "sensor edges";
inline constexpr std::string_view kValves = "valves and pistons";
inline constexpr std::string_view kAll[] = {kChainPitch, kChainLinks,    kLinkCounts, kMarks,
                                            kPhaserBase, kTensionerSide, kRotation,   kTorques,
                                            kSingleUse,  kSensorEdges,   kValves};
}  // namespace topic

}  // namespace tautmark
