// SPDX-License-Identifier: Apache-2.0
#include "recording/decode.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "recording/crank_train.h"
#include "recording/cycle.h"
#include "recording/plausible.h"
#include "recording/slots.h"
#include "recording/spacing.h"

namespace tautmark {
namespace {

constexpr double kLeastStep = 1;         // degrees between teeth
constexpr double kManyWrong = 0.03;      // of the teeth
constexpr double kFineTolerance = 21.6;  // degrees, signals.md 4d: 0.03 of a cycle
constexpr double kLooseTolerance = 45;   // degrees, of a channel known to be a cam that wanders

void set_code(Wheel& wheel, const CodedTeeth& code) {
  const double pitch = 360.0 / wheel.slots;
  const std::size_t teeth = wheel.angles.size(), period = code.wide.size();
  wheel.name = fmt::format("{} teeth, wide and narrow", teeth);
  wheel.symmetry = static_cast<int>(teeth / period);
  for (std::size_t tooth = 0; tooth < teeth; ++tooth)
    wheel.widths.push_back(pitch * (code.wide[tooth % period] ? code.wide_part : code.narrow_part));
}

// Wheel, cycle and pieces in degrees from a provisional zero. False: too few turns to learn the
// angles of unequal teeth.
bool set_wheel(Decoded& decoded, CrankTrain& train, const SignalTrains& trains) {
  DecodedCrank& crank = decoded.crank;
  double slots = 0;
  if (!train.pattern) {
    const int teeth = train.length / 2;
    const SlotPattern all{std::vector<bool>(static_cast<std::size_t>(teeth), true)};
    std::vector<std::vector<double>> times;
    // Pieces after a stop begin at an unknown tooth; they are placed later, the longest teaches.
    const auto longest = std::max_element(
        train.pieces.begin(), train.pieces.end(),
        [](const Knots& a, const Knots& b) { return a.time.size() < b.time.size(); });
    times.push_back(longest->time);
    const std::vector<double> steps = train.even
                                          ? std::vector<double>(all.present.size(), 360.0 / teeth)
                                          : step_shares(times, teeth);
    if (!std::all_of(steps.begin(), steps.end(), [](double step) { return step > kLeastStep; }))
      return false;
    const MeasuredWheel measured = measured_wheel(steps);
    crank.wheel = measured.wheel;
    decoded.cycle_resolved = true;
    if (train.even || measured.wheel.slots == teeth) {  // the path search finds lost teeth
      for (const SignalTrain& channel : trains.channels) {
        if (channel.channel != train.channel) continue;
        CrankTrain again = counted(times_of(channel, train.polarity), all);
        again.channel = train.channel;
        again.polarity = train.polarity;
        again.length = train.length;
        train = std::move(again);
      }
      slots = teeth;
    } else {
      for (Knots& piece : train.pieces) {
        const auto shift = static_cast<double>(&piece == &*longest ? measured.first : 0);
        for (double& place : piece.angle) {
          const double from_zero = place - shift + teeth;
          const double turn = std::floor(from_zero / teeth);
          const auto tooth = static_cast<std::size_t>(from_zero - teeth * turn);
          place = 360 * turn + crank.wheel.angles[tooth];
        }
      }
    }
  } else {
    const int own = slot_count(*train.pattern);
    const int ratio = train.length / own;
    decoded.cycle_resolved = ratio > 0 && ratio % 2 == 0;
    const int copies = ratio == 0 ? 1 : decoded.cycle_resolved ? ratio / 2 : ratio;
    crank.wheel = slotted_wheel(repeated(*train.pattern, copies));
    slots = own * copies;
    if (train.code) set_code(crank.wheel, *train.code);
  }
  if (slots > 0)
    for (Knots& piece : train.pieces)
      for (double& place : piece.angle) place *= 360 / slots;
  decoded.cycle = decoded.cycle_resolved ? 720 : 360;
  crank.channel = train.channel;
  crank.polarity = train.polarity;
  for (const SignalTrain& channel : trains.channels)
    if (channel.channel == train.channel) crank.time_uncertainty = channel.time_uncertainty;
  crank.missed_teeth = train.missed;
  crank.extra_edges = train.extra;
  crank.pieces = std::move(train.pieces);
  double end = 0;  // pieces follow each other by whole cycles
  for (Knots& piece : crank.pieces) {
    const double shift = decoded.cycle * std::ceil((end - piece.angle.front()) / decoded.cycle);
    for (double& angle : piece.angle) angle += shift;
    end = piece.angle.back();
  }
  return true;
}

std::vector<CamEdge> edges_in(const DecodedCrank& crank, const SignalTrain& train, int polarity,
                              Interpolation method) {
  std::vector<CamEdge> edges;
  for (const double time : times_of(train, polarity)) {
    for (std::size_t p = 0; p < crank.pieces.size(); ++p) {
      const auto angle = angle_at(crank.pieces[p], time, method);
      if (!angle) continue;
      edges.push_back({time, *angle, p});
      break;
    }
  }
  return edges;
}

struct CamCandidate {
  const SignalTrain* train;
  int polarity, per_cycle;
  double least_tolerance;  // degrees from one cycle to the next
};

double turned(const DecodedCrank& crank) {
  double sum = 0;
  for (const Knots& piece : crank.pieces) sum += piece.angle.back() - piece.angle.front();
  return sum;
}

// The same edges as teeth further on: of unequal teeth that is not one angle for all.
void move_by_teeth(Knots& piece, const Wheel& wheel, int teeth) {
  const auto count = static_cast<int>(wheel.angles.size());
  for (double& angle : piece.angle) {
    const double turn = std::floor((angle + 1e-6) / 360);
    const auto at =
        std::lower_bound(wheel.angles.begin(), wheel.angles.end(), angle - 360 * turn - 1e-6);
    const int tooth = static_cast<int>(at - wheel.angles.begin()) + teeth;
    angle = 360 * (turn + tooth / count) + wheel.angles[static_cast<std::size_t>(tooth % count)];
  }
}

// Pieces after a stop or a lost count: which of the equal zeros they begin at is what the cams'
// places, known from the longest piece, say.
void align_pieces(Decoded& decoded, const std::vector<CamCandidate>& candidates,
                  Interpolation method, double tolerance) {
  std::vector<Knots>& pieces = decoded.crank.pieces;
  if (pieces.size() < 2) return;
  std::size_t main = 0;
  for (std::size_t p = 1; p < pieces.size(); ++p)
    if (pieces[p].time.size() > pieces[main].time.size()) main = p;
  const int symmetry = std::max(1, decoded.crank.wheel.symmetry);
  const int zeros = static_cast<int>(decoded.cycle / 360) * symmetry;
  std::vector<std::vector<double>> cost(pieces.size(),
                                        std::vector<double>(static_cast<std::size_t>(zeros), 0));
  for (const CamCandidate& c : candidates) {
    std::vector<CamEdge> edges = edges_in(decoded.crank, *c.train, c.polarity, method);
    std::vector<CamEdge> own;
    for (const CamEdge& e : edges)
      if (e.piece == main) own.push_back(e);
    const auto places =
        sort_into_places(own, c.per_cycle, decoded.cycle, std::max(tolerance, c.least_tolerance));
    if (!places) continue;
    for (const CamEdge& e : edges) {
      for (int z = 0; z < zeros; ++z) {
        double nearest = 20;
        for (const double place : places->angles)
          nearest = std::min(
              nearest, std::abs(wrapped(e.angle + 360.0 * z / symmetry - place, decoded.cycle)));
        cost[e.piece][static_cast<std::size_t>(z)] += nearest;
      }
    }
  }
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    if (p == main) continue;
    const auto best = std::min_element(cost[p].begin(), cost[p].end()) - cost[p].begin();
    move_by_teeth(pieces[p], decoded.crank.wheel,
                  static_cast<int>(best) * tooth_count(decoded.crank.wheel) / symmetry);
  }
}

// The first edge after the longest gap between the places.
double first_after_longest_gap(const std::vector<double>& places, double cycle) {
  double longest = -1, first = 0;
  for (std::size_t c = 0; c < places.size(); ++c) {
    const double before = c == 0 ? places.back() - cycle : places[c - 1];
    if (places[c] - before <= longest + 1e-9) continue;
    longest = places[c] - before;
    first = places[c];
  }
  return first;
}

// sd of successive differences at one place, over √2; the worst place.
double place_jitter(const DecodedCam& cam) {
  double worst = 0;
  for (std::size_t c = 0; c < cam.places.angles.size(); ++c) {
    std::vector<double> steps;
    double last = NAN;
    for (const CamEdge& edge : cam.edges) {
      if (edge.place != static_cast<int>(c)) continue;
      if (std::isfinite(last)) steps.push_back(std::abs(edge.residual - last));
      last = edge.residual;
    }
    worst = std::max(worst, 1.4826 / std::sqrt(2) * lower_median(std::move(steps)));
  }
  return worst;
}

// Teeth of one wheel move together, however unsteady the cam; a coil's sparks do too, but they come
// evenly spaced.
bool moves_as_a_wheel(const DecodedCam& cam, double cycle, double limit) {
  constexpr double kUneven = 10;  // degrees between the widest and the narrowest step
  const std::vector<double>& places = cam.places.angles;
  if (places.size() < 3) return false;
  double narrow = cycle, wide = 0;
  for (std::size_t p = 0; p < places.size(); ++p) {
    const double step = (p + 1 < places.size() ? places[p + 1] : places[0] + cycle) - places[p];
    narrow = std::min(narrow, step);
    wide = std::max(wide, step);
  }
  if (wide - narrow < kUneven) return false;
  std::map<std::int64_t, std::pair<double, int>> cycles;  // sum and count of the residuals
  for (const CamEdge& edge : cam.edges)
    if (edge.place >= 0) {
      cycles[edge.cycle].first += edge.residual;
      ++cycles[edge.cycle].second;
    }
  std::vector<double> apart;
  for (const CamEdge& edge : cam.edges) {
    if (edge.place < 0 || cycles[edge.cycle].second < 2) continue;
    const auto& [sum, count] = cycles[edge.cycle];
    apart.push_back(std::abs(edge.residual - sum / count));
  }
  return !apart.empty() && 1.4826 * lower_median(std::move(apart)) < limit;
}

// Why a channel that repeats with the cycle is no cam; empty: it may be one.
std::string not_a_cam(const Decoded& decoded, const DecodedCam& cam) {
  const double cycles = turned(decoded.crank) / decoded.cycle;
  double first = 0, last = 0;
  bool any = false;
  for (const CamEdge& edge : cam.edges) {
    if (edge.place < 0) continue;
    if (!any) first = edge.angle;
    any = true;
    last = edge.angle;
  }
  if (static_cast<double>(cam.places.wrong) > 0.4 * static_cast<double>(cam.edges.size()))
    return "most of its edges keep no place in the cycle: a coil, an injector or a bad sensor";
  const double silent = cycles - (last - first) / decoded.cycle;
  const double limit = tooth_count(decoded.crank.wheel) >= 6 ? 3 : 12;
  const double jitter = place_jitter(cam);
  if (jitter > limit && !moves_as_a_wheel(cam, decoded.cycle, limit))
    return fmt::format("its edges scatter by {:.1f} degrees: a coil or an injector drive", jitter);
  if (silent > 2.5 && silent > 0.2 * cycles)
    return fmt::format(
        "silent for {:.1f} of {:.1f} cycles while the crank turns: a coil or an "
        "injector drive, or a sensor that fails",
        silent, cycles);
  return {};
}

void collect_cams(Decoded& decoded, const std::vector<CamCandidate>& candidates,
                  Interpolation method, double tolerance) {
  decoded.cams.clear();
  for (const CamCandidate& c : candidates) {
    DecodedCam cam;
    cam.channel = c.train->channel;
    cam.polarity = c.polarity;
    cam.time_uncertainty = c.train->time_uncertainty;
    cam.edges = edges_in(decoded.crank, *c.train, c.polarity, method);
    auto places = sort_into_places(cam.edges, c.per_cycle, decoded.cycle,
                                   std::max(tolerance, c.least_tolerance));
    if (!places) continue;
    cam.places = std::move(*places);
    decoded.cams.push_back(std::move(cam));
  }
}

void reject_channels(Decoded& decoded, const SignalTrains& trains, const std::vector<int>& twins,
                     const std::vector<int>& known) {
  std::vector<DecodedCam> kept;
  for (const SignalTrain& train : trains.channels) {
    if (train.channel == decoded.crank.channel) continue;
    std::string why = train.kind == SignalKind::dead || train.edges.empty()
                          ? "no edges: not connected, or its sensor or wiring is dead"
                          : "its edges do not repeat with the engine's cycle";
    if (std::find(twins.begin(), twins.end(), train.channel) != twins.end())
      why = "the same teeth as the crank: a second crank sensor";
    bool any = false;
    std::vector<DecodedCam> own;
    for (DecodedCam& cam : decoded.cams) {
      if (cam.channel != train.channel) continue;
      const bool is_known = std::find(known.begin(), known.end(), train.channel) != known.end();
      std::string reason = is_known ? std::string() : not_a_cam(decoded, cam);
      if (!reason.empty())
        why = std::move(reason);
      else
        own.push_back(std::move(cam)), any = true;
    }
    for (DecodedCam& cam : own) kept.push_back(std::move(cam));
    if (!any) decoded.rejected.push_back({train.channel, train.name, std::move(why)});
  }
  decoded.cams = std::move(kept);
}

void shift_zero(Decoded& decoded) {
  if (decoded.cams.empty()) return;
  const DecodedCam& reference = decoded.cams.front();
  decoded.reference_channel = reference.channel;
  decoded.reference_polarity = reference.polarity;
  const double first = first_after_longest_gap(reference.places.angles, decoded.cycle);
  // The last of the equal zeros before that edge; the wheel begins there.
  Wheel& wheel = decoded.crank.wheel;
  const std::size_t teeth = wheel.angles.size();
  const std::size_t step = teeth / static_cast<std::size_t>(std::max(1, wheel.symmetry));
  const double turn = 360 * std::floor(first / 360);
  std::size_t zero = 0;
  for (std::size_t tooth = 0; tooth < teeth; tooth += step)
    if (turn + wheel.angles[tooth] <= first) zero = tooth;
  const double shift = turn + wheel.angles[zero];
  for (Knots& piece : decoded.crank.pieces)
    for (double& angle : piece.angle) angle += decoded.cycle - shift;
  std::vector<double> angles;
  for (std::size_t i = 0; i < teeth; ++i)
    angles.push_back(wheel.angles[(zero + i) % teeth] - wheel.angles[zero] +
                     (zero + i >= teeth ? 360 : 0));
  wheel.angles = angles;
}

}  // namespace

