// SPDX-License-Identifier: Apache-2.0
// Over a whole case: digits that are the same in every box look invented. A remark, never a fail.
#include <fmt/format.h>

#include <map>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"

namespace tautmark::checks {

std::vector<Finding> readings_plausible(const CheckInput& input) {
  struct Group {
    int sets = 0, identical = 0;
    std::vector<std::string> evidence;
  };
  std::map<std::pair<Measurand, std::string>, Group> groups;
  for (const auto& [entry, reading] : input.readings) {
    if (!reading->values || reading->values->value.values.size() < 3) continue;
    Group& group = groups[{reading->quantity, folded(reading->instrument.value_or(""))}];
    const auto& values = reading->values->value.values;
    const bool same = std::all_of(values.begin(), values.end(),
                                  [&](const AnyQuantity& v) { return v.si == values.front().si; });
    ++group.sets;
    group.identical += same ? 1 : 0;
    group.evidence.push_back(entry->id);
  }
  std::vector<Finding> findings;
  for (const auto& [key, group] : groups) {
    if (group.sets < 4 || group.identical < group.sets) continue;
    Finding finding = open_finding("readings-plausible", std::string(choice_name(key.first)),
                                   OpenBecause::implausible,
                                   fmt::format("identical digits in all {} sets of readings: a "
                                               "gauge that never scatters looks invented",
                                               group.sets),
                                   {"measure one place again, three times, with someone watching"});
    finding.evidence = group.evidence;
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
