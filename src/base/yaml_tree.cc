// SPDX-License-Identifier: Apache-2.0
// yaml-cpp reads the text; this file adds what it leaves out: places counted in characters,
// duplicate keys, aliases (refused, so that a small file cannot become a huge tree), bounds, and
// sentences that a person who is no programmer understands.
#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <sstream>
#include <unordered_map>

#include "base/text.h"
#include "base/tree.h"
#include "base/tree_check.h"

namespace tautmark {
namespace {

// yaml-cpp 0.7 gives the escapes \N (U+0085) and \_ (U+00A0) as one byte each, which is no UTF-8.
std::string as_utf8(const std::string& text) {
  std::string result;
  std::string_view rest = text;
  while (const auto bad = first_invalid_utf8(rest)) {
    result += rest.substr(0, *bad);
    result += '\xC2';
    result += rest[*bad];
    rest.remove_prefix(*bad + 1);
  }
  return result.append(rest);
}

struct Stop {};  // leaves the parser after an error that makes the rest meaningless

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const TextFileRef& file, Diagnostics& diagnostics)
      : file_(file), counter_(file), diagnostics_(diagnostics) {}

  Node root;
  bool has_root = false;

  void OnDocumentStart(const YAML::Mark&) override {}
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_anchor(mark, anchor);
    Node node = at(mark);
    if (line_from(mark).substr(0, 1) != "~" && !lower_ascii(line_from(mark)).starts_with("null"))
      node = behind_last_text(node);
    place(std::move(node));
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override { refuse_alias(mark); }
  void OnAnchor(const YAML::Mark& mark, const std::string&) override { refuse_alias(mark); }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& parsed) override {
    const std::string value = as_utf8(parsed);
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    Node node = at(mark);
    node.shape = NodeShape::scalar;
    node.text = value;
    node.quoted = tag == "!";
    if (node.quoted && !is_closed(mark))
      fail(node, "not readable as YAML: a quote is not closed", "close it with the same quote");
    if (const auto control = first_control_character(value))
      fail(node, control_character_text(control->code));
    const std::string_view line = file_->line(node.line);
    const auto start = static_cast<std::size_t>(std::max(0, mark.column)) + (node.quoted ? 1 : 0);
    const bool on_line = start < line.size() && line.substr(start).starts_with(value);
    node.length = on_line ? std::max(1, static_cast<int>(character_count(value))) : 1;
    place(std::move(node));
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    open(mark, NodeShape::list);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    open(mark, NodeShape::map);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Open {
    Node node;
    Node key;
    bool has_key = false;
    std::unordered_map<std::string, std::size_t> seen;  // key, index of its member
  };

  Node at(const YAML::Mark& mark) {
    const auto bytes = static_cast<std::size_t>(std::max(0, mark.column));
    Node node = counter_.at_line(mark.line + 1, bytes);
    if (++nodes_ > kMaxNodes) fail(node, "more parts than any file of this kind can need");
    return node;
  }

  std::string_view line_from(const YAML::Mark& mark) const {
    const std::string_view line = file_->line(mark.line + 1);
    return line.substr(std::min(line.size(), static_cast<std::size_t>(std::max(0, mark.column))));
  }

  // Where nothing stands the parser names the place of what comes next: go back to what came last.
  Node behind_last_text(const Node& next) {
    for (int number = next.line; number >= 1; --number) {
      std::string_view line = file_->line(number);
      if (number == next.line) line = line.substr(0, counter_.byte());
      if (trimmed(line).starts_with('#')) continue;
      line = line.substr(0, line.find(" #"));
      const std::size_t last = line.find_last_not_of(" \t");
      if (last != std::string_view::npos) return counter_.at_line(number, last + 1);
    }
    return next;
  }

  // yaml-cpp takes the end of the file for a closing quote when a line end stands before it.
  bool is_closed(const YAML::Mark& mark) const {
    const std::string_view text = file_->text;
    const std::string_view line = line_from(mark);
    if (!line.starts_with('"') && !line.starts_with('\''))
      return true;  // | and > end by themselves
    const char quote = line.front();
    for (auto i = static_cast<std::size_t>(line.data() - text.data()) + 1; i < text.size(); ++i) {
      if (quote == '"' && text[i] == '\\') {
        ++i;
      } else if (text[i] == quote) {
        if (quote == '"' || i + 1 == text.size() || text[i + 1] != quote) return true;
        ++i;  // '' is a quote inside '...'
      }
    }
    return false;
  }

  [[noreturn]] void fail(const Node& node, std::string message, std::string hint = {}) {
    diagnostics_.push_back(error_at(node, std::move(message), std::move(hint)));
    throw Stop{};
  }
  void refuse_alias(const YAML::Mark& mark) {
    fail(at(mark), "anchors (&) and aliases (*) are not used in these files",
         "write the value out, or put it in quotes if it starts with & or *");
  }
  void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) {
    if (anchor != 0) refuse_alias(mark);
  }
  void refuse_tag(const YAML::Mark& mark, const std::string& tag) {
    if (!tag.empty() && tag != "?" && tag != "!")
      fail(at(mark), "tags (!) are not used in these files",
           "put the text in quotes if it starts with !");
  }

  void open(const YAML::Mark& mark, NodeShape shape) {
    Open open;
    open.node = at(mark);
    open.node.shape = shape;
    if (stack_.size() >= static_cast<std::size_t>(kMaxDepth))
      fail(open.node, fmt::format("nested deeper than {} levels", kMaxDepth));
    stack_.push_back(std::move(open));
  }
  void close() {
    Node node = std::move(stack_.back().node);
    stack_.pop_back();
    place(std::move(node));
  }
  void place(Node node) {
    if (stack_.empty()) {
      root = std::move(node);
      has_root = true;
      return;
    }
    Open& top = stack_.back();
    if (top.node.shape == NodeShape::list) {
      top.node.items.push_back(std::move(node));
    } else if (!top.has_key) {
      if (node.shape != NodeShape::scalar) fail(node, "a key must be a plain word");
      if (node.text.size() > kMaxKeyBytes) fail(node, "no key of these files is so long");
      const auto [first, is_new] = top.seen.emplace(node.text, top.node.members.size());
      if (!is_new) {
        Diagnostic twice =
            error_at(node, fmt::format("key \"{}\" stands here a second time", node.text),
                     "remove one of the two");
        twice.second =
            DiagnosticNote{place_of(top.node.members[first->second].key), "the first one is here"};
        add_diagnostic(diagnostics_, std::move(twice));
      }
      top.key = std::move(node);
      top.has_key = true;
    } else {
      top.node.members.push_back({std::move(top.key), std::move(node)});
      top.key = Node{};
      top.has_key = false;
    }
  }

  TextFileRef file_;
  PlaceCounter counter_;
  Diagnostics& diagnostics_;
  std::vector<Open> stack_;
  std::size_t nodes_ = 0;
};

