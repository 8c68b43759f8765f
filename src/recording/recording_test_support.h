// SPDX-License-Identifier: Apache-2.0
// Real recordings for the tests: recordings published with an open-source engine-control firmware,
// see shared/data/recordings. Only its event CSV files, and only as far as the tests need them.
#pragma once

#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>

#include "recording/edges.h"
#include "recording/trains.h"

namespace tautmark::test {

inline std::optional<SignalTrains> load_event_csv(const std::string& name,
                                                  bool filter_glitches = true) {
  const std::filesystem::path file =
      std::filesystem::path(TAUTMARK_SOURCE_DIR) / "../shared/data/recordings" / name;
  std::ifstream in(file);
  if (!in) return std::nullopt;
  SignalTrains trains;
  std::string line;
  std::vector<int> last;
  bool first = true;
  while (std::getline(in, line)) {
    std::istringstream cells(line);
    std::string cell;
    std::vector<std::string> row;
    while (std::getline(cells, cell, ',')) row.push_back(cell);
    if (row.size() < 2) continue;
    if (line.find_first_of("Tt") == 0) continue;  // header
    const double time = std::stod(row[0]);
    for (std::size_t c = 1; c < row.size(); ++c) {
      const int level = std::stoi(row[c]);
      if (first) {
        trains.channels.push_back({});
        trains.channels.back().channel = static_cast<int>(c);
        last.push_back(level);
      } else if (level != last[c - 1]) {
        last[c - 1] = level;
        trains.channels[c - 1].edges.push_back({time, static_cast<std::int8_t>(level ? 1 : -1)});
      }
    }
    if (first) trains.first_time = time;
    first = false;
    trains.last_time = time;
    ++trains.samples;
  }
  if (filter_glitches)
    for (SignalTrain& train : trains.channels) train.glitches = drop_glitches(train.edges);
  return trains;
}

}  // namespace tautmark::test
