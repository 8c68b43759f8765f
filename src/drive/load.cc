// SPDX-License-Identifier: Apache-2.0
#include "drive/load.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/hash.h"
#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/lint.h"
#include "drive/variant_steps.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr int kMaxBases = 8;

std::string item_identity(const Node& item) {
  if (item.shape != NodeShape::map) return {};
  static constexpr std::string_view kKeys[][2] = {{"name", ""},       {"number", ""},
                                                  {"quantity", "at"}, {"at", "speed"},
                                                  {"from", "to"},     {"chain", ""}};
  for (const auto& [first, second] : kKeys) {
    const Node* one = item.find(first);
    if (one == nullptr) continue;
    std::string identity = folded(one->text);
    if (!second.empty())
      if (const Node* two = item.find(second)) identity += " | " + folded(two->text);
    return identity;
  }
  return {};
}

Node merged(const Node& base, const Node& variant);

Node merged_map(const Node& base, const Node& variant) {
  Node result = variant;
  result.members.clear();
  for (const Member& member : base.members) {
    const Node* over = variant.find(member.key.text);
    if (over == nullptr)
      result.members.push_back(member);
    else if (over->shape != NodeShape::null)
      result.members.push_back({member.key, merged(member.value, *over)});
  }
  for (const Member& member : variant.members)
    if (base.find(member.key.text) == nullptr && member.value.shape != NodeShape::null)
      result.members.push_back(member);
  return result;
}

Node merged_list(const Node& base, const Node& variant) {
  const auto has_identity = [](const Node& list) {
    return std::all_of(list.items.begin(), list.items.end(),
                       [](const Node& item) { return !item_identity(item).empty(); });
  };
  if (!has_identity(base) || !has_identity(variant)) return variant;
  Node result = variant;
  result.items.clear();
  for (const Node& item : base.items) {
    const auto over = std::find_if(
        variant.items.begin(), variant.items.end(),
        [&](const Node& other) { return item_identity(other) == item_identity(item); });
    result.items.push_back(over == variant.items.end() ? item : merged(item, *over));
  }
  for (const Node& item : variant.items) {
    const auto is_same = [&](const Node& other) {
      return item_identity(other) == item_identity(item);
    };
    const bool known = std::any_of(base.items.begin(), base.items.end(), is_same);
    // One that the variant itself names twice stays twice, for the lint to find.
    const auto* first = &*std::find_if(variant.items.begin(), variant.items.end(), is_same);
    if (!known || first != &item) result.items.push_back(item);
  }
  return result;
}

Node merged(const Node& base, const Node& variant) {
  if (base.shape == NodeShape::map && variant.shape == NodeShape::map)
    return merged_map(base, variant);
  if (base.shape == NodeShape::list && variant.shape == NodeShape::list)
    return merged_list(base, variant);
  return variant;
}

// A number keeps its own source when it moves into a variant that names another document.
void carry_source(Node& list, const Node& source) {
  for (Node& item : list.items)
    if (item.shape == NodeShape::map && item.find("source") == nullptr)
      add_member(item, "source", source);
}

Node with_own_sources(Node base) {
  const Node* found = base.find("source");
  if (found == nullptr) return base;
  const Node source = *found;
  for (Member& member : base.members) {
    if (member.key.text == "fits" || member.key.text == "fasteners")
      carry_source(member.value, source);
    if (member.key.text == "oil")
      for (Member& part : member.value.members)
        if (part.key.text == "pressures") carry_source(part.value, source);
  }
  return base;
}

struct RawDrive {
  Node node;
  std::string sha256;
};

tl::unexpected<Diagnostics> one_error(Diagnostic diagnostic) {
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

Parsed<TextFileRef> open_drive(const std::string& name_or_path, const DriveFolders& folders) {
  if (!is_drive_name(name_or_path)) return load_text_file(name_or_path, name_or_path);
  for (const fs::path& folder : folders.folders) {
    for (const char* ending : {".drive.yaml", ".drive.json"}) {
      const fs::path path = folder / (name_or_path + ending);
      std::error_code code;
      if (fs::is_regular_file(path, code)) return load_text_file(path, path.generic_string());
    }
  }
  Diagnostic diagnostic;
  diagnostic.place.file = name_or_path;
  const auto known = drives_in(folders);
  diagnostic.message = fmt::format("no drive of this name");
  if (const auto near = nearest(name_or_path, known))
    diagnostic.hint = fmt::format("did you mean \"{}\"?", *near);
  else if (!known.empty())
    diagnostic.hint = fmt::format("known: {}", joined(known, ", "));
  else
    diagnostic.hint = "give the folder of the drive files with --drives FOLDER";
  return one_error(std::move(diagnostic));
}

// A file of another format would only give mistakes that are none.
std::optional<Diagnostic> format_problem(const Node& root) {
  const Node* format = root.find("tautmark");
  if (format == nullptr || format->text == "drive/1")
    return std::nullopt;  // missing: the reader says so
  const bool is_case = format->text.starts_with("case/");
  return error_at(*format,
                  is_case ? std::string("this is a case file; a drive file is wanted here")
                          : fmt::format("\"{}\" is not a format of a drive file", format->text),
                  is_case ? "judge a case with: tautmark judge CASE"
                          : "the first line of a drive file is: tautmark: drive/1");
}

// The bases of a drive that is named by its path are looked up beside it first.
DriveFolders with_own_folder(const std::string& name_or_path, DriveFolders folders) {
  if (is_drive_name(name_or_path)) return folders;
  const fs::path folder = fs::path(name_or_path).parent_path();
  folders.folders.insert(folders.folders.begin(), folder.empty() ? fs::path(".") : folder);
  return folders;
}

bool is_same_file(const std::string& a, const std::string& b) {
  std::error_code code;
  return a == b || fs::equivalent(a, b, code);
}

Parsed<RawDrive> raw_drive(const TextFileRef& file, const DriveFolders& folders,
                           std::vector<std::string> chain) {
  auto node = parse_tree(file);
  if (!node) return tl::make_unexpected(node.error());
  RawDrive raw{std::move(*node), sha256_hex(file->text)};
  if (auto problem = format_problem(raw.node)) return one_error(std::move(*problem));
  const Node* base_name = raw.node.find("based_on");
  if (base_name == nullptr || base_name->shape != NodeShape::scalar) return raw;

  if (!is_drive_name(base_name->text))
    return one_error(error_at(*base_name,
                              fmt::format("\"{}\" is not the name of a drive", base_name->text),
                              "name the base without path and ending"));
  chain.push_back(file->name);
  if (chain.size() > static_cast<std::size_t>(kMaxBases))
    return one_error(error_at(*base_name,
                              fmt::format("more than {} drives are based on each other", kMaxBases),
                              "is one of them based on itself?"));
  auto base_file = open_drive(base_name->text, folders);
  if (!base_file) {
    Diagnostic diagnostic = base_file.error().front();
    diagnostic.place = place_of(*base_name);
    diagnostic.message =
        fmt::format("the base \"{}\" cannot be read: {}", base_name->text, diagnostic.message);
    return one_error(std::move(diagnostic));
  }
  if (std::any_of(chain.begin(), chain.end(),
                  [&](const std::string& name) { return is_same_file(name, (*base_file)->name); }))
    return one_error(
        error_at(*base_name, fmt::format("\"{}\" is based on itself", base_name->text)));
  auto base = raw_drive(*base_file, folders, chain);
  if (!base) return tl::make_unexpected(base.error());
  raw.sha256 = sha256_hex(raw.sha256 + base->sha256);
  raw.node = laid_over(base->node, raw.node);
  return raw;
}

}  // namespace

