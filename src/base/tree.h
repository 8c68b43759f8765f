// SPDX-License-Identifier: Apache-2.0
// A file as a tree of maps, lists and scalars with the place of every node. Both YAML and JSON
// become this tree; the field descriptions (fields.h) turn it into structs and back.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct TextFile {
  std::string name;  // as the user named it
  std::string text;
  std::vector<std::size_t> line_starts;

  [[nodiscard]] std::string_view line(int number) const;  // from 1; empty when out of range
  // The line for a message; empty when it is too long to be shown.
  [[nodiscard]] std::string shown_line(int number) const;
};
using TextFileRef = std::shared_ptr<const TextFile>;

TextFileRef make_text_file(std::string name, std::string text);

enum class NodeShape { null, scalar, list, map };

struct Node;
struct Member;

struct Node {
  NodeShape shape = NodeShape::null;
  std::string text;     // scalar
  bool quoted = false;  // scalar was, or must be, in quotes
  std::vector<Node> items;
  std::vector<Member> members;

  TextFileRef file;
  int line = 0;
  int column = 0;  // characters, from 1
  int length = 1;

  [[nodiscard]] const Node* find(std::string_view key) const;
};

struct Member {
  Node key;
  Node value;
};

Node scalar_node(std::string text, bool quoted = false);
void add_member(Node& map, std::string key, Node value);

TextPlace place_of(const Node& node);
TextPlace place_of(const Node& node, std::size_t byte_offset, std::size_t byte_length);
Diagnostic error_at(const Node& node, std::string message, std::string hint = {});

// Bounds on what a reader accepts; past them is an error, not a crash.
inline constexpr std::size_t kMaxTextBytes = 16U << 20U;
inline constexpr int kMaxDepth = 48;
inline constexpr std::size_t kMaxNodes = 400'000;
// YAML allows 1024 characters for a key in one line, escapes included.
inline constexpr std::size_t kMaxKeyBytes = 400;

// Reads a file of at most kMaxTextBytes; a larger one is refused before it is read, and so is
// everything that is not a regular file (a pipe would never end).
Parsed<TextFileRef> load_text_file(const std::filesystem::path& path, std::string shown_name);

// Strict: no anchors, aliases, tags, second documents, duplicate keys, tabs as indentation, control
// characters or invalid UTF-8. Numbers stay text.
Parsed<Node> parse_yaml(const TextFileRef& file);
// JSON (RFC 8259) with the same strictness and the same places.
Parsed<Node> parse_json(const TextFileRef& file);
// By content: a file that starts with '{' or '[' is JSON.
Parsed<Node> parse_tree(const TextFileRef& file);

std::string yaml_text(const Node& node);
// One entry of a list, indented by two, ready to be appended to a YAML file.
std::string yaml_list_item_text(const Node& node);
std::string json_text(const Node& node);

}  // namespace tautmark
