// SPDX-License-Identifier: Apache-2.0
// Writes a tree as YAML that parse_yaml reads back to the same tree. Quotes only where they are
// needed, so that files stay pleasant to read and to edit by hand.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "base/tree.h"

namespace tautmark {
namespace {

bool looks_like_another_type(std::string_view text) {
  static constexpr std::string_view kWords[] = {"true", "false", "null", "yes", "no",
                                                "on",   "off",   "y",    "n",   "~"};
  const std::string lower = lower_ascii(text);
  if (std::find(std::begin(kWords), std::end(kWords), lower) != std::end(kWords)) return true;
  // A number starts with a digit or a sign; "e1", the name of an entry, is none.
  return std::string_view("0123456789+-.").find(text.front()) != std::string_view::npos &&
         text.find_first_not_of("0123456789+-.eExXobOB_:") == std::string_view::npos;
}

bool is_read_as_nothing(std::string_view text) {
  return text == "~" || lower_ascii(text) == "null";
}

bool is_plain_safe(const Node& node) {
  const std::string_view text = node.text;
  if (text.empty() || trimmed(text) != text || is_read_as_nothing(text)) return false;
  if (node.quoted && looks_like_another_type(text)) return false;
  if (text.starts_with("---") || text.starts_with("...")) return false;
  static constexpr std::string_view kFirst = "-?:,[]{}#&*!|>'\"%@`=";
  if (kFirst.find(text.front()) != std::string_view::npos) {
    const bool negative_number =
        text.front() == '-' && text.size() > 1 && text[1] >= '0' && text[1] <= '9';
    if (!negative_number) return false;
  }
  if (text.back() == ':') return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (c < 0x20 || c == 0x7F) return false;
    if (c == 0xC2 || c == 0xE2 || c == 0xEF) {  // U+0085, U+2028, U+2029, U+FEFF break lines
      const std::string_view rest = text.substr(i);
      if (rest.starts_with("\xC2\x85") || rest.starts_with("\xE2\x80\xA8") ||
          rest.starts_with("\xE2\x80\xA9") || rest.starts_with("\xEF\xBB\xBF"))
        return false;
    }
    if (c == ':' && (i + 1 == text.size() || text[i + 1] == ' ')) return false;
    if (c == '#' && i > 0 && text[i - 1] == ' ') return false;
    if (c == ',' || c == '[' || c == ']' || c == '{' || c == '}') continue;  // block style only
  }
  return true;
}

std::string scalar_text(const Node& node) {
  if (is_plain_safe(node)) return node.text;
  std::string out = "\"";
  for (std::size_t i = 0; i < node.text.size(); ++i) {
    const auto c = static_cast<unsigned char>(node.text[i]);
    const std::string_view rest = std::string_view(node.text).substr(i);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += static_cast<char>(c);
    } else if (c == '\n') {
      out += "\\n";
    } else if (c == '\t') {
      out += "\\t";
    } else if (c < 0x20 || c == 0x7F) {
      out += fmt::format("\\x{:02x}", c);
    } else if (rest.starts_with("\xC2\x85")) {
      out += "\\N";
      i += 1;
    } else if (rest.starts_with("\xE2\x80\xA8")) {
      out += "\\L";
      i += 2;
    } else if (rest.starts_with("\xE2\x80\xA9")) {
      out += "\\P";
      i += 2;
    } else if (rest.starts_with("\xEF\xBB\xBF")) {
      out += "\\uFEFF";
      i += 2;
    } else {
      out += static_cast<char>(c);
    }
  }
  return out + "\"";
}

void write_block(std::string& out, const Node& node, int indent);

// Writes the value after "key:" or "-": on the same line if it is a scalar, below it otherwise.
void write_value(std::string& out, const Node& node, int indent) {
  switch (node.shape) {
    case NodeShape::null:
      out += " null\n";
      break;
    case NodeShape::scalar:
      out += " " + scalar_text(node) + "\n";
      break;
    case NodeShape::list:
      if (node.items.empty()) {
        out += " []\n";
        break;
      }
      out += "\n";
      write_block(out, node, indent);
      break;
    case NodeShape::map:
      if (node.members.empty()) {
        out += " {}\n";
        break;
      }
      out += "\n";
      write_block(out, node, indent);
      break;
  }
}

void write_block(std::string& out, const Node& node, int indent) {
  const std::string pad(static_cast<std::size_t>(indent), ' ');
  if (node.shape == NodeShape::map) {
    for (const Member& member : node.members) {
      out += pad + scalar_text(member.key) + ":";
      write_value(out, member.value, indent + 2);
    }
    return;
  }
  for (const Node& item : node.items) {
    if (item.shape == NodeShape::map && !item.members.empty()) {
      std::string block;
      write_block(block, item, indent + 2);
      block[static_cast<std::size_t>(indent)] = '-';
      out += block;
    } else {
      out += pad + "-";
      write_value(out, item, indent + 2);
    }
  }
}

}  // namespace

std::string yaml_text(const Node& node) {
  if (node.shape == NodeShape::scalar) return scalar_text(node) + "\n";
  if (node.shape == NodeShape::null) return "null\n";
  if (node.shape == NodeShape::map && node.members.empty()) return "{}\n";
  if (node.shape == NodeShape::list && node.items.empty()) return "[]\n";
  std::string out;
  write_block(out, node, 0);
  return out;
}

std::string yaml_list_item_text(const Node& node) {
  Node list;
  list.shape = NodeShape::list;
  list.items.push_back(node);
  std::string out;
  write_block(out, list, 2);
  return out;
}

}  // namespace tautmark