Node laid_over(const Node& base_node, const Node& variant) {
  Node base = with_own_sources(base_node);
  static constexpr std::string_view kNeverInherited[] = {"tautmark",   "name",      "title",
                                                         "based_on",   "confirms",  "revision",
                                                         "checked_by", "recognise", "source"};
  std::erase_if(base.members, [](const Member& member) {
    return std::find(std::begin(kNeverInherited), std::end(kNeverInherited), member.key.text) !=
           std::end(kNeverInherited);
  });
  return with_placed_steps(merged(base, variant), base, variant);
}

bool is_drive_name(const std::string& text) {
  if (text.empty() || text.size() > 100) return false;
  return std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_';
  });
}

std::vector<std::string> drives_in(const DriveFolders& folders) {
  std::vector<std::string> names;
  for (const fs::path& folder : folders.folders) {
    std::error_code code;
    for (const auto& entry : fs::directory_iterator(folder, code)) {
      const std::string file = entry.path().filename().string();
      for (const std::string_view ending : {".drive.yaml", ".drive.json"})
        if (file.ends_with(ending)) names.push_back(file.substr(0, file.size() - ending.size()));
    }
  }
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  return names;
}

Parsed<LoadedDrive> load_drive_text(const TextFileRef& file, const DriveFolders& folders) {
  auto raw = raw_drive(file, folders, {});
  if (!raw) return tl::make_unexpected(raw.error());

  LoadedDrive loaded;
  loaded.sha256 = raw->sha256;
  Diagnostics diagnostics;
  ReadContext context;
  context.diagnostics = &diagnostics;
  context.places = &loaded.places;
  if (const Node* sign = raw->node.find("decimal_sign"); sign != nullptr && sign->text == "comma")
    context.rules.decimal_sign = ',';
  if (raw->node.find("based_on") != nullptr) {
    context.own_file = file;
    context.inherited = &loaded.unconfirmed;
  }
  read_record(raw->node, loaded.drive, context);
  check_placed_steps(loaded, diagnostics);
  for (const std::string& confirmed : loaded.drive.confirms)
    loaded.unconfirmed.erase(folded(confirmed));
  if (Diagnostics too_many = check_amounts(loaded); has_errors(too_many)) {
    for (Diagnostic& found : too_many) add_diagnostic(diagnostics, std::move(found));
    return tl::make_unexpected(diagnostics);
  }
  loaded.warnings = lint(loaded);
  if (has_errors(diagnostics)) {
    // Everything that is wrong is said in one go, contradictions between readable parts too.
    for (Diagnostic& found : loaded.warnings)
      if (found.severity == Severity::error) add_diagnostic(diagnostics, std::move(found));
    sort_by_place(diagnostics);
    return tl::make_unexpected(diagnostics);
  }
  return loaded;
}

Parsed<LoadedDrive> load_drive(const std::string& name_or_path, const DriveFolders& folders) {
  const auto file = open_drive(name_or_path, folders);
  if (!file) return tl::make_unexpected(file.error());
  return load_drive_text(*file, with_own_folder(name_or_path, folders));
}

Parsed<std::vector<fs::path>> drive_files(const std::string& name_or_path,
                                          const DriveFolders& folders) {
  const DriveFolders with_own = with_own_folder(name_or_path, folders);
  std::vector<fs::path> files;
  for (std::string next = name_or_path; !next.empty() && files.size() <= kMaxBases;) {
    const auto file = open_drive(next, with_own);
    if (!file) return tl::make_unexpected(file.error());
    const auto node = parse_tree(*file);
    if (!node) return tl::make_unexpected(node.error());
    files.emplace_back((*file)->name);
    const Node* base = node->find("based_on");
    next = base != nullptr ? base->text : "";
  }
  return files;
}

}  // namespace tautmark
