// SPDX-License-Identifier: Apache-2.0
// record.jsonl beside a case that came out of a store: the chain itself. One JSON object a line,
// first the case ("tautmark": "record/1", uid, name), then its records in order.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "store/cases.h"

namespace tautmark {

inline constexpr std::string_view kRecordFile = "record.jsonl";

struct RecordFile {
  std::string uid, name;
  std::vector<CaseRecord> records;
};

std::string record_file_text(const RecordFile& file);
// The chain must hold. A line is at most as long as the largest record can make it.
Stored<RecordFile> read_record_file(const std::filesystem::path& path);

}  // namespace tautmark
