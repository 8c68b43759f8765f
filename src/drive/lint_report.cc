// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {

void LintReport::error(const std::string& path, std::string message, std::string hint,
                       const std::string& second_path, std::string second_message) {
  if (loaded_.places.failed(path) || (!second_path.empty() && loaded_.places.failed(second_path)))
    return;
  Diagnostic diagnostic{
      Severity::error, loaded_.places.at(path), std::move(message), std::move(hint), {}};
  if (!second_path.empty())
    diagnostic.second = DiagnosticNote{loaded_.places.at(second_path), std::move(second_message)};
  add_diagnostic(diagnostics_, std::move(diagnostic));
}

void LintReport::warning(const std::string& path, std::string message, std::string hint) {
  add_diagnostic(
      diagnostics_,
      {Severity::warning, loaded_.places.at(path), std::move(message), std::move(hint), {}});
}

void LintReport::check_at(std::string_view at, const std::string& path,
                          const std::vector<EnginePlace>& places, PlaceType type,
                          std::string_view missing) {
  bool any_of_type = false;
  std::vector<std::string> known;
  for (const EnginePlace& place : places) {
    if (place.type != type) continue;
    any_of_type = true;
    if (place_matches(at, place)) return;
    known.push_back(place.path);
  }
  if (!any_of_type) {
    warning(path,
            fmt::format("the drive has no {} yet, so this limit meets no reading",
                        place_type_name(type)),
            fmt::format("give {}", missing));
    return;
  }
  const auto other = std::find_if(places.begin(), places.end(), [&](const EnginePlace& place) {
    return place_matches(at, place);
  });
  if (other != places.end()) {
    error(path, fmt::format("\"{}\" is a {}; a {} is meant here", at, place_type_name(other->type),
                            place_type_name(type)));
    return;
  }
  const auto near = nearest(at, known);
  error(path, fmt::format("no {} \"{}\" in this drive", place_type_name(type), at),
        near ? fmt::format("did you mean \"{}\"?", *near)
             : fmt::format("every {}, or one of: {}", place_type_name(type), joined(known, ", ")));
}

}  // namespace tautmark