// yaml-cpp's words, what a person calls the same thing, and what can be done about it.
struct ParserWords {
  std::string_view theirs;
  std::string_view ours;
  std::string_view hint;
};
constexpr std::string_view kQuoteColon = "a text with \": \" inside needs quotes";
constexpr std::string_view kIndent =
    "keys of one group start in the same column, two blanks further in than their heading";
constexpr ParserWords kParserWords[] = {
    {"illegal map value", "\":\" where no value can stand", kQuoteColon},
    {"illegal map key", "a key where none can stand", kIndent},
    {"illegal block entry", "\"-\" where no list item can stand", kIndent},
    {"end of map not found", "this line does not fit the lines above", kIndent},
    {"end of sequence not found", "this line does not fit the list above", kIndent},
    {"end of map flow not found", "a { without its }", "close the { with a }"},
    {"end of sequence flow not found", "a [ without its ]", "close the [ with a ]"},
    {"illegal flow end", "a ] or } without its [ or {", "put the text in quotes if it holds one"},
    {"illegal EOF in scalar", "a quote is not closed", "close it with the same quote"},
    {"illegal document indicator in scalar", "a quote is not closed",
     "close it with the same quote"},
    {"unknown escape character", "a backslash that stands for nothing",
     "inside \"...\" write \\\\ for a backslash, or use '...'"},
    {"unknown token", "a sign that no text can start with", "put the text in quotes"},
};

Diagnostic parser_error(const TextFileRef& file, const YAML::Exception& error) {
  const auto bytes = static_cast<std::size_t>(std::max(0, error.mark.column));
  Node node = PlaceCounter(file).at_line(std::max(1, error.mark.line + 1), bytes);
  const std::string theirs =
      error.msg.substr(0, first_invalid_utf8(error.msg).value_or(error.msg.size()));
  Diagnostic diagnostic = error_at(node, "not readable as YAML: " + theirs);
  const auto* words =
      std::find_if(std::begin(kParserWords), std::end(kParserWords),
                   [&](const ParserWords& w) { return theirs.starts_with(w.theirs); });
  if (words != std::end(kParserWords)) {
    diagnostic.message = fmt::format("not readable as YAML: {}", words->ours);
    diagnostic.hint = words->hint;
  }
  // The parser often stops on the line after the culprit.
  for (int number = std::max(1, node.line - 1); number <= node.line; ++number) {
    const std::string_view line = file->line(number);
    const auto colon = line.find(": >");
    if (colon != std::string_view::npos && line.substr(colon + 2).starts_with(">=")) {
      diagnostic.hint = "a value that starts with > needs quotes, or write \"at least ...\"";
      return diagnostic;
    }
    const auto first = line.find(": ");
    if (first != std::string_view::npos && line.find(": ", first + 2) != std::string_view::npos &&
        line.find_first_of("{\"'") == std::string_view::npos)
      diagnostic.hint = kQuoteColon;
  }
  return diagnostic;
}

}  // namespace

Parsed<Node> parse_yaml(const TextFileRef& file) {
  Diagnostics diagnostics = text_check(file, IndentRule::no_tabs);
  if (has_errors(diagnostics)) return tl::make_unexpected(diagnostics);

  TreeBuilder builder(file, diagnostics);
  try {
    std::istringstream in(file->text);
    YAML::Parser parser(in);
    parser.HandleNextDocument(builder);
    if (builder.has_root && !has_errors(diagnostics)) {
      Node first = std::move(builder.root);
      builder.root = Node{};
      builder.has_root = false;
      if (parser.HandleNextDocument(builder)) {
        diagnostics.push_back(error_at(builder.root, "a second document starts here (---)",
                                       "one file holds one definition or case"));
      }
      builder.root = std::move(first);
      builder.has_root = true;
    }
  } catch (const Stop&) {
    return tl::make_unexpected(diagnostics);
  } catch (const YAML::Exception& error) {
    diagnostics.push_back(parser_error(file, error));
    return tl::make_unexpected(diagnostics);
  }
  if (has_errors(diagnostics)) return tl::make_unexpected(diagnostics);
  if (!builder.has_root || builder.root.shape == NodeShape::null) {
    return tl::make_unexpected(
        Diagnostics{error_at(PlaceCounter(file).at_byte(0), "the file is empty")});
  }
  return std::move(builder.root);
}

}  // namespace tautmark