namespace {

// Where the other edge of the tooth lies inside the gap: near its beginning, the signal keeps the
// other level through it. Median over the turns.
int level_in_gap(const DecodedCrank& crank, const SignalTrain& train) {
  const std::vector<double>& wheel = crank.wheel.angles;
  if (train.kind == SignalKind::inductive || wheel.size() < 6 || crank.wheel.slots == 0) return 0;
  const double slot = 360.0 / crank.wheel.slots;
  std::vector<double> shares;
  for (const Knots& piece : crank.pieces) {
    for (std::size_t i = 1; i < piece.time.size(); ++i) {
      const double step = piece.angle[i] - piece.angle[i - 1];
      if (step < 1.5 * slot || step < 360 - wheel.back() - 0.5 * slot) continue;
      double between = 0;
      int edges = 0;
      for (auto edge =
               std::lower_bound(train.edges.begin(), train.edges.end(), piece.time[i - 1],
                                [](const SignalEdge&e, double time) { return e.time <= time; });
           edge != train.edges.end() && edge->time < piece.time[i]; ++edge)
        if (edge->polarity != crank.polarity) between = edge->time, ++edges;
      if (edges == 1)
        shares.push_back((between - piece.time[i - 1]) / (piece.time[i] - piece.time[i - 1]));
    }
  }
  if (shares.size() < 2) return 0;
  const double share = lower_median(std::move(shares));
  return share < 0.45 ? -crank.polarity : share > 0.55 ? crank.polarity : 0;
}

}  // namespace

