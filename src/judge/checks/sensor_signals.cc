// SPDX-License-Identifier: Apache-2.0
// What is wrong with the signals of the last recording: a sensor, its wheel, its wiring. There is
// no limit for it and so no pass; what is bad stays open until it is mended or explained.
#include <fmt/format.h>

#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"

namespace tautmark::checks {

std::vector<Finding> sensor_signals(const CheckInput& input) {
  std::vector<Finding> findings;
  for (auto recording = input.recordings->rbegin(); recording != input.recordings->rend();
       ++recording) {
    if (!recording->decoded) continue;
    for (const HealthFinding& health : recording->health) {
      if (health.severity != HealthSeverity::bad) continue;
      Finding finding = open_finding(
          "sensor-signals",
          fmt::format("recording {}, {}", recording->entry->id,
                      health.channel == 0 ? std::string("all channels")
                                          : fmt::format("channel {}", health.channel)),
          OpenBecause::implausible, health.words,
          {"look at connector, wiring, sensor gap and sensor wheel; then record again",
           "a code that names two signals which disagree names no sensor: one that is present, "
           "regular and displaced tells the truth"});
      finding.evidence = {recording->entry->id};
      findings.push_back(std::move(finding));
    }
    break;
  }
  return findings;
}

}  // namespace tautmark::checks
