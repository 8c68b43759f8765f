// SPDX-License-Identifier: Apache-2.0
#include <CLI/CLI.hpp>
#include <memory>

#include "base/fields.h"
#include "casework/case_fields.h"
#include "cli/commands.h"
#include "drive/drive_fields.h"
#include "recording/synthesis_fields.h"
#include "serve/openapi.h"

namespace tautmark::cli {
namespace {

constexpr std::string_view kDriveIntroduction =
    "A drive file (`<name>.drive.yaml`, or the same keys as JSON in `<name>.drive.json`) says what "
    "the timing drive of an\n"
    "engine family should be. Only `tautmark` and `name` are needed; each further part lets the "
    "program answer more, and\n"
    "`tautmark drive check` says what. Every quantity is written with its unit. A variant names "
    "its base in `based_on` and\n"
    "lists only what differs.";
constexpr std::string_view kCaseIntroduction =
    "A case file (`case.yaml` in a folder of its own, or `case.json`) holds what was found on one "
    "engine, in order of time.\n"
    "Entries are never edited: a correction is a new entry that names the one it replaces. "
    "Attachments lie beside the file,\n"
    "inside its folder. Every quantity is written with its unit; what was typed is kept.";
constexpr std::string_view kSynthesisIntroduction =
    "A synthesis file describes a recording of crank and cam sensors to be made, with everything "
    "that is wrong in it:\n"
    "`tautmark recording --synthesise SPEC.yaml --to FILE --truth TRUTH.json`. What it makes is "
    "invented and says so. Angles are\n"
    "crank degrees, 0 is the first tooth after the gap; every quantity is written with its unit. "
    "The same file and seed give\n"
    "the same recording everywhere. The truth file: [recording-truth.md](recording-truth.md). "
    "Exercises: [training](../training/README.md).";

int run_formats(const std::string& folder) {
  bool ok =
      write_output(folder + "/drive.md",
                   format_page(type_of<Drive>(), "The drive file, drive/1", kDriveIntroduction));
  ok = write_output(folder + "/case.md",
                    format_page(type_of<Case>(), "The case file, case/1", kCaseIntroduction)) &&
       ok;
  ok = write_output(folder + "/synthesis.md",
                    format_page(type_of<SynthesisSpec>(), "The synthesis file, synthesis/1",
                                kSynthesisIntroduction)) &&
       ok;
  ok = write_output(folder + "/drive.schema.json", json_schema_text(type_of<Drive>(), "drive/1")) &&
       ok;
  ok = write_output(folder + "/synthesis.schema.json",
                    json_schema_text(type_of<SynthesisSpec>(), "synthesis/1")) &&
       ok;
  ok =
      write_output(folder + "/case.schema.json", json_schema_text(type_of<Case>(), "case/1")) && ok;
  ok = write_output(folder + "/openapi.json", openapi_text()) && ok;
  return ok ? 0 : kExitInput;
}

}  // namespace

void add_formats(CLI::App& app, int& status) {
  auto folder = std::make_shared<std::string>("docs/formats");
  CLI::App* command = app.add_subcommand(
      "formats", "Write the reference pages and schemas of the file formats and the API");
  command->add_option("FOLDER", *folder, "Where to write them")->capture_default_str();
  command->callback([folder, &status] { status = run_formats(*folder); });
}

}  // namespace tautmark::cli
