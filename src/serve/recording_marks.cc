// SPDX-License-Identifier: Apache-2.0
#include "serve/recording_marks.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <fstream>

#include "recording/mapped_file.h"

namespace tautmark {
namespace {

// Of this machine: the file never leaves its scratch.
static_assert(std::is_trivially_copyable_v<DecodedMark>);

double folded_angle(double angle, double cycle) {
  const double inside = std::fmod(angle, cycle);
  return inside < 0 ? inside + cycle : inside;
}

int tooth_at(const Wheel& wheel, double angle) {
  const double inside = folded_angle(angle, 360);
  int best = -1;
  double least = 360;
  for (std::size_t i = 0; i < wheel.angles.size(); ++i) {
    const double off = std::abs(std::remainder(wheel.angles[i] - inside, 360));
    if (off < least) {
      least = off;
      best = static_cast<int>(i);
    }
  }
  return best;
}

std::vector<DecodedMark> marks_of(const Decoded& decoded) {
  std::vector<DecodedMark> marks;
  for (const Knots& piece : decoded.crank.pieces)
    for (std::size_t i = 0; i < piece.time.size(); ++i)
      marks.push_back({piece.time[i], folded_angle(piece.angle[i], decoded.cycle),
                       decoded.crank.channel, tooth_at(decoded.crank.wheel, piece.angle[i])});
  for (const DecodedCam& cam : decoded.cams)
    for (const CamEdge& edge : cam.edges)
      marks.push_back(
          {edge.time, folded_angle(edge.angle, decoded.cycle), cam.channel, edge.place});
  std::stable_sort(marks.begin(), marks.end(),
                   [](const auto& a, const auto& b) { return a.time_s < b.time_s; });
  return marks;
}

}  // namespace

std::optional<std::string> write_marks(const Decoded& decoded, const std::string& path) {
  const std::vector<DecodedMark> marks = marks_of(decoded);
  std::ofstream file(path, std::ios::binary);
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): bytes of trivial structs
  file.write(reinterpret_cast<const char*>(marks.data()),
             static_cast<std::streamsize>(marks.size() * sizeof(DecodedMark)));
  file.close();
  return file ? std::nullopt : std::optional<std::string>("the decoded edges cannot be written");
}

Result<DecodedMarks> read_marks(const std::string& path, double from, double to, int most) {
  const auto file = MappedFile::open(path);
  if (!file) return tl::make_unexpected(file.error());
  const std::string_view bytes = file->bytes();
  const auto count = static_cast<std::int64_t>(bytes.size() / sizeof(DecodedMark));
  const auto at = [&](std::int64_t i) {
    DecodedMark mark;
    std::memcpy(&mark, bytes.data() + static_cast<std::size_t>(i) * sizeof(DecodedMark),
                sizeof(DecodedMark));
    return mark;
  };
  const auto first_from = [&](double time) {
    std::int64_t low = 0, high = count;
    while (low < high) {
      const std::int64_t middle = low + (high - low) / 2;
      (at(middle).time_s < time ? low : high) = at(middle).time_s < time ? middle + 1 : middle;
    }
    return low;
  };
  const std::int64_t begin = first_from(from), end = std::max(first_from(to), begin);
  DecodedMarks out{from, to, end - begin, {}};
  if (out.found <= most)
    for (std::int64_t i = begin; i < end; ++i) out.marks.push_back(at(i));
  return out;
}

}  // namespace tautmark
