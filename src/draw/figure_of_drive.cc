// SPDX-License-Identifier: Apache-2.0
#include "draw/figure_of_drive.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/text.h"
#include "draw/schematic.h"
#include "drive/drive_fields.h"
#include "drive/places.h"
#include "geometry/counts.h"
#include "geometry/phase.h"

namespace tautmark {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
// A face that the straight strand clears by less is drawn as touched: no drawing shows more.
constexpr double kTouches = 0.05e-3;

double folded_turn(double angle) { return std::fmod(std::fmod(angle, kTurn) + kTurn, kTurn); }

Angle clock_of(const Point& from, const Point& to) {
  return Angle::from_si(folded_turn(std::atan2((to.x - from.x).si(), (to.y - from.y).si())));
}

// One chain laid, and what the figure needs of it.
struct LaidChain {
  const Chain* chain = nullptr;
  PathInputs in;
  Path path;
  std::vector<std::string> wheels;
  std::vector<std::optional<Angle>> marks;  // clock angles with the crank at marks_at
};

class FigureMaker {
 public:
  FigureMaker(const Drive& drive, const FigureState& state) : drive_(drive), state_(state) {}

  Result<Figure> make(bool to_scale) {
    figure_.title = drive_.title.value_or(drive_.name);
    figure_.invented = drive_.invented.value_or(false);
    figure_.to_scale = to_scale;
    figure_.clockwise = crank_runs_clockwise(drive_).value_or(true);
    figure_.crank = state_.crank;
    turned_["crank"] = state_.crank.si();
    off_["crank"] = 0;
    turns_["crank"] = 1;
    if (auto problem = lay_chains()) return tl::make_unexpected(Refusal{std::move(*problem)});
    add_banks();
    add_notes();
    for (const GearPair& gear : drive_.gears) add_gears(gear);
    return std::move(figure_);
  }

 private:
  std::optional<std::string> lay_chains() {
    std::vector<const Chain*> waiting;
    for (const Chain& chain : drive_.chains)
      if (!chain.path.empty()) waiting.push_back(&chain);
    if (waiting.empty() && drive_.gears.empty()) return "no chain that could be drawn";
    while (!waiting.empty()) {
      const auto next = std::find_if(waiting.begin(), waiting.end(), [&](const Chain* chain) {
        return turned_.contains(folded(driver_of(drive_, *chain)));
      });
      if (next == waiting.end()) return fmt::format("{}: nothing drives it", waiting.front()->name);
      const Chain& chain = **next;
      const auto worn = state_.wear.find(chain.name);
      auto in = path_inputs(drive_, chain, worn == state_.wear.end() ? ChainWear{} : worn->second);
      if (!in) return in.error().why;
      auto path = solve_path(*in);
      if (!path) return fmt::format("{}: {}", chain.name, path.error().why);
      LaidChain laid{&chain, std::move(*in), std::move(*path), wheels_of(drive_, chain), {}};
      laid.marks = mark_clocks(drive_, chain, laid.in, laid.path);
      add_chain(laid);
      waiting.erase(next);
    }
    return std::nullopt;
  }

  // Path coordinates count pitches from where the chain arrives at the driving wheel.
  static double coordinate_of(const LaidChain& laid, std::size_t contact) {
    double s = 0;
    for (std::size_t k = 0; k < contact; ++k)
      s += laid.path.contacts[k].pitches + laid.path.strands[k].pitches;
    return s;
  }

  [[nodiscard]] static bool runs_clockwise(const LaidChain& laid, const PathElement& element) {
    return (laid.in.turn < 0) != element.outside;
  }

