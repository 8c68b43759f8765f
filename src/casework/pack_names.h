// SPDX-License-Identifier: Apache-2.0
// Names of files inside a packed case: what every machine can hold, and nothing that leads out.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace tautmark {

inline constexpr std::string_view kManifestName = "manifest.json";

// For a message: bytes that are no text or that a terminal would obey become \xNN; cut to a length.
std::string readable_name(std::string_view raw);

// What is wrong with one name, as a sentence; nothing when it may stand in a pack.
std::optional<std::string> pack_name_problem(std::string_view name);

// The same for a file beside a stored case: no name of the case's own files either, in whatever
// letters, nor below one of them, and a drive file only where drives are looked up.
std::optional<std::string> file_name_problem(std::string_view name);

// <name>.drive.yaml or <name>.drive.json beside the case: a drive is looked up under it.
bool is_drive_file_name(std::string_view name);

// Names taken so far, folders too. Two that differ only in upper and lower case are one file on
// many machines. (Composed and decomposed letters are not told to be the same.)
class NamesTaken {
 public:
  std::optional<std::string> problem_of_next(const std::string& name);

 private:
  struct Taken {
    std::string spelled;
    bool is_file = false;
  };
  std::map<std::string, Taken> by_folded_;
};

}  // namespace tautmark
