// SPDX-License-Identifier: Apache-2.0
#include "casework/case_check_report.h"

#include <fmt/format.h>

#include "base/text.h"

namespace tautmark {
namespace {

// Equal for texts that name the same place.
std::string place_key(std::string_view place) {
  std::vector<std::string> parts = split(place, '/');
  for (std::string& part : parts) part = folded(part);
  return joined(parts, "/");
}

}  // namespace

CaseCheck::CaseCheck(const LoadedCase& loaded, Diagnostics& diagnostics)
    : loaded_(loaded), diagnostics_(diagnostics) {
  for (const LoadedDrive& drive : loaded.drives) {
    const auto& places = places_.emplace_back(places_of(drive.drive));
    auto& by_key = by_key_.emplace_back();
    for (const EnginePlace& place : places) by_key.emplace(place_key(place.path), &place);
  }
}

void CaseCheck::error(const std::string& path, std::string message, std::string hint,
                      const std::string& second_path, std::string second_message) const {
  if (loaded_.places.failed(path)) return;
  Diagnostic diagnostic{
      Severity::error, loaded_.places.at(path), std::move(message), std::move(hint), {}};
  if (!second_path.empty())
    diagnostic.second = DiagnosticNote{loaded_.places.at(second_path), std::move(second_message)};
  add_diagnostic(diagnostics_, std::move(diagnostic));
}

void CaseCheck::check_place(const std::string& place, const std::string& path,
                            std::optional<PlaceType> type) const {
  if (places_.empty() || place.empty() || is_full()) return;
  const EnginePlace* wrong_type = nullptr;
  const std::string key = place_key(place);
  for (const auto& by_key : by_key_) {
    const auto found = by_key.find(key);
    if (found == by_key.end()) continue;
    if (!type || found->second->type == *type) return;
    wrong_type = found->second;
  }
  std::vector<std::string> known;
  for (const auto& places : places_)
    for (const EnginePlace& candidate : places)
      if (!type || candidate.type == *type) known.push_back(candidate.path);
  if (wrong_type != nullptr) {
    error(path,
          fmt::format("\"{}\" is a {}; a {} is meant here", place,
                      place_type_name(wrong_type->type), place_type_name(*type)),
          known.empty() ? std::string() : fmt::format("for example: {}", known.front()));
    return;
  }
  const std::string word = lower_ascii(place);
  if (word.find("left") != std::string::npos || word.find("right") != std::string::npos) {
    error(path, fmt::format("\"{}\": left or right from which end?", place),
          "name the bank by its number; bank 1 holds cylinder 1");
    return;
  }
  if (known.empty()) {
    error(path,
          fmt::format("the drive has no {} to measure at", type ? place_type_name(*type) : "place"),
          "complete the drive file, or give the reading its own limit in a case without drive");
    return;
  }
  const auto near = nearest(place, known);
  error(path, fmt::format("no place \"{}\" in this drive", place),
        near ? fmt::format("did you mean \"{}\"?", *near)
             : fmt::format("known: {}", joined(known, "; ")));
}

std::string entry_path(std::size_t index, std::string_view key) {
  return key.empty() ? fmt::format("entries[{}]", index)
                     : fmt::format("entries[{}].{}", index, key);
}

}  // namespace tautmark