  void add_chain(const LaidChain& laid) {
    const Chain& chain = *laid.chain;
    const PathElement& driver = laid.in.elements.front();
    const double sense = runs_clockwise(laid, driver) ? 1 : -1;
    const Angle arrives = clock_of(driver.center, laid.path.contacts.front().arrives);
    // The link on the driving mark is link 0; without a mark any link will do.
    double mark_s = 0.5;
    if (laid.marks.front())
      mark_s =
          driver.teeth * folded_turn(sense * (laid.marks.front()->si() - arrives.si())) / kTurn;
    const ChainMark* mark = mark_at(chain, driver.name);
    const double lead = mark != nullptr && in_gap(*mark) ? 0.5 : 0;
    const double moved = driver.teeth * turned_.at(folded(driver.name)) / kTurn;
    const double travel = mark_s + lead - 0.5 + moved;

    FigureChain out;
    out.name = chain.name;
    out.bank = chain.bank;
    out.belt = laid.in.belt;
    out.pitch = laid.in.pitch;
    out.pins = pin_points(laid.in, laid.path, travel);
    out.track = track_of(laid.in, laid.path);
    out.first_pin = travel;
    out.pitches_per_turn = driver.teeth * turns_.at(folded(driver.name));
    add_link_marks(laid, out);
    add_wheels(laid, travel);
    add_strands(laid, travel, out);
    figure_.chains.push_back(std::move(out));
    add_arcs(laid);
    add_tensioner(laid);
  }

  // Counts between leading links: what the strands say, without the half pitch of a gap.
  std::optional<long> link_under(const LaidChain& laid, const std::string& wheel) const {
    if (same_place(wheel, laid.wheels.front())) return 0;
    const auto between = pitches_between(*laid.chain, wheel, laid.wheels.front());
    if (!between) return std::nullopt;
    const auto half = [&](const std::string& at) {
      const ChainMark* mark = mark_at(*laid.chain, at);
      return mark != nullptr && in_gap(*mark) ? 0.5 : 0.0;
    };
    const long count = std::lround(*between - half(wheel) + half(laid.wheels.front()));
    return ((-count) % laid.in.links + laid.in.links) % laid.in.links;
  }

  void add_link_marks(const LaidChain& laid, FigureChain& out) const {
    for (const ChainMark& mark : laid.chain->marks) {
      const auto link = link_under(laid, mark.at);
      if (!link) continue;
      for (int k = 0; k < mark.links.value_or(1); ++k)
        out.marked.push_back({static_cast<std::size_t>((*link - k + laid.in.links) % laid.in.links),
                              mark.color.value_or("marked")});
    }
  }

  void add_wheels(const LaidChain& laid, double travel) {
    for (std::size_t k = 0; k < laid.path.contacts.size(); ++k) {
      const PathContact& contact = laid.path.contacts[k];
      const PathElement& element = laid.in.elements[contact.element];
      if (element.kind != ElementKind::sprocket) continue;
      const bool clockwise = runs_clockwise(laid, element);
      const double sense = clockwise ? 1 : -1;
      FigureWheel wheel;
      wheel.name = element.name;
      wheel.label = std::string(split(element.name, '/').back());
      wheel.kind = kind_of(element.name);
      wheel.bank = laid.chain->bank;
      wheel.center = element.center;
      wheel.teeth = element.teeth;
      wheel.pitch_radius = pitch_radius(laid.in, element);
      wheel.clockwise = clockwise;
      wheel.phaser = has_phaser(element.name);
      wheel.turns = turns_.at(folded(laid.in.elements.front().name)) *
                    laid.in.elements.front().teeth / element.teeth;
      turns_.try_emplace(folded(element.name), wheel.turns);
      const double step = kTurn / element.teeth;
      // The teeth stand in the middle of the links that lie on them.
      const double s = coordinate_of(laid, k);
      const double to_link = 0.5 - (s - travel - std::floor(s - travel));
      double tooth = clock_of(element.center, contact.arrives).si() + sense * step * to_link;
      turn_shaft(laid, element, wheel, sense, step, tooth);
      wheel.tooth_zero = Angle::from_si(folded_turn(tooth));
      figure_.wheels.push_back(std::move(wheel));
    }
  }

