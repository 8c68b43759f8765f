// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "report/report.h"

namespace tautmark {
namespace {

int badness(const Finding& finding) {
  if (finding.forecast) return -1;
  switch (finding.verdict) {
    case Verdict::fail:
      return 2;
    case Verdict::open:
      return 1;
    case Verdict::pass:
      return 0;
  }
  return 0;
}

std::string group_title(const Finding& finding) {
  const Check* check = find_check(finding.check);
  if (finding.forecast)
    return fmt::format("{} (forecasts, nothing is proven by them)",
                       check != nullptr ? check->group : "What-if, before ordering parts");
  return check != nullptr ? std::string(check->group) : std::string("Other");
}

}  // namespace

std::string_view verdict_link(Verdict verdict) {
  switch (verdict) {
    case Verdict::pass:
      return "o===o";
    case Verdict::fail:
      return "o=/=o";
    case Verdict::open:
      return "o= =o";
  }
  return "";
}

bool is_in_forecast_table(const Finding& finding) {
  return finding.value && finding.subject.find(" / journal ") != std::string::npos;
}

std::vector<FindingGroup> grouped(const Judgement& judgement) {
  std::vector<FindingGroup> groups;
  for (const Finding& finding : judgement.findings) {
    const std::string title = group_title(finding);
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const FindingGroup& g) { return g.title == title; });
    if (group == groups.end()) group = groups.insert(groups.end(), FindingGroup{title, {}});
    group->findings.push_back(&finding);
  }
  const auto worse = [](const Finding* a, const Finding* b) { return badness(*a) > badness(*b); };
  for (FindingGroup& group : groups)
    std::stable_sort(group.findings.begin(), group.findings.end(), worse);
  std::stable_sort(groups.begin(), groups.end(), [](const FindingGroup& a, const FindingGroup& b) {
    return badness(*a.findings.front()) > badness(*b.findings.front());
  });
  return groups;
}

}  // namespace tautmark
