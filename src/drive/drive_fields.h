// SPDX-License-Identifier: Apache-2.0
// Descriptions of the structs in drive.h; the fields themselves are listed in drive_fields.cc.
#pragma once

#include "base/fields.h"
#include "drive/drive.h"

namespace tautmark {

template <>
struct ChoiceNames<DecimalSign> {
  static constexpr std::string_view names[] = {"point", "comma"};
};
template <>
struct ChoiceNames<Rotation> {
  static constexpr std::string_view names[] = {"clockwise", "counterclockwise"};
};
template <>
struct ChoiceNames<ViewedFrom> {
  static constexpr std::string_view names[] = {"front", "flywheel end"};
};
template <>
struct ChoiceNames<ChainType> {
  static constexpr std::string_view names[] = {"roller", "bush", "inverted tooth", "toothed belt"};
};
template <>
struct ChoiceNames<Layout> {
  static constexpr std::string_view names[] = {"in line", "v", "flat"};
};
template <>
struct ChoiceNames<LinkCounting> {
  static constexpr std::string_view names[] = {"pitches", "both marks", "between"};
};
template <>
struct ChoiceNames<AppliesTo> {
  static constexpr std::string_view names[] = {"mean", "worst"};
};
template <>
struct ChoiceNames<PhaserBase> {
  static constexpr std::string_view names[] = {"full advance", "full retard", "mid travel"};
};
template <>
struct ChoiceNames<Side> {
  static constexpr std::string_view names[] = {"left", "right"};
};
template <>
struct ChoiceNames<PathKind> {
  static constexpr std::string_view names[] = {"sprocket", "pulley", "guide", "arm"};
};
template <>
struct ChoiceNames<RunsOn> {
  static constexpr std::string_view names[] = {"inside", "outside"};
};
template <>
struct ChoiceNames<MarkOn> {
  static constexpr std::string_view names[] = {"tooth", "gap"};
};
template <>
struct ChoiceNames<EdgeSense> {
  static constexpr std::string_view names[] = {"rising", "falling"};
};
template <>
struct ChoiceNames<SignalLevel> {
  static constexpr std::string_view names[] = {"low", "high"};
};
template <>
struct ChoiceNames<CamLaw> {
  static constexpr std::string_view names[] = {"harmonic", "cycloidal", "3-4-5", "4-5-6-7"};
};
template <>
struct ChoiceNames<ClampedOf> {
  static constexpr std::string_view names[] = {"steel", "cast iron", "aluminium"};
};
template <>
struct ChoiceNames<LiftOf> {
  static constexpr std::string_view names[] = {"valve", "cam"};
};
template <>
struct ChoiceNames<CrownKind> {
  static constexpr std::string_view names[] = {"pockets", "flat"};
};
template <>
struct ChoiceNames<BoltPattern> {
  static constexpr std::string_view names[] = {"circle", "two rows"};
};
template <>
struct ChoiceNames<WorkStage> {
  static constexpr std::string_view names[] = {"tests",    "open up", "measure",  "decide",
                                               "assemble", "prove",   "hand over"};
};
template <>
struct ChoiceNames<GateWants> {
  static constexpr std::string_view names[] = {"tick", "reading", "photo", "second name"};
};
template <>
struct ChoiceNames<OilElementKind> {
  static constexpr std::string_view names[] = {"pump",      "relief",  "hole", "check valve",
                                               "clearance", "bearing", "slot", "screen"};
};
template <>
struct ChoiceNames<PinLiftedBy> {
  static constexpr std::string_view names[] = {"advance", "retard", "either", "supply"};
};
template <>
struct ChoiceNames<StepTurns> {
  static constexpr std::string_view names[] = {"to reference", "two turns", "a little"};
};
template <>
struct ChoiceNames<SensorKind> {
  static constexpr std::string_view names[] = {"hall", "inductive"};
};
template <>
struct ChoiceNames<Origin> {
  static constexpr std::string_view names[] = {"maker", "shop", "common practice",
                                               "program default", "unknown"};
};

template <>
struct Description<SourceRef> {
  static constexpr std::string_view name = "source";
  static constexpr std::string_view help = "Where a number comes from.";
  static constexpr std::string_view short_form = "document";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Covers> {
  static constexpr std::string_view name = "covers";
  static constexpr std::string_view help = "What the definition covers, in free text.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Cylinders> {
  static constexpr std::string_view name = "cylinders";
  static constexpr std::string_view help = "The cylinders.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<CrankSprocket> {
  static constexpr std::string_view name = "crank sprocket";
  static constexpr std::string_view help = "One sprocket on the crankshaft.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<CrankSensor> {
  static constexpr std::string_view name = "crank sensor";
  static constexpr std::string_view help = "The crankshaft's sensor wheel.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<SensorEdge> {
  static constexpr std::string_view name = "edge";
  static constexpr std::string_view help = "One edge of a camshaft's sensor wheel.";
  static constexpr std::string_view short_form = "at";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<CamSensor> {
  static constexpr std::string_view name = "cam sensor";
  static constexpr std::string_view help =
      "A camshaft's sensor wheel: where its edges are when everything is right.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Crankshaft> {
  static constexpr std::string_view name = "crankshaft";
  static constexpr std::string_view help = "The crankshaft.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Strand> {
  static constexpr std::string_view name = "strand";
  static constexpr std::string_view help = "Links between two marks.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<ChainMark> {
  static constexpr std::string_view name = "mark";
  static constexpr std::string_view help = "A marked sprocket and its marked links.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PathPart> {
  static constexpr std::string_view name = "path part";
  static constexpr std::string_view help = "What the chain runs around.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PlungerAt> {
  static constexpr std::string_view name = "plunger";
  static constexpr std::string_view help = "Where the tensioner stands.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Guide> {
  static constexpr std::string_view name = "guide";
  static constexpr std::string_view help = "A guide or a tensioner arm.";
  static constexpr std::string_view short_form = "name";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Tensioner> {
  static constexpr std::string_view name = "tensioner";
  static constexpr std::string_view help = "A chain tensioner.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Chain> {
  static constexpr std::string_view name = "chain";
  static constexpr std::string_view help = "A chain or toothed belt.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Idler> {
  static constexpr std::string_view name = "idler";
  static constexpr std::string_view help = "An intermediate shaft.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<GearPair> {
  static constexpr std::string_view name = "gear pair";
  static constexpr std::string_view help = "Two gears in mesh.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Phaser> {
  static constexpr std::string_view name = "phaser";
  static constexpr std::string_view help = "A camshaft phaser.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<LiftPoint> {
  static constexpr std::string_view name = "lift point";
  static constexpr std::string_view help = "One lift of a table.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Lobe> {
  static constexpr std::string_view name = "lobe";
  static constexpr std::string_view help =
      "Lift against crank angle: a named law or a table. Only the maker's can show that there is "
      "no contact.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Valves> {
  static constexpr std::string_view name = "valves";
  static constexpr std::string_view help =
      "Valves of one kind that a camshaft works, and the piston under them.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Camshaft> {
  static constexpr std::string_view name = "camshaft";
  static constexpr std::string_view help = "A camshaft.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Bank> {
  static constexpr std::string_view name = "bank";
  static constexpr std::string_view help = "A bank of cylinders.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Fit> {
  static constexpr std::string_view name = "fit";
  static constexpr std::string_view help = "A limit of one measured quantity.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PressureLimit> {
  static constexpr std::string_view name = "pressure limit";
  static constexpr std::string_view help = "An oil pressure limit with its conditions.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<OilPort> {
  static constexpr std::string_view name = "oil port";
  static constexpr std::string_view help = "A place for a pressure gauge.";
  static constexpr std::string_view short_form = "name";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<OilElement> {
  static constexpr std::string_view name = "oil element";
  static constexpr std::string_view help = "A way of the oil from one place to another.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Oil> {
  static constexpr std::string_view name = "oil";
  static constexpr std::string_view help = "Oil and oil pressure.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<TighteningStep> {
  static constexpr std::string_view name = "tightening step";
  static constexpr std::string_view help = "One step of tightening.";
  static constexpr std::string_view short_form = "torque";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Fastener> {
  static constexpr std::string_view name = "fastener";
  static constexpr std::string_view help = "A fastener.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<PartSet> {
  static constexpr std::string_view name = "part";
  static constexpr std::string_view help = "A part or a set of parts.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Tightens> {
  static constexpr std::string_view name = "tightens";
  static constexpr std::string_view help = "What a step of the procedure tightens.";
  static constexpr std::string_view short_form = "fastener";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<ProcedureStep> {
  static constexpr std::string_view name = "procedure step";
  static constexpr std::string_view help = "One step of the work.";
  static std::span<const FieldInfo> fields();
};
template <>
struct Description<Drive> {
  static constexpr std::string_view name = "drive";
  static constexpr std::string_view help = "The definition of an engine's timing drive.";
  static std::span<const FieldInfo> fields();
};

}  // namespace tautmark
