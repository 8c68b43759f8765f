// SPDX-License-Identifier: Apache-2.0
#include "tighten/thread.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "base/text.h"

namespace tautmark::tighten {
namespace {

constexpr double kInch = 25.4;  // mm, exact

// Usual pitches, coarse first. Source: ISO 261 and ISO 262 selections, from memory.
struct MetricSize {
  double nominal;
  std::array<double, 4> pitches;  // 0: no more
};
constexpr MetricSize kMetric[] = {
    {3, {0.5}},           {4, {0.7, 0.5}},
    {5, {0.8, 0.5}},      {6, {1, 0.75}},
    {7, {1, 0.75}},       {8, {1.25, 1, 0.75}},
    {9, {1.25, 1}},       {10, {1.5, 1.25, 1}},
    {11, {1.5, 1}},       {12, {1.75, 1.5, 1.25, 1}},
    {14, {2, 1.5, 1.25}}, {16, {2, 1.5}},
    {18, {2.5, 2, 1.5}},  {20, {2.5, 2, 1.5}},
    {22, {2.5, 2, 1.5}},  {24, {3, 2, 1.5}},
};

// Threads per inch of coarse and fine series. Source: ASME B1.1 as in Shigley 9th ed. table 8-2.
struct UnifiedSize {
  std::string_view written;
  double nominal;  // in
  std::array<double, 2> per_inch;
};
constexpr UnifiedSize kUnified[] = {
    {"no.8", 0.1640, {32, 36}}, {"no.10", 0.1900, {24, 32}}, {"no.12", 0.2160, {24, 28}},
    {"1/4", 0.25, {20, 28}},    {"5/16", 0.3125, {18, 24}},  {"3/8", 0.375, {16, 24}},
    {"7/16", 0.4375, {14, 20}}, {"1/2", 0.5, {13, 20}},      {"9/16", 0.5625, {12, 18}},
    {"5/8", 0.625, {11, 18}},   {"3/4", 0.75, {10, 16}},
};

// d_W,min of ISO 4014 product grade A, medium clearance hole of ISO 273; mm.
struct Face {
  double nominal, outer, hole;
};
constexpr Face kHexagon[] = {{5, 6.88, 5.5},    {6, 8.88, 6.6},    {8, 11.63, 9},
                             {10, 14.63, 11},   {12, 16.63, 13.5}, {14, 19.64, 15.5},
                             {16, 22.49, 17.5}, {20, 28.19, 22}};

// A whole text that is a number; a decimal comma is read as a point (there is no grouping here).
std::optional<double> number(std::string_view text) {
  const std::string plain = replaced(trimmed(text), ",", ".");
  double value = 0;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (error != std::errc() || end != plain.data() + plain.size()) return std::nullopt;
  return std::isfinite(value) && value > 0 ? std::optional(value) : std::nullopt;
}

Thread metric(double nominal, double pitch) {
  return {.system = ThreadSystem::metric,
          .nominal = mm(nominal),
          .pitch = mm(pitch),
          .shown = fmt::format("M{:g}x{:g}", nominal, pitch)};
}

Thread unified(const UnifiedSize& size, double per_inch) {
  const std::string name = size.written.starts_with("no.")
                               ? fmt::format("No. {}", size.written.substr(3))
                               : std::string(size.written);
  return {.system = ThreadSystem::unified,
          .nominal = mm(size.nominal * kInch),
          .pitch = mm(kInch / per_inch),
          .shown = fmt::format("{}-{:g}", name, per_inch)};
}

tl::unexpected<Refusal> not_a_thread(std::string_view text) {
  return refuse(fmt::format(
      "\"{}\" is not a thread; expected M10x1.25, M8, 3/8-16, 1/4-28 or No. 10-32", text));
}

Result<ThreadRead> read_metric(std::string_view text, std::string_view written) {
  const std::string_view sizes = text.substr(1);
  const std::size_t cross = sizes.find_first_of("x-*");
  const std::optional<double> nominal = number(sizes.substr(0, cross));
  if (!nominal) return not_a_thread(written);
  if (*nominal < 2 || *nominal > 64) {
    return refuse(fmt::format("M{:g} is outside the threads held here, M2 to M64", *nominal));
  }
  if (cross != std::string_view::npos) {
    const std::optional<double> pitch = number(sizes.substr(cross + 1));
    if (!pitch) return not_a_thread(written);
    if (*pitch > *nominal / 3) {
      return refuse(
          fmt::format("a pitch of {:g} mm leaves no core in M{:g}; {:g} x {:g} turned round, or "
                      "a bolt length written as pitch?",
                      *pitch, *nominal, *nominal, *pitch));
    }
    return ThreadRead{.possible = {metric(*nominal, *pitch)}, .pitch_written = true};
  }
  for (const MetricSize& size : kMetric) {
    if (size.nominal != *nominal) continue;
    ThreadRead read;
    for (const double pitch : size.pitches) {
      if (pitch > 0) read.possible.push_back(metric(*nominal, pitch));
    }
    return read;
  }
  return refuse(fmt::format("M{:g} without a pitch: write it, as in M{:g}x1", *nominal, *nominal));
}

Result<ThreadRead> read_unified(std::string_view text, std::string_view written) {
  const std::size_t dash = text.find('-');
  const std::string_view name = text.substr(0, dash);
  for (const UnifiedSize& size : kUnified) {
    if (size.written != name) continue;
    ThreadRead read;
    if (dash == std::string_view::npos) {
      for (const double per_inch : size.per_inch) read.possible.push_back(unified(size, per_inch));
      return read;
    }
    const std::optional<double> per_inch = number(text.substr(dash + 1));
    if (!per_inch) return not_a_thread(written);
    if (kInch / *per_inch > size.nominal * kInch / 3) {
      return refuse(fmt::format("{:g} threads per inch leave no core in {}", *per_inch, name));
    }
    read.possible.push_back(unified(size, *per_inch));
    read.pitch_written = true;
    return read;
  }
  return not_a_thread(written);
}

// Lower case without blanks, one sign for "times", "#10" and "no 10" as "no.10", series left off.
std::string plain_thread(std::string_view text) {
  std::string plain = replaced(lower_ascii(text), "×", "x");
  plain = replaced(plain, " ", "");
  plain = replaced(plain, "–", "-");
  if (plain.starts_with("#")) plain = "no." + plain.substr(1);
  if (plain.starts_with("no") && !plain.starts_with("no.")) plain = "no." + plain.substr(2);
  for (const std::string_view series : {"-unc", "-unf", "unrc", "unrf", "unc", "unf", "in", "\""}) {
    const std::size_t at = plain.rfind(series);
    if (at != std::string::npos && at > 0) plain.erase(at, series.size());
  }
  return plain;
}

}  // namespace

Result<ThreadRead> read_thread(std::string_view text) {
  const std::string plain = plain_thread(trimmed(text));
  if (plain.starts_with("m")) return read_metric(plain, trimmed(text));
  return read_unified(plain, trimmed(text));
}

ThreadSizes thread_sizes(const Thread& thread) {
  const double height = std::numbers::sqrt3 / 2 * thread.pitch.si();
  ThreadSizes sizes;
  sizes.pitch_diameter = Length::from_si(thread.nominal.si() - 0.75 * height);
  sizes.root_diameter = thread.system == ThreadSystem::metric
                            ? Length::from_si(thread.nominal.si() - 1.25 * height - height / 6)
                            : Length::from_si(thread.nominal.si() - 1.5 * height);
  sizes.stress_diameter = (sizes.pitch_diameter + sizes.root_diameter) / 2;
  sizes.stress_area =
      std::numbers::pi / 4 * sizes.stress_diameter.si() * sizes.stress_diameter.si();
  sizes.helix =
      Angle::from_si(std::atan(thread.pitch.si() / (std::numbers::pi * sizes.pitch_diameter.si())));
  return sizes;
}

std::optional<BearingFace> hexagon_face(const Thread& thread) {
  if (thread.system != ThreadSystem::metric) return std::nullopt;
  for (const Face& face : kHexagon) {
    if (mm(face.nominal) == thread.nominal) {
      return BearingFace{.outer = mm(face.outer), .hole = mm(face.hole)};
    }
  }
  return std::nullopt;
}

}  // namespace tautmark::tighten