  // Its mark, its casting pointer, and how far it stands off; `tooth` moves onto the marked tooth.
  void turn_shaft(const LaidChain& laid, const PathElement& element, FigureWheel& wheel,
                  double sense, double step, double& tooth) {
    const PathElement& driver = laid.in.elements.front();
    const double driving = turned_.at(folded(driver.name));
    const bool is_driver = &element == &driver;
    double turned = is_driver ? driving : driving * driver.teeth / element.teeth;
    const auto off = state_.teeth_early.find(element.name);
    const double early = !is_driver && off != state_.teeth_early.end() ? off->second : 0;
    turned += early * step;
    turned_.try_emplace(folded(element.name), turned);
    tooth += sense * early * step;
    wheel.teeth_early = early;
    // Own radians that it stands early altogether: its own teeth and what its driver brings along.
    const double brought = off_.at(folded(driver.name));
    const double stands_early =
        is_driver ? brought : brought * driver.teeth / element.teeth + early * step;
    off_.try_emplace(folded(element.name), stands_early);

    const auto at = std::find_if(laid.wheels.begin(), laid.wheels.end(),
                                 [&](const auto& name) { return same_place(name, element.name); });
    const ChainMark* mark = mark_at(*laid.chain, element.name);
    const auto clock = at == laid.wheels.end()
                           ? std::nullopt
                           : laid.marks[static_cast<std::size_t>(at - laid.wheels.begin())];
    if (!clock || mark == nullptr) return;
    const double stands = clock->si() + sense * turned;
    const bool gap = in_gap(*mark);
    wheel.mark = FigureMark{gap ? 0.5 : 0.0, mark->mark.value_or("")};
    tooth = stands - (gap ? step / 2 : 0);
    if (mark->clock) wheel.casting_mark = mark->clock->value;
    if (is_driver || std::abs(stands_early) < 1e-9) return;
    wheel.mark_should_be = Angle::from_si(folded_turn(stands - sense * stands_early));
    wheel.error = error_words(element, early, stands_early,
                              std::abs(brought) > 1e-9 ? driver.name : std::string());
  }

  // "1 tooth late: 9.5° cam, 18.9° crank", "late with idler: 9.0° cam, 18.0° crank".
  [[nodiscard]] std::string error_words(const PathElement& element, double teeth, double radians,
                                        const std::string& with) const {
    const auto turns = shaft_turns(drive_, element.name);
    if (!turns) return {};
    const double own = std::abs(radians) / kRadiansPerDegree;
    const double crank = own * static_cast<double>(turns->under) / static_cast<double>(turns->over);
    const std::string_view word = radians > 0 ? "early" : "late";
    const double count = std::abs(teeth);
    std::string words = count == 0 ? std::string(word)
                                   : fmt::format("{} {} {}", count, count == 1 ? "tooth" : "teeth",
                                                 teeth > 0 ? "early" : "late");
    if (!with.empty()) words += fmt::format(" with {}", split(with, '/').back());
    return words + fmt::format(": {:.1f}° {}, {:.1f}° crank", own,
                               kind_of(element.name) == WheelKind::camshaft ? "cam" : "of its own",
                               crank);
  }

  static Length pitch_radius(const PathInputs& in, const PathElement& element) {
    const double pitch = in.pitch.si() * (in.rides_out && !in.belt ? 1 + in.elongation.si() : 1);
    return Length::from_si(in.belt ? pitch * element.teeth / kTurn
                                   : pitch / (2 * std::sin(std::numbers::pi / element.teeth)));
  }

  WheelKind kind_of(const std::string& name) const {
    if (same_place(name, kCrank)) return WheelKind::crank;
    for (const EnginePlace& place : places_of(drive_))
      if (place.type == PlaceType::camshaft && same_place(place.path, name))
        return WheelKind::camshaft;
    for (const Idler& idler : drive_.idlers)
      if (same_place(idler.name, name)) return WheelKind::idler;
    return WheelKind::other;
  }

  bool has_phaser(const std::string& name) const {
    for (const EnginePlace& place : places_of(drive_))
      if (place.type == PlaceType::camshaft && same_place(place.path, name))
        return place.camshaft->phaser.has_value();
    return false;
  }

