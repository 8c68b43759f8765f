// SPDX-License-Identifier: Apache-2.0
// The texts that records hold: what each may be, so that a case put together from them is always a
// YAML file with one list of entries at its end.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/tree.h"
#include "store/cases.h"

namespace tautmark {

// The item of an entry's text: a list with one map. Not so: a sentence.
tl::expected<Node, std::string> entry_node(const std::string& body);
// The map of a head's text; nothing may stand below its "entries:", if it has one.
tl::expected<Node, std::string> head_node(const std::string& body);
// A tail holds comments and empty lines, no more.
bool is_tail_text(std::string_view body);

// The same keys with the same values in the same order, however they are written.
bool same_value(const Node& a, const Node& b);

// Blanks before the dash of an entry, and the entry moved to another number of blanks.
int entry_indent(std::string_view body);
std::string indented_entry(const std::string& body, int blanks);

// Value of a key at the top of a head; empty when it is not there.
std::string head_value(const Node& head, std::string_view key);

// The body of a file record: name, SHA-256 and bytes, each in a line.
std::string file_record_body(const StoredFile& file);
std::optional<StoredFile> file_of_record(std::string_view body);

}  // namespace tautmark
