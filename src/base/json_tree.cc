// SPDX-License-Identifier: Apache-2.0
// nlohmann-json reads and writes the text; places come from counting the characters it takes.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <nlohmann/json.hpp>
#include <unordered_map>

#include "base/text.h"
#include "base/tree.h"
#include "base/tree_check.h"

namespace tautmark {
namespace {

using nlohmann::json;

// An input iterator that tells how far the parser has come.
class CountingIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  CountingIterator(const char* at, const char** furthest) : at_(at), furthest_(furthest) {}
  const char& operator*() const { return *at_; }
  CountingIterator& operator++() {
    ++at_;
    *furthest_ = at_;
    return *this;
  }
  CountingIterator operator++(int) {
    CountingIterator before = *this;
    ++*this;
    return before;
  }
  friend bool operator==(const CountingIterator& a, const CountingIterator& b) {
    return a.at_ == b.at_;
  }
  friend bool operator!=(const CountingIterator& a, const CountingIterator& b) { return !(a == b); }

 private:
  const char* at_;
  const char** furthest_;
};

// The library's text starts with its own names, "[json.exception.parse_error.101] parse error at
// line 2, column 3: syntax error while parsing value - invalid literal; last read: '...'", and
// quotes what it has read, which may end inside a character or be the whole file.
std::string plain_words(std::string message) {
  const auto start = message.find("syntax error");
  if (start != std::string::npos)
    message.erase(0, start);
  else if (const auto bracket = message.find("] "); bracket != std::string::npos)
    message.erase(0, bracket + 2);
  if (const auto read = message.find("; last read"); read != std::string::npos) {
    const auto expected = message.rfind("; expected ");
    const bool tells_more = expected != std::string::npos && expected > read;
    message = message.substr(0, read) + (tells_more ? message.substr(expected) : "");
  }
  return message.substr(0, first_invalid_utf8(message).value_or(message.size()));
}

class TreeSax : public nlohmann::json_sax<json> {
 public:
  TreeSax(const TextFileRef& file, Diagnostics& diagnostics)
      : file_(file), counter_(file), diagnostics_(diagnostics), furthest_(file->text.data()) {}

  Node root;
  const char** furthest() { return &furthest_; }

