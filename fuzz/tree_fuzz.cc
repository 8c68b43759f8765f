// SPDX-License-Identifier: Apache-2.0
// YAML and JSON as trees. What is read, written and read again is the same tree.
#include <cstdint>

#include "base/tree.h"
#include "fuzz_check.h"

using namespace tautmark;

namespace {

bool same(const Node& a, const Node& b) {
  if (a.shape != b.shape || a.text != b.text || a.items.size() != b.items.size() ||
      a.members.size() != b.members.size())
    return false;
  for (std::size_t i = 0; i < a.items.size(); ++i)
    if (!same(a.items[i], b.items[i])) return false;
  for (std::size_t i = 0; i < a.members.size(); ++i)
    if (a.members[i].key.text != b.members[i].key.text ||
        !same(a.members[i].value, b.members[i].value))
      return false;
  return true;
}

void check_places(const Node& node) {
  fuzz::require(node.line > 0 && node.column > 0 && node.length > 0, "a node without a place");
  for (const Node& item : node.items) check_places(item);
  for (const Member& member : node.members) {
    check_places(member.key);
    check_places(member.value);
  }
}

void check(const Parsed<Node>& parsed, bool as_json) {
  if (!parsed) {
    fuzz::check_rejection(parsed.error());
    return;
  }
  check_places(*parsed);
  if (parsed->shape == NodeShape::null) return;  // JSON "null": YAML calls that an empty file
  for (const bool to_json : {false, true}) {
    if (to_json && !as_json && parsed->shape == NodeShape::scalar) continue;
    const std::string text = to_json ? json_text(*parsed) : yaml_text(*parsed);
    const auto file = make_text_file("written", text);
    const auto again = to_json ? parse_json(file) : parse_yaml(file);
    if (!again)
      fuzz::fail("what was written is not readable", text + diagnostics_text(again.error()));
    fuzz::require(same(*parsed, *again), "what was written is another tree", text);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto file = make_text_file("input", std::string(reinterpret_cast<const char*>(data), size));
  check(parse_yaml(file), false);
  check(parse_json(file), true);
  return 0;
}