  // Free pins between two wheels; named by where the strand lies in the pull of the chain.
  void add_strands(const LaidChain& laid, double travel, FigureChain& out) const {
    const auto& contacts = laid.path.contacts;
    std::vector<std::size_t> wheels;
    for (std::size_t k = 0; k < contacts.size(); ++k)
      if (laid.in.elements[contacts[k].element].kind == ElementKind::sprocket) wheels.push_back(k);
    const auto pin_at = [&](double s) {
      const double pin = std::fmod(s - travel, laid.in.links);
      return static_cast<std::size_t>(
                 std::lround(std::floor(pin < 0 ? pin + laid.in.links : pin))) %
             static_cast<std::size_t>(laid.in.links);
    };
    for (std::size_t i = 0; i < wheels.size(); ++i) {
      const bool last = i + 1 == wheels.size();
      FigureStrand strand;
      strand.from = laid.in.elements[contacts[wheels[i]].element].name;
      strand.to = laid.in.elements[contacts[wheels[last ? 0 : i + 1]].element].name;
      strand.first_pin = pin_at(coordinate_of(laid, wheels[i]) + contacts[wheels[i]].pitches + 1);
      strand.last_pin =
          pin_at(last ? static_cast<double>(laid.in.links) : coordinate_of(laid, wheels[i + 1]));
      const Strand* counted = strand_over(laid, wheels, i);
      const std::string& leaves = counted != nullptr ? counted->from : strand.from;
      const std::string& arrives = counted != nullptr ? counted->to : strand.to;
      strand.name = same_place(leaves, laid.wheels.front())    ? "slack strand"
                    : same_place(arrives, laid.wheels.front()) ? "tight strand"
                                                               : middle_name(*laid.chain);
      if (counted != nullptr && same_place(counted->from, strand.from))
        strand.count = count_now(*laid.chain, *counted, laid.wheels.front());
      out.strands.push_back(std::move(strand));
    }
  }

  // The counted strand that this piece between two wheels belongs to: unmarked wheels, a pump, lie
  // in the middle of one.
  static const Strand* strand_over(const LaidChain& laid, const std::vector<std::size_t>& wheels,
                                   std::size_t piece) {
    const auto name = [&](std::size_t i) -> const std::string& {
      return laid.in.elements[laid.path.contacts[wheels[i % wheels.size()]].element].name;
    };
    for (std::size_t start = piece + 1; start-- > 0;)
      for (const Strand& strand : laid.chain->strands) {
        if (!same_place(strand.from, name(start))) continue;
        for (std::size_t end = piece + 1; end <= wheels.size(); ++end)
          if (same_place(strand.to, name(end))) return &strand;
      }
    return nullptr;
  }

  // A wheel that stands a tooth early takes a link from the strand behind it into the one before.
  // A driving wheel takes its chain along.
  [[nodiscard]] std::optional<int> count_now(const Chain& chain, const Strand& strand,
                                             const std::string& driver) const {
    double count = as_pitches(strand.links, chain.counted.value_or(LinkCounting::pitches));
    for (const auto& [wheel, early] : state_.teeth_early) {
      if (same_place(wheel, driver)) continue;
      if (same_place(wheel, strand.from)) count -= early;
      if (same_place(wheel, strand.to)) count += early;
    }
    if (std::floor(count) != count) return std::nullopt;  // half a tooth is no count
    return static_cast<int>(count);
  }

  static std::string middle_name(const Chain& chain) {
    for (const Guide& guide : chain.guides)
      if (guide.side && !guide.side->starts_with("tight") && !guide.side->starts_with("slack"))
        return *guide.side;
    return "span";
  }

  void add_arcs(const LaidChain& laid) {
    for (std::size_t i = 0; i < laid.in.elements.size(); ++i) {
      const PathElement& element = laid.in.elements[i];
      if (element.kind == ElementKind::sprocket) continue;
      const bool is_arm = element.kind == ElementKind::arm;
      const auto part =
          std::find_if(laid.chain->path.begin(), laid.chain->path.end(),
                       [&](const PathPart& p) { return same_place(p.name, element.name); });
      const Point center = is_arm ? laid.path.arm_center : element.center;
      if (part == laid.chain->path.end()) continue;
      if (!part->from || !part->to) {  // a pulley, also one that an arm carries
        FigureWheel pulley;
        pulley.name = pulley.label = element.name;
        pulley.kind = WheelKind::pulley;
        pulley.bank = laid.chain->bank;
        pulley.center = center;
        pulley.pitch_radius = element.radius;
        pulley.clockwise = runs_clockwise(laid, element);
        pulley.turns = figure_.chains.back().pitches_per_turn * laid.in.pitch.si() /
                       (kTurn * element.radius.si());
        figure_.wheels.push_back(std::move(pulley));
        continue;
      }
      FigureArc arc;
      arc.name = element.name;
      arc.center = center;
      arc.radius = element.radius - element.wear;
      // The face turns with its arm; the arm's own sense is that of its center about the pivot.
      const double swung = is_arm ? swing_of(element.center, center, *laid.in.pivot) : 0;
      arc.from = Angle::from_si(folded_turn(part->from->value.si() + swung));
      arc.to = Angle::from_si(folded_turn(part->to->value.si() + swung));
      arc.outside = element.outside;
      arc.touched = std::find(laid.path.not_touched.begin(), laid.path.not_touched.end(), i) ==
                        laid.path.not_touched.end() ||
                    gap_to_chain(laid, center, arc.radius) < kTouches;
      if (is_arm) arc.pivot = laid.in.pivot;
      if (element.wear.si() > 0) arc.worn = element.wear;
      figure_.arcs.push_back(std::move(arc));
    }
  }

