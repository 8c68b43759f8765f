// SPDX-License-Identifier: Apache-2.0
#include "draw/test_figures.h"

#include <cmath>
#include <numbers>

namespace tautmark::draw_test {
namespace {

constexpr double kPi = std::numbers::pi;

struct Circle {  // millimetres; sense -1: the clockwise chain turns with it, +1: its back runs on
                 // it
  double x, y, r;
  int sense;
};
struct Vector {
  double x, y;
};

struct Piece {  // arc about a circle followed by the strand to the next
  Vector center;
  double r, from, wrap;  // from: angle counterclockwise from +x; wrap signed
  Vector leaves, arrives;
};

// Tangents as in geometry.md 2.1.
std::vector<Piece> loop(const std::vector<Circle>& circles) {
  const std::size_t n = circles.size();
  std::vector<double> psi(n);
  std::vector<Piece> pieces(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Circle &a = circles[i], &b = circles[(i + 1) % n];
    const double dx = b.x - a.x, dy = b.y - a.y, q = b.sense * b.r - a.sense * a.r;
    psi[i] = std::atan2(dy, dx) - std::atan2(q, std::sqrt(dx * dx + dy * dy - q * q));
    const Vector left{-std::sin(psi[i]), std::cos(psi[i])};
    pieces[i].leaves = {a.x - a.sense * a.r * left.x, a.y - a.sense * a.r * left.y};
    pieces[i].arrives = {b.x - b.sense * b.r * left.x, b.y - b.sense * b.r * left.y};
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Circle& c = circles[i];
    const Vector in = pieces[(i + n - 1) % n].arrives;
    double wrap = std::fmod(c.sense * (psi[i] - psi[(i + n - 1) % n]), 2 * kPi);
    if (wrap < 0) wrap += 2 * kPi;
    pieces[i].center = {c.x, c.y};
    pieces[i].r = c.r;
    pieces[i].from = std::atan2(in.y - c.y, in.x - c.x);
    pieces[i].wrap = c.sense * wrap;
  }
  return pieces;
}

std::vector<Point> pins_on(const std::vector<Piece>& pieces, int links) {
  double whole = 0;
  for (const Piece& p : pieces)
    whole +=
        p.r * std::abs(p.wrap) + std::hypot(p.arrives.x - p.leaves.x, p.arrives.y - p.leaves.y);
  std::vector<Point> pins;
  double start = 0;
  const double step = whole / links;
  for (const Piece& p : pieces) {
    const double arc = p.r * std::abs(p.wrap);
    const double strand = std::hypot(p.arrives.x - p.leaves.x, p.arrives.y - p.leaves.y);
    while (static_cast<int>(pins.size()) < links) {
      const double at = static_cast<double>(pins.size()) * step - start;
      if (at >= arc + strand) break;
      if (at < arc) {
        const double angle = p.from + p.wrap * at / arc;
        pins.push_back(
            {mm(p.center.x + p.r * std::cos(angle)), mm(p.center.y + p.r * std::sin(angle))});
      } else {
        const double f = (at - arc) / strand;
        pins.push_back({mm(p.leaves.x + f * (p.arrives.x - p.leaves.x)),
                        mm(p.leaves.y + f * (p.arrives.y - p.leaves.y))});
      }
    }
    start += arc + strand;
  }
  return pins;
}

double clock_of(const Point& center, const Point& p) {
  return std::atan2((p.x - center.x).si(), (p.y - center.y).si());
}

// Turns the wheel until its pins lie in its gaps, and gives the link that then lies on the tooth
// nearest to a clock angle.
struct Seated {
  Angle tooth_zero;
  std::size_t link;
};
Seated seated(const FigureChain& chain, const Point& center, double clock_deg) {
  std::size_t best = 0;
  double least = 10;
  const std::size_t n = chain.pins.size();
  const auto middle = [&](std::size_t i) {
    const Point &a = chain.pins[i], &b = chain.pins[(i + 1) % n];
    return Point{(a.x + b.x) / 2, (a.y + b.y) / 2};
  };
  for (std::size_t i = 0; i < n; ++i) {
    const double off =
        std::abs(std::remainder(clock_of(center, middle(i)) - clock_deg * kPi / 180, 2 * kPi)) +
        std::hypot((middle(i).x - center.x).si(), (middle(i).y - center.y).si());
    if (off < least) {
      least = off;
      best = i;
    }
  }
  return {Angle::from_si(clock_of(center, middle(best))), best};
}

// As figures of drives have them: pins of the free strand after a wheel; the count goes from mark
// to mark, of a pair to the link that leads.
FigureStrand strand(const FigureChain& chain, std::string name, const FigureWheel& from,
                    const FigureWheel& to, std::optional<int> count) {
  const std::size_t n = chain.pins.size();
  const auto on = [&](const FigureWheel& wheel, std::size_t i) {
    const Point& p = chain.pins[i % n];
    return std::hypot((p.x - wheel.center.x).si(), (p.y - wheel.center.y).si()) <
           wheel.pitch_radius.si() + 1e-4;
  };
  std::size_t first = 0;
  while (!on(from, first) || on(from, first + 1)) ++first;
  std::size_t last = first + 1;
  while (!on(to, last)) ++last;
  return {std::move(name), first % n, last % n, from.name, to.name, count};
}

Point rotated(double x, double y, double clockwise_deg) {
  const double a = clockwise_deg * kPi / 180;
  return {mm(x * std::cos(a) + y * std::sin(a)), mm(-x * std::sin(a) + y * std::cos(a))};
}

Length sprocket_radius(int teeth, double pitch) { return mm(pitch / 2 / std::sin(kPi / teeth)); }

FigureArc arc_of(const Piece& piece, std::string name, bool touched = true) {
  const double a = kPi / 2 - piece.from, b = kPi / 2 - piece.from - piece.wrap;
  return {.name = std::move(name),
          .center = {mm(piece.center.x), mm(piece.center.y)},
          .radius = mm(piece.r),
          .from = Angle::from_si(std::min(a, b)),
          .to = Angle::from_si(std::max(a, b)),
          .outside = true,
          .touched = touched};
}

// One bank of geometry.md 3.4 (bank axis up), larger: 21 and 42 teeth, 124 links, leaning by
// `lean` degrees clockwise.
void add_bank(Figure& figure, int bank, double lean, bool late) {
  const Length crank_radius = sprocket_radius(21, 8), cam_radius = sprocket_radius(42, 8);
  const auto circle = [&](double x, double y, double r, int sense) {
    const Point p = rotated(x, y, lean);
    return Circle{in_mm(p.x), in_mm(p.y), r, sense};
  };
  const auto pieces = loop({circle(0, 0, in_mm(crank_radius), -1), circle(-178, 150, 150, 1),
                            circle(0, 366.5, in_mm(cam_radius), -1), circle(294, 185, 258, 1)});
  const std::string name = "bank " + std::to_string(bank);
  FigureChain chain{
      .name = name + " chain", .bank = bank, .pitch = mm(8), .pins = pins_on(pieces, 124)};
  const Point center = rotated(0, 366.5, lean);
  const Seated cam = seated(chain, center, lean);
  const Seated crank = seated(chain, {}, 180 + lean / 2);
  FigureWheel wheel{.name = name + " / camshaft",
                    .label = "camshaft",
                    .kind = WheelKind::camshaft,
                    .bank = bank,
                    .center = center,
                    .teeth = 42,
                    .pitch_radius = cam_radius,
                    .tooth_zero = cam.tooth_zero,
                    .mark = FigureMark{0, "dot"},
                    .casting_mark = cam.tooth_zero,
                    .phaser = true};
  if (late) {
    wheel.error = "1 tooth late: 8.6° cam, 17.1° crank";
    wheel.mark_should_be = cam.tooth_zero;
    wheel.tooth_zero = cam.tooth_zero - deg(360.0 / 42);
  }
  figure.wheels.push_back(wheel);
  if (bank == 1) {
    figure.wheels.front().tooth_zero = crank.tooth_zero;
    figure.wheels.front().casting_mark = crank.tooth_zero;
  }
  FigureArc arm = arc_of(pieces[1], name + " arm");
  arm.pivot = rotated(-62, 62, lean);
  figure.arcs.push_back(arm);
  FigureArc guide = arc_of(pieces[3], name + " guide");
  if (bank == 2) guide.worn = mm(0.6);
  figure.arcs.push_back(guide);
  figure.tensioners.push_back({.name = name + " tensioner",
                               .base = rotated(bank == 1 ? -70.4 : -73.5, 200, lean),
                               .points = deg(90 + lean),
                               .extension = mm(bank == 1 ? 6.4 : 9.5),
                               .stroke = mm(15),
                               .pad = rotated(-56, 200, lean),
                               .pad_radius = mm(8)});
  const std::size_t second = (cam.link + 1) % 124;
  chain.marked = {{crank.link, "copper"}, {cam.link, "blue"}, {second, "blue"}};
  const int slack = static_cast<int>((second + 124 - crank.link) % 124);
  const FigureWheel& driving = figure.wheels.front();
  chain.strands = {strand(chain, "slack strand", driving, wheel, slack),
                   strand(chain, "tight strand", wheel, driving, 124 - slack)};
  figure.chains.push_back(chain);
}

}  // namespace

Figure v_engine() {
  Figure figure{.title = "Vessgarth V6-12", .invented = true, .crank = crank_deg(35)};
  figure.wheels.push_back({.name = "crankshaft",
                           .label = "crankshaft",
                           .kind = WheelKind::crank,
                           .teeth = 21,
                           .pitch_radius = sprocket_radius(21, 8),
                           .mark = FigureMark{0, "line"}});
  add_bank(figure, 1, -30, false);
  add_bank(figure, 2, 30, true);
  figure.banks = {{1, "bank 1: right, seen from the flywheel end"},
                  {2, "bank 2: left, seen from the flywheel end"}};
  figure.notes = {"marks drawn as the definition states them"};
  return figure;
}

Figure inline_engine() {
  Figure figure{.title = "Quellmere I4-16", .invented = true};
  const Length crank_radius = sprocket_radius(19, 8), cam_radius = sprocket_radius(38, 8);
  const auto pieces = loop({{0, 0, in_mm(crank_radius), -1},
                            {-240, 170, 172, 1},
                            {-62, 362, in_mm(cam_radius), -1},
                            {62, 362, in_mm(cam_radius), -1},
                            {314, 190, 250, 1}});
  FigureChain chain{.name = "timing chain", .pitch = mm(8), .pins = pins_on(pieces, 138)};
  const Seated crank = seated(chain, {}, 180), in = seated(chain, {mm(-62), mm(362)}, -40),
               ex = seated(chain, {mm(62), mm(362)}, 40);
  figure.wheels = {{.name = "crankshaft",
                    .label = "crankshaft",
                    .kind = WheelKind::crank,
                    .teeth = 19,
                    .pitch_radius = crank_radius,
                    .tooth_zero = crank.tooth_zero,
                    .mark = FigureMark{0, "dot"},
                    .casting_mark = crank.tooth_zero},
                   {.name = "intake camshaft",
                    .label = "intake camshaft",
                    .kind = WheelKind::camshaft,
                    .bank = 1,
                    .center = {mm(-62), mm(362)},
                    .teeth = 38,
                    .pitch_radius = cam_radius,
                    .tooth_zero = in.tooth_zero,
                    .mark = FigureMark{0, "I"},
                    .phaser = true},
                   {.name = "exhaust camshaft",
                    .label = "exhaust camshaft",
                    .kind = WheelKind::camshaft,
                    .bank = 1,
                    .center = {mm(62), mm(362)},
                    .teeth = 38,
                    .pitch_radius = cam_radius,
                    .tooth_zero = ex.tooth_zero,
                    .mark = FigureMark{0, "E"},
                    .phaser = true}};
  figure.arcs = {arc_of(pieces[1], "tensioner arm"), arc_of(pieces[4], "fixed guide")};
  figure.arcs[0].pivot = Point{mm(-82), mm(104)};
  figure.tensioners = {{.name = "tensioner",
                        .base = {mm(-106), mm(230)},
                        .points = deg(90),
                        .extension = mm(9),
                        .stroke = mm(20),
                        .pad = Point{mm(-88), mm(230)},
                        .pad_radius = mm(9)}};
  chain.marked = {{crank.link, "yellow"}, {in.link, "dark"}, {ex.link, "dark"}};
  const auto count = [](std::size_t a, std::size_t b) {
    return static_cast<int>((b + 138 - a) % 138);
  };
  const auto& wheels = figure.wheels;
  chain.strands = {strand(chain, "slack strand", wheels[0], wheels[1], count(crank.link, in.link)),
                   strand(chain, "top strand", wheels[1], wheels[2], count(in.link, ex.link)),
                   strand(chain, "tight strand", wheels[2], wheels[0], count(ex.link, crank.link))};
  figure.chains = {chain};
  figure.banks = {{1, "all cylinders"}};
  return figure;
}

Figure schematic() {
  Figure figure{
      .title = "Family A, from a service manual", .to_scale = false, .crank = crank_deg(-12.5)};
  const Length small = sprocket_radius(20, 9.525), large = sprocket_radius(40, 9.525);
  const auto pieces = loop({{0, 0, in_mm(small), -1}, {0, 280, in_mm(large), -1}});
  FigureChain chain{.name = "chain", .pitch = mm(9.525), .pins = pins_on(pieces, 90)};
  const Seated crank = seated(chain, {}, 180), cam = seated(chain, {{}, mm(280)}, 0);
  figure.wheels = {{.name = "crankshaft",
                    .label = "crankshaft",
                    .kind = WheelKind::crank,
                    .teeth = 20,
                    .pitch_radius = small,
                    .tooth_zero = crank.tooth_zero,
                    .mark = FigureMark{0, ""}},
                   {.name = "camshaft",
                    .label = "camshaft",
                    .kind = WheelKind::camshaft,
                    .center = {{}, mm(280)},
                    .teeth = 40,
                    .pitch_radius = large,
                    .tooth_zero = cam.tooth_zero,
                    .mark = FigureMark{0.5, "dot"}}};
  chain.marked = {{crank.link, "painted"}, {cam.link, "painted"}, {(cam.link + 1) % 90, "painted"}};
  const int slack = static_cast<int>((cam.link + 1 + 90 - crank.link) % 90);
  chain.strands = {strand(chain, "slack strand", figure.wheels[0], figure.wheels[1], slack),
                   strand(chain, "tight strand", figure.wheels[1], figure.wheels[0], 90 - slack)};
  figure.chains = {chain};
  figure.notes = {"positions of the sprockets are not in the definition"};
  return figure;
}

Figure belt_engine() {
  Figure figure{.title = "Marnholt I4-8 belt", .invented = true, .crank = crank_deg(0)};
  constexpr double kPitch = 9.525;
  const auto radius = [](int teeth) { return mm(kPitch * teeth / 2 / kPi); };
  const auto pieces = loop({{0, 0, in_mm(radius(22)), -1},
                            {-62, 72, 27, 1},
                            {0, 330, in_mm(radius(44)), -1},
                            {96, 130, in_mm(radius(20)), -1}});
  FigureChain belt{.name = "belt", .belt = true, .pitch = mm(kPitch), .pins = pins_on(pieces, 108)};
  const auto seat = [&](double x, double y, double clock) {
    return seated(belt, {mm(x), mm(y)}, clock);
  };
  const Seated crank = seat(0, 0, 180), cam = seat(0, 330, 0), pump = seat(96, 130, 90);
  figure.wheels = {{.name = "crankshaft",
                    .label = "crankshaft",
                    .kind = WheelKind::crank,
                    .teeth = 22,
                    .pitch_radius = radius(22),
                    .tooth_zero = crank.tooth_zero,
                    .mark = FigureMark{0, "dot"},
                    .casting_mark = crank.tooth_zero},
                   {.name = "camshaft",
                    .label = "camshaft",
                    .kind = WheelKind::camshaft,
                    .center = {{}, mm(330)},
                    .teeth = 44,
                    .pitch_radius = radius(44),
                    .tooth_zero = cam.tooth_zero,
                    .mark = FigureMark{0, "line"},
                    .casting_mark = cam.tooth_zero},
                   {.name = "water pump",
                    .label = "water pump",
                    .kind = WheelKind::other,
                    .center = {mm(96), mm(130)},
                    .teeth = 20,
                    .pitch_radius = radius(20),
                    .tooth_zero = pump.tooth_zero},
                   {.name = "tensioner pulley",
                    .label = "tensioner pulley",
                    .kind = WheelKind::pulley,
                    .center = {mm(-62), mm(72)},
                    .pitch_radius = mm(27)}};
  belt.marked = {{cam.link, "white"}, {crank.link, "white"}};
  belt.strands = {strand(belt, "slack strand", figure.wheels[0], figure.wheels[1], std::nullopt),
                  strand(belt, "span", figure.wheels[1], figure.wheels[2], std::nullopt),
                  strand(belt, "tight strand", figure.wheels[2], figure.wheels[0], std::nullopt)};
  figure.chains = {belt};
  return figure;
}

}  // namespace tautmark::draw_test
