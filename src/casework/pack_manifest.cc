// SPDX-License-Identifier: Apache-2.0
#include "casework/pack_manifest.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "casework/pack_names.h"

namespace tautmark {
namespace {

constexpr std::string_view kSchema = "pack/1";
constexpr std::size_t kSumLength = 64;

Node text_node(const std::string& text) { return scalar_node(text, true); }

Node list_node(const std::vector<PackedFile>& files) {
  Node list;
  list.shape = NodeShape::list;
  for (const PackedFile& file : files) {
    Node item;
    item.shape = NodeShape::map;
    add_member(item, "name", text_node(file.name));
    add_member(item, "bytes", scalar_node(std::to_string(file.bytes)));
    add_member(item, "sha256", text_node(file.sha256));
    if (file.added) add_member(item, "added", scalar_node("true"));
    list.items.push_back(std::move(item));
  }
  return list;
}

class Reader {
 public:
  explicit Reader(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  void mistake(const Node& at, std::string message) {
    add_diagnostic(diagnostics_, error_at(at, std::move(message)));
  }
  std::string text(const Node& map, std::string_view key, bool required) {
    const Node* found = map.find(key);
    if (found != nullptr && found->shape == NodeShape::scalar) return found->text;
    if (found != nullptr || required) mistake(map, fmt::format("\"{}\" as text is missing", key));
    return {};
  }
  PackedFile file(const Node& item) {
    PackedFile file;
    file.name = text(item, "name", true);
    file.sha256 = text(item, "sha256", true);
    if (file.sha256.size() != kSumLength ||
        file.sha256.find_first_not_of("0123456789abcdef") != std::string::npos)
      mistake(item, "\"sha256\" is not 64 lower-case hexadecimal digits");
    const std::string bytes = text(item, "bytes", true);
    const char* end = bytes.data() + bytes.size();
    if (const auto read = std::from_chars(bytes.data(), end, file.bytes);
        read.ec != std::errc() || read.ptr != end)
      mistake(item, "\"bytes\" is not a whole number");
    file.added = text(item, "added", false) == "true";
    return file;
  }

 private:
  Diagnostics& diagnostics_;
};

}  // namespace

std::string manifest_text(const PackManifest& manifest) {
  Node root;
  root.shape = NodeShape::map;
  add_member(root, "schema", text_node(std::string(kSchema)));
  add_member(root, "case", text_node(manifest.case_name));
  add_member(root, "case_file", text_node(manifest.case_file));
  for (const PackedFile& file : manifest.files)
    if (file.name == manifest.case_file) add_member(root, "case_sha256", text_node(file.sha256));
  for (const auto& [key, value] : {std::pair{"program", &manifest.program},
                                   {"uid", &manifest.uid},
                                   {"head_hash", &manifest.head_hash}})
    if (!value->empty()) add_member(root, key, text_node(*value));
  add_member(root, "files", list_node(manifest.files));
  return json_text(root);
}

Parsed<PackManifest> read_manifest(const std::string& name, std::string text) {
  const auto root = parse_json(make_text_file(name, std::move(text)));
  if (!root) return tl::make_unexpected(root.error());
  Diagnostics diagnostics;
  Reader reader(diagnostics);
  PackManifest manifest;
  if (const std::string schema = reader.text(*root, "schema", true); schema != kSchema)
    reader.mistake(*root, fmt::format("\"{}\" is not a manifest that this program reads; \"{}\" is",
                                      readable_name(schema), kSchema));
  manifest.case_name = reader.text(*root, "case", true);
  manifest.case_file = reader.text(*root, "case_file", true);
  manifest.program = reader.text(*root, "program", false);
  manifest.uid = reader.text(*root, "uid", false);
  manifest.head_hash = reader.text(*root, "head_hash", false);
  const std::string case_sum = reader.text(*root, "case_sha256", true);
  if (manifest.case_file != "case.yaml" && manifest.case_file != "case.json")
    reader.mistake(*root, "\"case_file\" is neither case.yaml nor case.json");
  const Node* files = root->find("files");
  if (files == nullptr || files->shape != NodeShape::list) {
    reader.mistake(*root, "\"files\" is missing");
    return tl::make_unexpected(std::move(diagnostics));
  }
  for (const Node& item : files->items) manifest.files.push_back(reader.file(item));
  std::sort(manifest.files.begin(), manifest.files.end(),
            [](const PackedFile& a, const PackedFile& b) { return a.name < b.name; });
  const auto twice =
      std::adjacent_find(manifest.files.begin(), manifest.files.end(),
                         [](const PackedFile& a, const PackedFile& b) { return a.name == b.name; });
  if (twice != manifest.files.end())
    reader.mistake(*files, fmt::format("\"{}\" is named twice", readable_name(twice->name)));
  if (std::none_of(manifest.files.begin(), manifest.files.end(), [&](const PackedFile& file) {
        return file.name == manifest.case_file && file.sha256 == case_sum;
      }))
    reader.mistake(*files, "the case file is not among the files with its own sum");
  if (has_errors(diagnostics)) return tl::make_unexpected(std::move(diagnostics));
  return manifest;
}

}  // namespace tautmark