  // Between a face and the straight strands, negative where a strand would cut it.
  static double gap_to_chain(const LaidChain& laid, const Point& center, Length radius) {
    double least = std::numeric_limits<double>::infinity();
    for (const PathStrand& strand : laid.path.strands) {
      const double x = (strand.arrives.x - strand.leaves.x).si();
      const double y = (strand.arrives.y - strand.leaves.y).si();
      const double px = (center.x - strand.leaves.x).si(), py = (center.y - strand.leaves.y).si();
      const double along = (px * x + py * y) / (x * x + y * y);
      if (along < 0 || along > 1) continue;
      least = std::min(least, std::abs(px * y - py * x) / std::hypot(x, y) - radius.si());
    }
    return least;
  }

  static double swing_of(const Point& before, const Point& after, const Point& pivot) {
    return clock_of(pivot, after).si() - clock_of(pivot, before).si();
  }

  void add_tensioner(const LaidChain& laid) {
    const Chain& chain = *laid.chain;
    if (!chain.tensioner || !chain.tensioner->plunger || !laid.in.plunger || !laid.in.pivot) return;
    const PlungerAt& at = *chain.tensioner->plunger;
    FigureTensioner out;
    out.name = chain.name + " / tensioner";
    out.base = laid.in.plunger->base;
    out.points = at.points.value;
    out.extension = laid.path.stroke;
    if (chain.tensioner->stroke) out.stroke = chain.tensioner->stroke->value;
    const auto arm = std::find_if(laid.in.elements.begin(), laid.in.elements.end(),
                                  [](const auto& e) { return e.kind == ElementKind::arm; });
    const double swung = -swing_of(arm->center, laid.path.arm_center, *laid.in.pivot);
    const double x = (laid.in.plunger->pad.x - laid.in.pivot->x).si();
    const double y = (laid.in.plunger->pad.y - laid.in.pivot->y).si();
    out.pad = Point{laid.in.pivot->x + Length::from_si(x * std::cos(swung) - y * std::sin(swung)),
                    laid.in.pivot->y + Length::from_si(x * std::sin(swung) + y * std::cos(swung))};
    out.pad_radius = laid.in.plunger->pad_radius;
    figure_.tensioners.push_back(std::move(out));
  }

  // Gears have no places in the file: the driven one is drawn beside its driver, touching it.
  void add_gears(const GearPair& gear) {
    constexpr double kModule = 2e-3;  // where no radius is given; the place is made up anyway
    const double ratio = static_cast<double>(gear.driver_teeth) / gear.driven_teeth;
    const double radius = gear.radius ? gear.radius->value.si() : kModule * gear.driven_teeth / 2;
    const auto turned = turned_.find(folded(gear.driver));
    if (turned == turned_.end()) {
      figure_.notes.push_back(fmt::format("gears, not drawn: {} ({} teeth) drives {} ({} teeth)",
                                          gear.driver, gear.driver_teeth, gear.driven,
                                          gear.driven_teeth));
      return;
    }
    FigureWheel driver = gear_wheel(gear.driver, gear.driver_teeth, radius * ratio);
    FigureWheel driven = gear_wheel(gear.driven, gear.driven_teeth, radius);
    for (const FigureWheel& wheel : figure_.wheels)
      if (same_place(wheel.name, gear.driver)) {
        driver.center = wheel.center;
        driver.clockwise = wheel.clockwise;
      }
    const bool beside = std::abs(driver.center.y.si()) > 0;
    const Length reach = driver.pitch_radius + driven.pitch_radius;
    driven.center = beside ? Point{driver.center.x + reach, driver.center.y}
                           : Point{driver.center.x, driver.center.y + reach};
    driven.clockwise = !driver.clockwise;
    const double sense = driver.clockwise ? 1 : -1;
    driver.tooth_zero = Angle::from_si(folded_turn(sense * turned->second));
    // Where they meet a tooth of one stands in a gap of the other.
    const double meet = beside ? kTurn / 4 : 0;
    const double own_step = kTurn / gear.driven_teeth, step = kTurn / gear.driver_teeth;
    const double past = std::remainder(meet - driver.tooth_zero.si(), step) * ratio;
    driven.tooth_zero = Angle::from_si(folded_turn(meet + kTurn / 2 + past + own_step / 2));
    turned_.try_emplace(folded(gear.driven), turned->second * ratio);
    off_.try_emplace(folded(gear.driven), 0);
    driver.turns = turns_.at(folded(gear.driver));
    driven.turns = driver.turns * ratio;
    turns_.try_emplace(folded(gear.driven), driven.turns);
    figure_.to_scale = false;
    figure_.wheels.push_back(std::move(driver));
    figure_.wheels.push_back(std::move(driven));
  }

