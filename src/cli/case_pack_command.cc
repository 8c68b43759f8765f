// SPDX-License-Identifier: Apache-2.0
// tautmark case pack, unpack and verify.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <memory>
#include <optional>

#include "casework/pack.h"
#include "cli/case_source.h"
#include "cli/commands.h"
#include "cli/store_source.h"
#include "cli/words.h"
#include "report/version.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

struct PackArguments {
  std::string name;  // CASE or FILE
  std::string out;
  std::string store, head;
  std::vector<std::string> drives;
};

// The name of the folder that CASE lies in, or is.
std::string folder_name(const std::string& said) {
  std::error_code code;
  fs::path path = said;
  if (!fs::is_directory(path, code)) path = path.parent_path();
  path = fs::weakly_canonical(path.empty() ? fs::path(".") : path, code);
  const std::string name = (path.has_filename() ? path : path.parent_path()).filename().string();
  return name.empty() ? "case" : name;
}

bool copy_to_output(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::vector<char> room(std::size_t{1} << 20U);
  while (in) {
    in.read(room.data(), static_cast<std::streamsize>(room.size()));
    const auto count = static_cast<std::size_t>(in.gcount());
    if (std::fwrite(room.data(), 1, count, stdout) != count) return false;
  }
  return in.eof() && std::fflush(stdout) == 0;
}

int run_pack(const PackArguments& arguments) {
  if (is_packed_case(arguments.name)) {
    fmt::print(stderr, "{}: error: this is a packed case already\n", arguments.name);
    return kExitInput;
  }
  PackOptions options;
  options.drives = drive_folders(arguments.drives, arguments.name);
  options.program = program_version();
  std::string out = arguments.out.empty() ? folder_name(arguments.name) + ".zip" : arguments.out;
  std::shared_ptr<const Scratch> scratch;
  if (arguments.out == "-") {
    auto made = make_scratch();
    if (!made) return report_input(made.error());
    scratch = std::move(*made);
    out = (scratch->path() / "case.zip").string();
  }
  const auto packed = pack_case(arguments.name, out, options);
  if (!packed) return report_input(packed.error());
  for (const std::string& name : packed->left_out)
    fmt::print(stderr, "left out, since it is hidden: {}\n", name);
  if (scratch) return copy_to_output(out) ? kExitPass : kExitInput;
  fmt::print("{}: {}\n", out, counted(std::ssize(packed->manifest.files), "file"));
  for (const PackedFile& file : packed->manifest.files)
    if (file.added) fmt::print("  with the drive that it is judged by: {}\n", file.name);
  return kExitPass;
}

int run_unpack(const PackArguments& arguments) {
  const std::string out =
      arguments.out.empty() ? fs::path(arguments.name).stem().string() : arguments.out;
  const auto manifest = unpack_case(arguments.name, out);
  if (!manifest) return report_input(manifest.error());
  fmt::print("{}: {}\n", out, counted(std::ssize(manifest->files), "file"));
  return kExitPass;
}

int say_problems(const std::string& name, const std::vector<std::string>& problems,
                 const std::string& when_none) {
  if (problems.empty()) {
    fmt::print("{}: holds: {}\n", name, when_none);
    return kExitPass;
  }
  fmt::print("{}: does not hold\n", name);
  for (const std::string& problem : problems) fmt::print("  {}\n", problem);
  return kExitFail;
}

int verify_stored(const PackArguments& arguments, const std::string& name) {
  const auto database = open_store(arguments.store, OpenFor::reading, 1);
  if (!database) return kExitInput;
  const CaseStore store(database);
  const auto summary = store.summary(name);
  if (!summary) return report_store(summary.error());
  const auto problems = store.verify(
      name, arguments.head.empty() ? std::nullopt : std::optional<std::string>(arguments.head));
  if (!problems) return report_store(problems.error());
  const int status =
      say_problems(arguments.name, *problems,
                   fmt::format("{} in an unbroken chain; head {}",
                               counted(summary->head_seq, "record"), summary->head_hash));
  const auto notes = store.origins(name);
  if (!notes) return report_store(notes.error());
  for (const std::string& note : *notes) fmt::print("  {}\n", note);
  return status;
}

int run_verify(const PackArguments& arguments) {
  if (const auto name = name_in_store(arguments.name)) return verify_stored(arguments, *name);
  if (!arguments.store.empty()) return verify_stored(arguments, arguments.name);
  if (!arguments.head.empty()) {
    fmt::print(stderr, "--head: only a case of a store has a chain to look in\n");
    return kExitUsage;
  }
  if (is_packed_case(arguments.name)) {
    const auto checked = verify_pack(arguments.name);
    if (!checked) return report_input(checked.error());
    return say_problems(arguments.name, checked->problems,
                        fmt::format("{}, each with the sum of the manifest",
                                    counted(std::ssize(checked->manifest.files), "file")));
  }
  const auto checked = verify_case_folder(arguments.name);
  if (!checked) return report_input(checked.error());
  return say_problems(arguments.name, checked->problems,
                      fmt::format("{} named by entries there, {} with a sum to compare",
                                  counted(checked->files, "file"), checked->sums));
}

}  // namespace

void add_case_pack(CLI::App& case_app, int& status) {
  auto arguments = std::make_shared<PackArguments>();

  CLI::App* pack = case_app.add_subcommand("pack", "A case with its files and drives as one zip");
  pack->add_option("CASE", arguments->name, "The folder of a case")->required();
  pack->add_option("-o,--out", arguments->out,
                   "The zip file; without it <folder>.zip where one stands; - is standard output");
  pack->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  pack->footer(
      "A file that is there is never touched. Hidden files are left out; links are refused.\n"
      "Exit status: 0 packed, 2 nothing was written.");
  pack->callback([arguments, &status] { status = run_pack(*arguments); });

  CLI::App* unpack = case_app.add_subcommand("unpack", "A packed case into a new folder");
  unpack->add_option("FILE", arguments->name, "The packed case")->required();
  unpack->add_option("-o,--out", arguments->out,
                     "The folder to make; without it the name of FILE, where one stands");
  unpack->footer(
      "Every file is held against the manifest. Exit status: 0 unpacked, 2 nothing was written.");
  unpack->callback([arguments, &status] { status = run_unpack(*arguments); });

  CLI::App* verify = case_app.add_subcommand(
      "verify", "Is everything of a case there, and as it was when it was entered or packed?");
  verify
      ->add_option("CASE", arguments->name, "A case file, its folder, a packed case, or store:NAME")
      ->required();
  add_store_option(*verify, arguments->store);
  verify->add_option("--head", arguments->head,
                     "A hash that was kept elsewhere: a receipt, a pack, a report");
  verify->footer("Exit status: 0 it holds, 1 it does not, 2 it cannot be read.");
  verify->callback([arguments, &status] { status = run_verify(*arguments); });
}

}  // namespace tautmark::cli
