// SPDX-License-Identifier: Apache-2.0
// Every question of the interview: one row each, in the order in which they are asked.
#include <stdexcept>
#include <string>

#include "cli/drive_interview.h"
#include "drive/drive_fields.h"

namespace tautmark::cli {
namespace {

constexpr std::string_view kIdentity = "1  what it is";
constexpr std::string_view kSource = "2  source";
constexpr std::string_view kCylinders = "3  cylinders";
constexpr std::string_view kCrankshaft = "4  crankshaft";
constexpr std::string_view kChains = "5  chains";
constexpr std::string_view kBanks = "6  banks and camshafts";
constexpr std::string_view kMarks = "7  link counts between marks";
constexpr std::string_view kLimits = "8  limits";
constexpr std::string_view kOil = "9  oil";
constexpr std::string_view kFasteners = "10  fasteners";

constexpr UnitTable kNone = UnitTable::none;

// key, section, question, record, field, table, example, explanation, choices, needed
constexpr InterviewRow kRows[] = {
    {"drive.name", kIdentity, "Short name of the drive: letters, digits, - and _?", nullptr, "",
     kNone, "vessgarth-v6-12", "The file is called by it.", "", true},
    {"drive.title", kIdentity, "Name as it is spoken?", &type_of<Drive>, "title"},
    {"drive.invented", kIdentity, "Is it an invented engine, for trying out or training?",
     &type_of<Drive>, "invented", kNone, "no"},
    {"covers.displacement", kIdentity, "Displacement?", &type_of<Covers>, "displacement"},
    {"covers.valves", kIdentity, "Valves per cylinder?", &type_of<Covers>, "valves_per_cylinder"},
    {"covers.years", kIdentity, "Years or build dates that it covers?", &type_of<Covers>, "years"},
    {"covers.serials", kIdentity, "Serial numbers that it covers?", &type_of<Covers>, "serials"},
    {"covers.note", kIdentity, "What else limits what it covers?", &type_of<Covers>, "note"},
    {"drive.recognise", kIdentity, "How to tell it on the engine (several: a; b)?", &type_of<Drive>,
     "recognise", kNone, "cast letter B beside the cover; three dots on the sprocket"},
    {"source.origin", kSource, "Whose numbers are these?", &type_of<SourceRef>, "origin"},
    {"source.document", kSource, "Title of the document?", &type_of<SourceRef>, "document"},
    {"source.edition", kSource, "Edition or date?", &type_of<SourceRef>, "edition"},
    {"source.page", kSource, "Page or section?", &type_of<SourceRef>, "page"},
    {"drive.decimal_sign", kSource, "Decimal sign that you type?", &type_of<Drive>, "decimal_sign",
     kNone, "",
     "27.98 is a point, 27,98 a comma. Without an answer 27,98 is asked back each time."},
    {"cylinders.count", kCylinders, "Number of cylinders?", &type_of<Cylinders>, "count"},
    {"cylinders.layout", kCylinders, "Arrangement?", &type_of<Cylinders>, "layout"},
    {"cylinders.bank_angle", kCylinders, "Angle between the banks, with its unit?",
     &type_of<Cylinders>, "bank_angle"},
    {"cylinders.firing_order", kCylinders, "Firing order?", &type_of<Cylinders>, "firing_order",
     kNone, "1-3-4-2"},
    {"unit.engine", kCylinders, "Unit of the sizes of engine and chain: bore, stroke, pitch?",
     nullptr, "", kNone, "mm", "Said once for this table; a number with its own unit keeps it.",
     "mm|in"},
    {"cylinders.bore", kCylinders, "Cylinder bore?", &type_of<Cylinders>, "bore",
     UnitTable::engine},
    {"cylinders.stroke", kCylinders, "Stroke?", &type_of<Cylinders>, "stroke", UnitTable::engine},
    {"crankshaft.seen_from", kCrankshaft, "From which end does the manual look at it?",
     &type_of<Crankshaft>, "seen_from", kNone, "",
     "Without it neither rotation nor left and right can be said."},
    {"crankshaft.rotation", kCrankshaft, "Running direction, seen from the {}?",
     &type_of<Crankshaft>, "rotation"},
    {"crankshaft.mark", kCrankshaft, "Its timing mark: how it looks and where it points?",
     &type_of<Crankshaft>, "mark"},
    {"chain.name", kChains, "Name of a {}chain or belt?", &type_of<Chain>, "name", kNone,
     "timing chain", "Enter when there is no further one."},
    {"chain.bank", kChains, "{}: the bank that it drives, if only one?", &type_of<Chain>, "bank"},
    {"chain.type", kChains, "{}: kind?", &type_of<Chain>, "type"},
    {"chain.standard", kChains, "{}: standard and size?", &type_of<Chain>, "standard"},
    {"chain.pitch", kChains, "{}: pitch?", &type_of<Chain>, "pitch", UnitTable::engine},
    {"chain.links", kChains, "{}: links all round, counted as pitches?", &type_of<Chain>, "links"},
    {"chain.marked_links", kChains, "{}: which links are marked, and how?", &type_of<Chain>,
     "marked_links"},
    {"chain.crank_teeth", kChains, "{}: teeth of its sprocket on the crankshaft?",
     &type_of<CrankSprocket>, "teeth", kNone, "21", "Enter where another shaft drives it."},
    {"chain.guides", kChains, "{}: guides and arm, by name (several: a; b)?", nullptr, "", kNone,
     "fixed guide; tensioner arm", "Names by which readings speak of them."},
    {"chain.tensioner", kChains, "{}: has it a tensioner?", nullptr, "", kNone, "yes",
     "A tensioner that is named here can be measured.", "yes|no"},
    {"tensioner.stroke", kChains, "{}: full stroke of the plunger?", &type_of<Tensioner>, "stroke",
     UnitTable::engine},
    {"tensioner.ratchet_step", kChains, "{}: stroke of one ratchet tooth?", &type_of<Tensioner>,
     "ratchet_step", UnitTable::engine},
    {"tensioner.side", kChains, "{}: on which side the tensioner stands?", &type_of<Tensioner>,
     "side"},
    {"bank.count", kBanks, "How many banks (in line: 1)?", nullptr, "", kNone, "1",
     "Bank 1 holds cylinder 1."},
    {"bank.cylinders", kBanks, "{}: its cylinders?", &type_of<Bank>, "cylinders", kNone, "1 3 5"},
    {"bank.side", kBanks, "{}: left or right, seen from the end named before?", &type_of<Bank>,
     "side"},
    {"bank.head_material", kBanks, "{}: material of head and caps?", &type_of<Bank>,
     "head_material"},
    {"bank.camshafts", kBanks, "{}: its camshafts, by name (several: a; b)?", nullptr, "", kNone,
     "intake camshaft; exhaust camshaft", "Names by which readings speak of them."},
    {"camshaft.chain", kBanks, "{}: the chain that drives it?", &type_of<Camshaft>, "chain"},
    {"camshaft.teeth", kBanks, "{}: teeth of its sprocket?", &type_of<Camshaft>, "sprocket_teeth"},
    {"camshaft.journals", kBanks, "{}: number of journals?", &type_of<Camshaft>, "journals"},
    {"camshaft.material", kBanks, "{}: material?", &type_of<Camshaft>, "material"},
    {"camshaft.phaser", kBanks, "{}: has it a phaser?", nullptr, "", kNone, "yes",
     "A device that turns the camshaft against its sprocket.", "yes|no"},
    {"phaser.base", kBanks, "{}: where the phaser locks?", &type_of<Phaser>, "base"},
    {"phaser.range", kBanks, "{}: full travel of the phaser, crank degrees, with the unit?",
     &type_of<Phaser>, "range"},
    {"chain.counted", kMarks, "{}: what do the link counts between marks count?", &type_of<Chain>,
     "counted", kNone, "", "Without it a count says nothing, and the counts are not asked."},
    {"chain.marks", kMarks, "{}: marked sprockets in running direction (a; b; c)?", nullptr, "",
     kNone, "crank; exhaust camshaft; intake camshaft",
     "Begin anywhere; the last strand leads back to the first one."},
    {"strand.links", kMarks, "{}?", &type_of<Strand>, "links", kNone, "60",
     "The count in the way that was said."},
    {"unit.sizes", kLimits, "Unit of the table of limits of sizes?", nullptr, "", kNone, "mm",
     "Said once for this table; a number with its own unit keeps it.", "mm|in"},
    {"limit.new", kLimits, "{}: range of new parts?", &type_of<Fit>, "new"},
    {"limit.service", kLimits, "{}: limit for used parts?", &type_of<Fit>, "service"},
    {"limit.applies_to", kLimits,
     "{}: does the limit mean the mean of all readings, or the worst direction?", &type_of<Fit>,
     "applies_to"},
    {"limit.elsewhere", kLimits, "{}: places with another limit (several: a; b)?", nullptr, "",
     kNone, "bank 1 / camshaft / journal 1", "Enter when the limit is the same everywhere."},
    {"limit.links", kLimits, "{}: over how many links?", &type_of<Fit>, "links"},
    {"limit.drop", kLimits, "{}: for which way, with its unit?", &type_of<Fit>, "drop"},
    {"limit.force", kLimits, "{}: under which force, with its unit?", &type_of<Fit>, "force"},
    {"oil.grade", kOil, "Specified oil grade?", &type_of<Oil>, "grade"},
    {"oil.fill", kOil, "Filling with filter, with its unit?", &type_of<Oil>, "fill"},
    {"oil.port", kOil, "Name of a {}place where a pressure gauge can be fitted?", &type_of<OilPort>,
     "name", kNone, "main gallery", "Enter when there is no further one."},
    {"oil.port_bank", kOil, "{}: its bank, if each bank has one?", &type_of<OilPort>, "bank"},
    {"unit.pressure", kOil, "Unit of the table of oil pressures?", nullptr, "", kNone, "kPa",
     "Said once for this table; a number with its own unit keeps it.", "kPa|psi|bar"},
    {"unit.temperature", kOil, "Unit of its oil temperatures?", nullptr, "", kNone, "degC",
     "Said once for this table; a number with its own unit keeps it.", "degC|degF"},
    {"pressure.at", kOil, "Port of a {}pressure limit?", &type_of<PressureLimit>, "at", kNone, "",
     "Enter when there is no further limit."},
    {"pressure.limit", kOil, "{}: the limit?", &type_of<PressureLimit>, "limit",
     UnitTable::pressure},
    {"pressure.speed", kOil, "{}: at which engine speed?", &type_of<PressureLimit>, "speed",
     UnitTable::speed},
    {"pressure.temperature", kOil, "{}: at which oil temperature?", &type_of<PressureLimit>,
     "oil_temperature", UnitTable::temperature},
    {"unit.torque", kFasteners, "Unit of the table of torques?", nullptr, "", kNone, "N·m",
     "Said once for this table. lbf·ft and lbf·in differ by a factor of 12.", "N·m|lbf·ft|lbf·in"},
    {"fastener.name", kFasteners, "What does a {}bolt or nut hold?", &type_of<Fastener>, "name",
     kNone, "phaser bolt", "Enter when there is no further one."},
    {"fastener.thread", kFasteners, "{}: thread?", &type_of<Fastener>, "thread"},
    {"fastener.class", kFasteners, "{}: strength class?", &type_of<Fastener>, "class"},
    {"fastener.count", kFasteners, "{}: how many?", &type_of<Fastener>, "count"},
    {"fastener.condition", kFasteners, "{}: dry, oiled, threadlocker?", &type_of<Fastener>,
     "condition"},
    {"fastener.steps", kFasteners, "{}: tightening steps in order (a; b)?", nullptr, "",
     UnitTable::torque, "35 N·m; 75 deg",
     "Where there are several steps each has its unit: a torque, or deg for a further angle."},
    {"fastener.single_use", kFasteners, "{}: is it used once only?", &type_of<Fastener>,
     "single_use"},
    {"fastener.note", kFasteners, "{}: caution or remark?", &type_of<Fastener>, "note"},
};

}  // namespace

std::span<const InterviewRow> interview_rows() { return kRows; }

const InterviewRow& interview_row(std::string_view key) {
  for (const InterviewRow& row : kRows)
    if (row.key == key) return row;
  throw std::logic_error("no question " + std::string(key));
}

}  // namespace tautmark::cli