  [[nodiscard]] FigureWheel gear_wheel(const std::string& name, int teeth, double radius) const {
    FigureWheel wheel;
    wheel.name = name;
    wheel.label = std::string(split(name, '/').back());
    wheel.kind = kind_of(name);
    wheel.teeth = teeth;
    wheel.pitch_radius = Length::from_si(radius);
    wheel.clockwise = figure_.clockwise;
    return wheel;
  }

  void add_notes() {
    if (!drive_.checked_by)
      figure_.notes.emplace_back("This definition is not checked against its source.");
    for (const Chain& chain : drive_.chains) {
      const auto worn = state_.wear.find(chain.name);
      if (worn == state_.wear.end() || worn->second.elongation.si() == 0) continue;
      std::string words = fmt::format("{}: drawn {:.2f} % longer than new", chain.name,
                                      100 * worn->second.elongation.si());
      const auto as_new = path_inputs(drive_, chain), in = path_inputs(drive_, chain, worn->second);
      const auto change = as_new && in ? phase_change(*as_new, *in)
                                       : Result<std::vector<Angle>>(tl::make_unexpected(Refusal{}));
      const auto wheels = wheels_of(drive_, chain);
      for (std::size_t i = 1; change && i < change->size() && i < wheels.size(); ++i)
        if (const auto turns = shaft_turns(drive_, wheels[i]))
          words +=
              fmt::format("; {} {:.1f}° {} (crank) by it", wheels[i],
                          std::abs((*change)[i].si()) / kRadiansPerDegree *
                              static_cast<double>(turns->under) / static_cast<double>(turns->over),
                          (*change)[i].si() <= 0 ? "late" : "early");
      figure_.notes.push_back(std::move(words));
    }
  }

  void add_banks() {
    if (drive_.banks.size() < 2) return;
    for (const Bank& bank : drive_.banks) {
      std::string words = fmt::format("bank {}", bank.number);
      if (bank.side && bank.seen_from)
        words += fmt::format(", {} seen from the {}", choice_name(*bank.side),
                             choice_name(*bank.seen_from));
      figure_.banks.emplace_back(bank.number, std::move(words));
    }
  }

  const Drive& drive_;
  const FigureState& state_;
  Figure figure_;
  // Shafts by name, in their own running direction: radians turned on, radians standing early, and
  // turns per crank turn.
  std::map<std::string, double> turned_, off_, turns_;
};

}  // namespace

Result<Figure> figure_of(const Drive& drive, const FigureState& state) {
  const bool has_places =
      !drive.chains.empty() && std::all_of(drive.chains.begin(), drive.chains.end(),
                                           [](const Chain& chain) { return !chain.path.empty(); });
  if (has_places) return FigureMaker(drive, state).make(true);
  const auto schematic = schematic_of(drive);
  if (!schematic) return tl::make_unexpected(schematic.error());
  FigureState without_wear = state;
  without_wear.wear.clear();  // no coordinates, no path for wear to change
  auto figure = FigureMaker(schematic->drive, without_wear).make(false);
  if (figure)
    figure->notes.insert(figure->notes.end(), schematic->assumed.begin(), schematic->assumed.end());
  return figure;
}

}  // namespace tautmark
