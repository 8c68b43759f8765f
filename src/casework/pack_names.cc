// SPDX-License-Identifier: Apache-2.0
#include "casework/pack_names.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/case_fold.h"
#include "base/text.h"
#include "casework/case_check.h"

namespace tautmark {
namespace {

constexpr std::size_t kLongestName = 400;  // bytes; some machines end at 260 characters of a path
constexpr std::size_t kLongestPart = 200;  // bytes; file systems end at 255
constexpr std::size_t kDeepest = 16;       // folders
constexpr std::size_t kLongestShown = 120;

std::size_t sequence_length(unsigned char first) {
  if (first < 0x80) return 1;
  if (first < 0xE0) return 2;
  return first < 0xF0 ? 3 : 4;
}

// Code points of valid UTF-8.
std::u32string code_points(std::string_view text) {
  std::u32string points;
  for (std::size_t at = 0; at < text.size();) {
    const auto first = static_cast<unsigned char>(text[at]);
    const std::size_t length = sequence_length(first);
    char32_t point = length == 1 ? first : first & (0x7FU >> length);
    for (std::size_t i = 1; i < length && at + i < text.size(); ++i)
      point = (point << 6U) | (static_cast<unsigned char>(text[at + i]) & 0x3FU);
    points.push_back(point);
    at += length;
  }
  return points;
}

// U+202A..E and U+2066..9 turn the direction of writing: "gpj.exe" shown as "exe.jpg".
bool is_control(char32_t point) {
  return point < 0x20 || (point >= 0x7F && point < 0xA0) || (point >= 0x2028 && point <= 0x202E) ||
         (point >= 0x2066 && point <= 0x2069);
}

}  // namespace

std::string readable_name(std::string_view raw) {
  std::string shown;
  for (std::size_t at = 0; at < raw.size() && shown.size() < kLongestShown;) {
    const std::size_t length = sequence_length(static_cast<unsigned char>(raw[at]));
    const std::string_view one = raw.substr(at, length);
    if (!first_invalid_utf8(one) && !is_control(code_points(one).front())) {
      shown += one;
      at += length;
    } else {
      shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(raw[at]));
      ++at;
    }
  }
  return shown.size() < kLongestShown ? shown : shown + "…";
}

std::optional<std::string> pack_name_problem(std::string_view name) {
  const std::string shown = readable_name(name);
  if (first_invalid_utf8(name)) return fmt::format("\"{}\": a name that is no text", shown);
  for (const char32_t point : code_points(name))
    if (is_control(point)) return fmt::format("\"{}\": a control character in a name", shown);
  if (name.size() > kLongestName)
    return fmt::format("\"{}\": a name of {} bytes; at most {}", shown, name.size(), kLongestName);
  if (auto problem = path_problem(std::string(name))) return problem;
  const auto parts = split(name, '/');
  if (parts.size() > kDeepest + 1)
    return fmt::format("\"{}\" lies {} folders deep; at most {}", shown, parts.size() - 1,
                       kDeepest);
  for (const std::string& part : parts) {
    if (part.empty()) return fmt::format("\"{}\": a part of the name is empty", shown);
    if (part.front() == '.') return fmt::format("\"{}\" is a hidden file", shown);
    if (part.size() > kLongestPart)
      return fmt::format("\"{}\": a name of {} bytes; at most {}", shown, part.size(),
                         kLongestPart);
  }
  return std::nullopt;
}

bool is_drive_file_name(std::string_view name) {
  return name.ends_with(".drive.yaml") || name.ends_with(".drive.json");
}

std::optional<std::string> file_name_problem(std::string_view name) {
  if (name.empty()) return "the file name is empty";
  if (auto problem = pack_name_problem(name)) return problem;
  const std::string key = case_folded(name);
  for (const std::string_view own : {"case.yaml", "case.json", "record.jsonl", "manifest.json"}) {
    const std::string own_key = case_folded(own);
    if (key == own_key || key.starts_with(own_key + '/'))
      return fmt::format("\"{}\" is a name of the case's own files; choose another name",
                         readable_name(name));
  }
  // Elsewhere it would be another file on one machine and the drive on the next.
  for (const std::string_view end : {".drive.yaml", ".drive.json"})
    if (key.ends_with(case_folded(end)) && !name.ends_with(end))
      return fmt::format("\"{}\": a drive file ends in {}, in small letters", readable_name(name),
                         end);
  return std::nullopt;
}

std::optional<std::string> NamesTaken::problem_of_next(const std::string& name) {
  const auto take = [&](const std::string& taken, bool is_file) -> std::optional<std::string> {
    const auto [first, is_new] = by_folded_.emplace(case_folded(taken), Taken{taken, is_file});
    const Taken& there = first->second;
    if (is_new || (!is_file && !there.is_file && there.spelled == taken)) return std::nullopt;
    if (there.spelled != taken)
      return fmt::format("\"{}\" and \"{}\" differ only in upper and lower case",
                         readable_name(there.spelled), readable_name(taken));
    return there.is_file == is_file
               ? fmt::format("\"{}\" stands in it twice", readable_name(taken))
               : fmt::format("\"{}\" is a file and a folder", readable_name(taken));
  };
  for (auto slash = name.find('/'); slash != std::string::npos; slash = name.find('/', slash + 1))
    if (auto problem = take(name.substr(0, slash), false)) return problem;
  return take(name, true);
}

}  // namespace tautmark
