// SPDX-License-Identifier: Apache-2.0
// A folder that appears whole or not at all: made beside its place, renamed at the end.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "store/database.h"

namespace tautmark {

class FolderWriter {
 public:
  // `place`: where the folder is to be; its parent must exist.
  // Not `durable`: it may be gone after a loss of power.
  explicit FolderWriter(std::filesystem::path place, bool durable = true);
  FolderWriter(const FolderWriter&) = delete;
  FolderWriter& operator=(const FolderWriter&) = delete;
  ~FolderWriter();  // what did not take its place goes

  [[nodiscard]] const std::filesystem::path& path() const { return beside_; }
  // Names may have folders in them, which are made. `exists` when the place is taken.
  [[nodiscard]] Stored<void> write(const std::string& name, std::string_view text);
  [[nodiscard]] Stored<void> write_blob(const Database& database, const std::string& sha256,
                                        const std::string& name);
  [[nodiscard]] Stored<void> take_place();

 private:
  [[nodiscard]] Stored<void> make_folder_of(const std::string& name) const;
  std::filesystem::path place_, beside_;
  bool durable_;
};

}  // namespace tautmark
