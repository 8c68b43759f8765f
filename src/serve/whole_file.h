// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace tautmark {

// The file holds all of `text` and has `mode`, or it is what it was before; on the disk when this
// returns. A sentence for a person when it failed.
std::optional<std::string> write_whole_file(const std::filesystem::path& file,
                                            std::string_view text, mode_t mode);

}  // namespace tautmark
