// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_wheels.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

// Everything that can carry a wheel: the crank, idlers, camshafts, gears, wheels with own teeth.
std::vector<std::string> known_wheels(const Drive& drive) {
  std::vector<std::string> names = {"crank"};
  for (const Idler& idler : drive.idlers) names.push_back(idler.name);
  for (const GearPair& gear : drive.gears)
    for (const std::string& name : {gear.driver, gear.driven}) names.push_back(name);
  for (const Bank& bank : drive.banks)
    for (const Camshaft& camshaft : bank.camshafts)
      names.push_back(fmt::format("bank {} / {}", bank.number, camshaft.name));
  for (const Chain& chain : drive.chains)
    for (const PathPart& part : chain.path)
      if (part.teeth) names.push_back(part.name);
  return names;
}

struct WheelLint {
  LintReport& report;
  std::vector<std::string> known;

  [[nodiscard]] bool is_known(const std::string& name) const {
    return std::any_of(known.begin(), known.end(),
                       [&](const std::string& wheel) { return same_place(wheel, name); });
  }
  [[nodiscard]] std::string hint(const std::string& name) const {
    if (const auto near = nearest(name, known)) return fmt::format("did you mean \"{}\"?", *near);
    return "known: " + joined(known, ", ");
  }
  void must_be_known(const std::string& name, const std::string& path) const {
    if (!is_known(name))
      report.error(path, fmt::format("no wheel \"{}\" in this drive", name), hint(name));
  }

  void check_path(const Chain& chain, const std::string& key) const {
    for (std::size_t i = 0; i < chain.path.size(); ++i) {
      const std::string path = fmt::format("{}.path[{}].name", key, i);
      if (chain.path[i].kind == PathKind::sprocket && !chain.path[i].teeth)
        must_be_known(chain.path[i].name, path);
      for (std::size_t j = 0; j < i; ++j)
        if (same_place(chain.path[j].name, chain.path[i].name))
          report.error(path, fmt::format("\"{}\" stands in this path twice", chain.path[i].name),
                       {}, fmt::format("{}.path[{}].name", key, j), "it stands here first");
    }
  }
};

}  // namespace

void check_wheels(LintReport& report) {
  const Drive& drive = report.drive();
  const WheelLint lint{report, known_wheels(drive)};
  for (std::size_t c = 0; c < drive.chains.size(); ++c) {
    const Chain& chain = drive.chains[c];
    const std::string key = fmt::format("chains[{}]", c);
    // Twenty lines from a manual may count between wheels that they do not describe.
    for (std::size_t s = 0; s < chain.strands.size(); ++s)
      for (const auto& [name, end] :
           {std::pair{chain.strands[s].from, "from"}, std::pair{chain.strands[s].to, "to"}})
        if (!lint.is_known(name))
          report.warning(fmt::format("{}.strands[{}].{}", key, s, end),
                         fmt::format("no wheel \"{}\" in this drive", name), lint.hint(name));
    for (std::size_t m = 0; m < chain.marks.size(); ++m)
      lint.must_be_known(chain.marks[m].at, fmt::format("{}.marks[{}].at", key, m));
    lint.check_path(chain, key);
  }
}

}  // namespace tautmark