Result<Decoded> decode_recording(const SignalTrains& trains, const DecodeOptions& options) {
  auto train = find_crank_train(trains, options.crank_channel, options.crank_polarity);
  if (!train) return tl::unexpected(train.error());
  std::vector<CamCandidate> candidates;
  std::vector<int> twins;
  const int slots = train->pattern ? slot_count(*train->pattern) : 1;
  const int own_teeth = train->pattern ? tooth_count(*train->pattern) : 1;
  const auto fits = [&](const std::optional<Repetition>& r) {
    return r && train->length % r->length == 0;
  };
  for (const SignalTrain& other : trains.channels) {
    if (other.channel == train->channel) continue;
    const bool is_named = std::find(options.cam_channels.begin(), options.cam_channels.end(),
                                    other.channel) != options.cam_channels.end();
    for (const int polarity : {+1, -1}) {
      const PlacePieces places = places_in(*train, times_of(other, polarity));
      auto r = repetition_of(places, slots);
      if (!fits(r) && train->length > 0)
        r = repetition_of(places, slots, kHalfAgree, train->length);
      double least_tolerance = 0;
      if (is_named && !fits(r) && train->length > 0) {
        r = loose_repetition(places, train->length);
        least_tolerance = kLooseTolerance;
      }
      if (r && r->length == slots && r->edges == own_teeth)
        twins.push_back(other.channel);
      else if (fits(r))
        candidates.push_back(
            {&other, polarity, r->edges * (train->length / r->length), least_tolerance});
    }
  }
  Decoded decoded;
  if (!set_wheel(decoded, *train, trains))
    return tl::unexpected<Refusal>(
        Refusal{"too few turns to learn the angles of the crank's teeth"});
  if (decoded.crank.pieces.empty())
    return tl::unexpected<Refusal>(Refusal{"too few crank edges between stops"});
  const int teeth = tooth_count(decoded.crank.wheel);
  const double tolerance = std::max(kFineTolerance, 180.0 / teeth);

  align_pieces(decoded, candidates, options.interpolation, tolerance);
  collect_cams(decoded, candidates, options.interpolation, tolerance);
  reject_channels(decoded, trains, twins, options.cam_channels);
  shift_zero(decoded);
  std::erase_if(candidates, [&](const CamCandidate& c) {
    return std::none_of(decoded.cams.begin(), decoded.cams.end(), [&](const DecodedCam& cam) {
      return cam.channel == c.train->channel && cam.polarity == c.polarity;
    });
  });
  for (const Knots& piece : decoded.crank.pieces)
    for (const TurnSpeed& turn : speed_per_turn(piece, decoded.crank.wheel))
      decoded.speed.push_back(turn);
  for (const SignalTrain& channel : trains.channels)
    if (channel.channel == decoded.crank.channel) {
      decoded.crank.kind = channel.kind;
      decoded.crank.gap_level = level_in_gap(decoded.crank, channel);
    }
  correct_spacing(decoded, options);
  collect_cams(decoded, candidates, options.interpolation, tolerance);
  std::int64_t knots = 0;
  for (const Knots& piece : decoded.crank.pieces)
    knots += static_cast<std::int64_t>(piece.time.size());
  const std::int64_t wrong = decoded.crank.missed_teeth + decoded.crank.extra_edges;
  if (static_cast<double>(wrong) > kManyWrong * static_cast<double>(knots))
    decoded.notes.push_back(
        fmt::format("{} teeth lost and {} edges too many in {} of the crank: a poor signal, angles "
                    "may be wrong by whole teeth in places",
                    decoded.crank.missed_teeth, decoded.crank.extra_edges, knots));
  if (train->stopped)
    decoded.notes.push_back("the engine stopped in the recording: each run is decoded by itself");
  if (train->reversed)
    decoded.notes.push_back("the crank swung back at a stop: what comes after is left out");
  if (decoded.crank.wheel.symmetry > 1)
    decoded.notes.push_back(fmt::format(
        "the crank wheel has {} equal zeros: a move common to all cams is known within {:.4g} "
        "degrees only",
        decoded.crank.wheel.symmetry, 360.0 / decoded.crank.wheel.symmetry));
  if (!decoded.cycle_resolved)
    decoded.notes.push_back(decoded.cams.empty()
                                ? "no cam signal: angles are known within one turn only"
                                : "crank and cam wheels repeat together: the 720 degree cycle is "
                                  "not resolved");
  if (auto doubtful = doubt_engine(decoded)) return tl::unexpected(*std::move(doubtful));
  return decoded;
}

}  // namespace tautmark
