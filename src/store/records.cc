// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "base/hash.h"
#include "store/cases.h"

namespace tautmark {
namespace {

constexpr std::string_view kNames[] = {"head", "entry", "file", "tail"};

}  // namespace

std::string_view record_kind_name(RecordKind kind) { return kNames[static_cast<int>(kind)]; }

std::optional<RecordKind> record_kind(std::string_view name) {
  for (std::size_t i = 0; i < std::size(kNames); ++i)
    if (kNames[i] == name) return static_cast<RecordKind>(i);
  return std::nullopt;
}

std::string record_hash(std::string_view previous, std::string_view uid, const CaseRecord& record) {
  return sha256_hex(fmt::format("tautmark-record/1\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n", previous,
                                uid, record.seq, record_kind_name(record.kind), record.entry_id,
                                record.client_key, record.at, record.seat,
                                sha256_hex(record.body)));
}

}  // namespace tautmark
