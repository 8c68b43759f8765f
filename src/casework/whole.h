// SPDX-License-Identifier: Apache-2.0
// Files and folders that appear whole or not at all.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace tautmark {

// What is at `path` is on the disk when this returns nothing; otherwise why not.
std::optional<std::string> put_on_disk(const std::filesystem::path& path);

// Gives `made` the name `wanted`, unless something has that name: then, or when it cannot be done,
// why. `durable`: the name is on the disk too.
std::optional<std::string> take_free_name(const std::filesystem::path& made,
                                          const std::filesystem::path& wanted, bool durable);

// The folder that holds `path`, "." for a bare name.
std::filesystem::path folder_of(const std::filesystem::path& path);

}  // namespace tautmark
