// SPDX-License-Identifier: Apache-2.0
// Drive files. The input may be based on "sound", which is always there.
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "drive/drive_fields.h"
#include "drive/load.h"
#include "drive/places.h"
#include "fuzz_check.h"

using namespace tautmark;

namespace {

DriveFolders folder_of_sound() {
  std::string name = (std::filesystem::temp_directory_path() / "tautmark-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr) fuzz::fail("no temporary folder");
  static std::filesystem::path folder;
  folder = name;
  std::ofstream(folder / "sound.drive.yaml")
      << "tautmark: drive/1\nname: sound\nsource: manual\nchains: [{name: chain, pitch: 8 mm, "
         "links: 124}]\nbanks: [{number: 1, camshafts: [{name: camshaft, journals: 3}]}]\n"
         "fits: [{quantity: journal diameter, at: every journal, new: 27.96..27.98 mm}]\n";
  std::atexit([] { std::filesystem::remove_all(folder); });
  return {{folder}};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const DriveFolders kFolders = folder_of_sound();
  const auto file =
      make_text_file("a.drive.yaml", std::string(reinterpret_cast<const char*>(data), size));
  const auto loaded = load_drive_text(file, kFolders);
  if (!loaded) {
    fuzz::check_rejection(loaded.error());
    return 0;
  }
  if (has_errors(loaded->warnings)) fuzz::check_rejection(loaded->warnings);
  for (const EnginePlace& place : places_of(loaded->drive))
    fuzz::require(!place.path.empty(), "a place without a name");
  // A drive with a decimal comma is written with its texts as they were typed.
  ReadContext context;
  Diagnostics diagnostics;
  context.diagnostics = &diagnostics;
  if (loaded->drive.decimal_sign == DecimalSign::comma) context.rules.decimal_sign = ',';
  for (const bool as_json : {false, true}) {
    const Node node = write_record(loaded->drive);
    const std::string text = as_json ? json_text(node) : yaml_text(node);
    const auto again = parse_tree(make_text_file("written", text));
    if (!again)
      fuzz::fail("what was written is not readable", text + diagnostics_text(again.error()));
    Drive drive;
    fuzz::require(read_record(*again, drive, context), "what was written is not a drive",
                  text + diagnostics_text(diagnostics));
    fuzz::require(drive == loaded->drive, "what was written is another drive", text);
  }
  return 0;
}
