// SPDX-License-Identifier: Apache-2.0
// Files and folders that appear whole or not at all.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace tautmark {

// What is at `path` is on the disk when this returns nothing; otherwise why not.
std::optional<std::string> put_on_disk(const std::filesystem::path& path);

// Gives `made` the name `wanted`, unless something has that name: then, or when it cannot be done,
// why. `durable`: the name is on the disk too.
std::optional<std::string> take_free_name(const std::filesystem::path& made,
                                          const std::filesystem::path& wanted, bool durable);

// A folder for what is to be called `wanted`, beside it and hidden: ".wanted.unpacking". Removed at
// the end with all that is in it. Only the one who holds its lock may use it, so that what a kill
// left behind is cleared by the next one.
class FolderBeside {
 public:
  FolderBeside(const std::filesystem::path& wanted, std::string_view ending);
  FolderBeside(const FolderBeside&) = delete;
  FolderBeside& operator=(const FolderBeside&) = delete;
  ~FolderBeside();
  [[nodiscard]] const std::optional<std::string>& problem() const { return problem_; }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
  int lock_ = -1;
  bool mine_ = false;
  std::optional<std::string> problem_;
};

// The folder that holds `path`, "." for a bare name.
std::filesystem::path folder_of(const std::filesystem::path& path);

}  // namespace tautmark
