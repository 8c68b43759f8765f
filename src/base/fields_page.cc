// SPDX-License-Identifier: Apache-2.0
// The reference page of a format from the field descriptions: a commented example of every key,
// then a table for each group of keys.
#include <fmt/format.h>

#include <optional>
#include <set>

#include "base/fields.h"
#include "base/text.h"

namespace tautmark {
namespace {

const TypeInfo& innermost(const TypeInfo& type) {
  if (type.shape == Shape::optional || type.shape == Shape::list) return innermost(type.element());
  return type;
}

std::string quoted_if_needed(std::string_view text) {
  // Lists of the examples are written as they stand.
  if (text.starts_with('[')) return std::string(text);
  const std::string written = yaml_text(scalar_node(std::string(text)));
  return written.substr(0, written.size() - 1);
}

class PageWriter {
 public:
  std::string example;
  std::string tables;

  void example_of(const TypeInfo& type, int indent, bool first_of_item) {
    if (type.tag != nullptr) {
      const std::size_t count = type.tag->alternatives.size();
      for (std::size_t i = 0; i < count; ++i) {
        const TypeInfo& alternative = type.tag->alternatives[i]();
        if (i != 0) example += "\n";
        line(indent, first_of_item, fmt::format("{}: {}", type.tag->key, alternative.name),
             alternative.help);
        shared_fields_of(type.fields(), indent, i + 1, count);
        fields_of(alternative.fields(), indent, false);
      }
      return;
    }
    fields_of(type.fields(), indent, first_of_item);
  }

  void table_of(const TypeInfo& type) {
    if (!seen_.insert(std::string(type.name)).second) return;
    if (type.tag != nullptr) {
      begin_table(type);
      tables += fmt::format("| `{}` | text | yes | {} |\n", type.tag->key, type.tag->help);
      rows(type.fields());
      tables += "\n";
      for (const TypeRef alternative : type.tag->alternatives) table_of(alternative());
      for (const FieldInfo& field : type.fields()) descend(field);
      return;
    }
    begin_table(type);
    rows(type.fields());
    if (!type.short_form.empty())
      tables +=
          fmt::format("\nShort form: a single text in its place is its `{}`.\n", type.short_form);
    tables += "\n";
    for (const FieldInfo& field : type.fields()) descend(field);
  }

 private:
  void line(int indent, bool dash, const std::string& text, std::string_view help) {
    std::string begin(static_cast<std::size_t>(indent), ' ');
    if (dash) begin.replace(begin.size() - 2, 1, "-");
    if (comment_at_) begin.insert(*comment_at_, "# ");
    begin += text;
    if (!help.empty())
      begin += fmt::format("{:>{}}# {}", "", begin.size() < 44 ? 44 - begin.size() : 2, help);
    example += begin + "\n";
  }

  // What every alternative has. Shown in full with the first; a field that names another item, such
  // as the one corrected, with the last.
  void shared_fields_of(std::span<const FieldInfo> fields, int indent, std::size_t number,
                        std::size_t count) {
    for (const FieldInfo& field : fields) {
      const bool is_first = number == 1;
      if (field.key == "id")
        line(indent, false, fmt::format("id: e{}", number), is_first ? field.help : "");
      else if (field.options.apart ? number == count : is_first)
        field_of(field, indent, false);
    }
  }

  void fields_of(std::span<const FieldInfo> fields, int indent, bool first_of_item) {
    bool dash = first_of_item;
    for (const FieldInfo& field : fields) {
      const bool begins_comment = field.options.apart && !comment_at_;
      if (begins_comment) comment_at_ = static_cast<std::size_t>(indent);
      field_of(field, indent, dash);
      if (begins_comment) comment_at_.reset();
      dash = false;
    }
  }

  // The example of a list of records is a further item, to stand below the first.
  void field_of(const FieldInfo& field, int indent, bool dash) {
    const TypeInfo& type = field.type();
    const TypeInfo& inner = innermost(type);
    const bool is_list = type.shape == Shape::list;
    if (inner.shape != Shape::record) {
      line(indent, dash, fmt::format("{}: {}", field.key, quoted_if_needed(field.example)),
           field.help);
      return;
    }
    line(indent, dash, fmt::format("{}:", field.key), field.help);
    example_of(inner, indent + (is_list ? 4 : 2), is_list);
    if (is_list && !field.example.empty()) line(indent + 4, true, std::string(field.example), "");
  }

  void begin_table(const TypeInfo& type) {
    tables += fmt::format("### {}\n\n{}\n\n| key | what | needed | meaning |\n|---|---|---|---|\n",
                          type.name, type.help);
  }

  void rows(std::span<const FieldInfo> fields) {
    for (const FieldInfo& field : fields) {
      const TypeInfo& type = field.type();
      const TypeInfo& inner = innermost(type);
      std::string what;
      if (!inner.choices.empty()) {
        std::vector<std::string> names(inner.choices.begin(), inner.choices.end());
        what = joined(names, ", ");
      } else {
        what = std::string(inner.name);
      }
      if (type.shape == Shape::list) what = "list of " + what;
      std::string help(field.help);
      if (!field.options.topic.empty())
        help += fmt::format(" A variant restates or confirms it (`{}`).", field.options.topic);
      tables += fmt::format("| `{}` | {} | {} | {} |\n", field.key, what,
                            is_required(field) ? "yes" : "", help);
    }
  }

  void descend(const FieldInfo& field) {
    const TypeInfo& inner = innermost(field.type());
    if (inner.shape == Shape::record) table_of(inner);
  }

  std::set<std::string> seen_;
  std::optional<std::size_t> comment_at_;  // column of what is shown as a comment
};

}  // namespace

std::string format_page(const TypeInfo& type, std::string_view title,
                        std::string_view introduction) {
  PageWriter writer;
  writer.example_of(type, 0, false);
  writer.table_of(type);
  return fmt::format(
      "# {}\n\nGenerated from the field descriptions by `tautmark formats`; do not edit.\n\n{}\n\n"
      "## Every key, with an example\n\n```yaml\n{}```\n\n## The keys in groups\n\n{}",
      title, introduction, writer.example, writer.tables.substr(0, writer.tables.size() - 1));
}

}  // namespace tautmark
