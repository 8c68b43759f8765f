// SPDX-License-Identifier: Apache-2.0
// One handler for each operation of api_operations.h, named by its id. Not for use outside
// src/serve.
#pragma once

#include <span>
#include <string_view>
#include <variant>

#include "serve/shop.h"

namespace tautmark {

struct Handler {
  std::string_view id;
  Response (*handle)(Shop& shop, Request& request) = nullptr;
  std::variant<BodySink, Response> (*take)(Shop& shop, Request& request) = nullptr;
  std::int64_t most_body = 0;  // 0: a page of JSON
  bool is_quick = false;       // answered at once, also when the pool is full
};

std::span<const Handler> access_handlers();      // api_access.cc
std::span<const Handler> account_handlers();     // api_accounts.cc
std::span<const Handler> case_handlers();        // api_cases.cc
std::span<const Handler> entry_handlers();       // api_entries.cc
std::span<const Handler> finding_handlers();     // api_findings.cc
std::span<const Handler> work_handlers();        // api_work.cc
std::span<const Handler> trace_handlers();       // api_traces.cc
std::span<const Handler> clearance_handlers();   // api_clearance.cc
std::span<const Handler> oil_handlers();         // api_oil.cc
std::span<const Handler> parts_handlers();       // api_parts.cc
std::span<const Handler> file_handlers();        // api_files.cc
std::span<const Handler> pack_handlers();        // api_packs.cc
std::span<const Handler> recording_handlers();   // api_recordings.cc
std::span<const Handler> drive_handlers();       // api_drives.cc
std::span<const Handler> drive_text_handlers();  // api_drive_texts.cc
std::span<const Handler> author_handlers();      // api_author.cc
std::span<const Handler> quick_handlers();       // api_quick.cc
std::span<const Handler> practice_handlers();    // api_practice.cc; of the practice store only

}  // namespace tautmark