  bool null() override { return scalar("", NodeShape::null, false); }
  bool boolean(bool value) override {
    return scalar(value ? "true" : "false", NodeShape::scalar, false);
  }
  bool number_integer(number_integer_t) override { return number(); }
  bool number_unsigned(number_unsigned_t) override { return number(); }
  bool number_float(number_float_t, const string_t&) override { return number(); }
  bool string(string_t& value) override { return scalar(value, NodeShape::scalar, true); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return open(NodeShape::map); }
  bool start_array(std::size_t) override { return open(NodeShape::list); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool key(string_t& value) override {
    Node node = token();
    node.shape = NodeShape::scalar;
    node.text = value;
    node.quoted = true;
    Open& top = stack_.back();
    if (!check_text(node)) return false;
    if (value.size() > kMaxKeyBytes) {
      diagnostics_.push_back(error_at(node, "no key of these files is so long"));
      return false;
    }
    const auto [first, is_new] = top.seen.emplace(value, top.node.members.size());
    if (!is_new) {
      Diagnostic twice = error_at(node, fmt::format("key \"{}\" stands here a second time", value),
                                  "remove one of the two");
      twice.second =
          DiagnosticNote{place_of(top.node.members[first->second].key), "the first one is here"};
      add_diagnostic(diagnostics_, std::move(twice));
    }
    top.key = std::move(node);
    return true;
  }
  bool parse_error(std::size_t position, const std::string&,
                   const nlohmann::detail::exception& error) override {
    const std::string message = plain_words(error.what());
    Node node =
        at(file_->text.data() + std::min(position > 0 ? position - 1 : 0, file_->text.size()));
    diagnostics_.push_back(error_at(node, "not readable as JSON: " + message));
    return false;
  }

 private:
  struct Open {
    Node node;
    Node key;
    std::unordered_map<std::string, std::size_t> seen;  // key, index of its member
  };

  Node at(const char* where) {
    return counter_.at_byte(static_cast<std::size_t>(where - file_->text.data()));
  }
  bool check_text(const Node& node) {
    const auto control = first_control_character(node.text);
    if (control) diagnostics_.push_back(error_at(node, control_character_text(control->code)));
    return !control;
  }

  // The token that ends where the parser now stands.
  Node token() {
    const char* end = file_->text.data() + file_->text.size();
    const char* begin = last_end_;
    if (begin == nullptr) begin = file_->text.data();
    while (begin < end && std::string_view(" \t\r\n,:]}").find(*begin) != std::string_view::npos)
      ++begin;
    Node node = at(begin);
    begin_ = begin;
    node.length = std::max(
        1, static_cast<int>(character_count(std::string_view(
               begin, static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, furthest_ - begin))))));
    last_end_ = furthest_;
    return node;
  }
  bool number() {
    Node node = token();
    // The parser has looked one character past a number: cut the token where the number ends.
    const char* end = begin_;
    const char* stop = file_->text.data() + file_->text.size();
    while (end < stop && std::string_view("+-.eE0123456789").find(*end) != std::string_view::npos)
      ++end;
    node.text = std::string(begin_, end);
    node.length = static_cast<int>(node.text.size());
    node.shape = NodeShape::scalar;
    last_end_ = end;
    return place(std::move(node));
  }
  bool scalar(std::string text, NodeShape shape, bool quoted) {
    Node node = token();
    node.shape = shape;
    node.text = std::move(text);
    node.quoted = quoted;
    return check_text(node) && place(std::move(node));
  }
  bool open(NodeShape shape) {
    Open open;
    open.node = token();
    open.node.shape = shape;
    if (stack_.size() >= static_cast<std::size_t>(kMaxDepth)) {
      diagnostics_.push_back(
          error_at(open.node, fmt::format("nested deeper than {} levels", kMaxDepth)));
      return false;
    }
    stack_.push_back(std::move(open));
    return true;
  }
  bool close() {
    Node node = std::move(stack_.back().node);
    stack_.pop_back();
    return place(std::move(node));
  }
  bool place(Node node) {
    if (++nodes_ > kMaxNodes) {
      diagnostics_.push_back(error_at(node, "more parts than any file of this kind can need"));
      return false;
    }
    if (stack_.empty()) {
      root = std::move(node);
    } else if (stack_.back().node.shape == NodeShape::list) {
      stack_.back().node.items.push_back(std::move(node));
    } else {
      Open& top = stack_.back();
      top.node.members.push_back({std::move(top.key), std::move(node)});
    }
    return true;
  }

  TextFileRef file_;
  PlaceCounter counter_;
  Diagnostics& diagnostics_;
  const char* furthest_;
  const char* last_end_ = nullptr;
  const char* begin_ = nullptr;
  std::vector<Open> stack_;
  std::size_t nodes_ = 0;
};

nlohmann::ordered_json to_json(const Node& node) {
  switch (node.shape) {
    case NodeShape::null:
      return nullptr;
    case NodeShape::scalar: {
      if (node.quoted) return node.text;
      if (node.text == "true") return true;
      if (node.text == "false") return false;
      // Bare numbers keep their text: what was typed is kept.
      const auto value = nlohmann::ordered_json::parse(node.text, nullptr, false);
      if (value.is_number() && value.dump() == node.text) return value;
      return node.text;
    }
    case NodeShape::list: {
      auto list = nlohmann::ordered_json::array();
      for (const Node& item : node.items) list.push_back(to_json(item));
      return list;
    }
    case NodeShape::map: {
      auto map = nlohmann::ordered_json::object();
      for (const Member& member : node.members) map[member.key.text] = to_json(member.value);
      return map;
    }
  }
  return nullptr;
}

}  // namespace

Parsed<Node> parse_json(const TextFileRef& file) {
  Diagnostics diagnostics = text_check(file, IndentRule::tabs_allowed);
  if (has_errors(diagnostics)) return tl::make_unexpected(diagnostics);
  TreeSax sax(file, diagnostics);
  const char* begin = file->text.data();
  const char* end = begin + file->text.size();
  const bool ok = json::sax_parse(CountingIterator(begin, sax.furthest()),
                                  CountingIterator(end, sax.furthest()), &sax);
  if (!ok && !has_errors(diagnostics)) {
    diagnostics.push_back(error_at(PlaceCounter(file).at_byte(0), "not readable as JSON"));
  }
  if (has_errors(diagnostics)) return tl::make_unexpected(diagnostics);
  return std::move(sax.root);
}

std::string json_text(const Node& node) {
  return to_json(node).dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace tautmark
