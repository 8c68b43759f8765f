// SPDX-License-Identifier: Apache-2.0
// Case files, in a folder of their own with a drive "sound" and an attachment "photo.jpg". To a
// case that can be read an entry is appended: the text before it stays as it was.
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "casework/case_fields.h"
#include "casework/load.h"
#include "casework/view.h"
#include "fuzz_check.h"

using namespace tautmark;

namespace {

const std::filesystem::path& folder() {
  static const std::filesystem::path kFolder = [] {
    std::string name = (std::filesystem::temp_directory_path() / "tautmark-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) fuzz::fail("no temporary folder");
    std::ofstream(std::filesystem::path(name) / "photo.jpg") << "x";
    std::ofstream(std::filesystem::path(name) / "sound.drive.yaml")
        << "tautmark: drive/1\nname: sound\nchains: [{name: chain, tensioner: {stroke: 15 mm}}]\n"
           "banks: [{number: 1, camshafts: [{name: camshaft, journals: 3, phaser: {}}]}]\n"
           "oil: {ports: [main gallery]}\n";
    std::atexit([] { std::filesystem::remove_all(folder()); });
    return std::filesystem::path(name);
  }();
  return kFolder;
}

std::string text_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void check_append(const std::filesystem::path& file, std::size_t entries) {
  const std::string before = text_of(file);
  Entry entry;
  entry.body = Note{"appended: \"so\""};
  const auto id = append_entry(file.string(), entry);
  const std::string after = text_of(file);
  if (!id) {
    fuzz::require(after == before, "a refused entry changed the file", after);
    return;
  }
  const auto loaded = load_case(file.string(), {});
  if (!loaded) fuzz::fail("not readable after appending", after + diagnostics_text(loaded.error()));
  fuzz::require(loaded->value.entries.size() == entries + 1, "not one entry more", after);
  fuzz::require(loaded->value.entries.back().id == *id, "the entry is not the last one", after);
  const bool is_json = after.starts_with('{');
  fuzz::require(is_json || after.starts_with(before), "the text before changed", after);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::filesystem::path file = folder() / "case.yaml";
  {
    std::ofstream out(file, std::ios::binary);
    out.write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  }
  const auto loaded = load_case(file.string(), {});
  if (!loaded) {
    fuzz::check_rejection(loaded.error());
    return 0;
  }
  fuzz::require(entries_in_force(loaded->value).size() <= loaded->value.entries.size(),
                "more entries in force than there are");
  ReadContext context;
  Diagnostics diagnostics;
  context.diagnostics = &diagnostics;
  if (loaded->value.decimal_sign == DecimalSign::comma) context.rules.decimal_sign = ',';
  for (const bool as_json : {false, true}) {
    const Node node = write_record(loaded->value);
    const std::string text = as_json ? json_text(node) : yaml_text(node);
    const auto again = parse_tree(make_text_file("written", text));
    if (!again)
      fuzz::fail("what was written is not readable", text + diagnostics_text(again.error()));
    Case value;
    fuzz::require(read_record(*again, value, context), "what was written is not a case",
                  text + diagnostics_text(diagnostics));
    fuzz::require(value == loaded->value, "what was written is another case", text);
  }
  check_append(file, loaded->value.entries.size());
  return 0;
}
