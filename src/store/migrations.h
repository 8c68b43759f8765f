// SPDX-License-Identifier: Apache-2.0
// The tables of a store, step by step: docs/formats/store.md tells them. A step that was once
// released is never changed; a new one is added at the end. Each step runs in one transaction.
#pragma once

#include <span>
#include <string_view>

namespace tautmark {

// Which steps were done.
inline constexpr std::string_view kSchemaVersionTable =
    "create table schema_version (version bigint primary key,"
    " name varchar(100) not null, applied bigint not null)";

struct Migration {
  std::string_view name;
  std::span<const std::string_view> commands;
};
std::span<const Migration> migrations();

}  // namespace tautmark
