// SPDX-License-Identifier: Apache-2.0
#include "casework/whole.h"

#include <fcntl.h>
#include <stdio.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace tautmark {
namespace {

constexpr const char* kThere = "it is there already; it was not touched";

}  // namespace

std::optional<std::string> put_on_disk(const std::filesystem::path& path) {
  const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) return std::strerror(errno);
  const int failed = fsync(descriptor) == 0 ? 0 : errno;
  close(descriptor);
  // Some file systems cannot do it for a folder and say so.
  if (failed != 0 && failed != EINVAL) return std::strerror(failed);
  return std::nullopt;
}

std::optional<std::string> take_free_name(const std::filesystem::path& made,
                                          const std::filesystem::path& wanted, bool durable) {
  if (renameat2(AT_FDCWD, made.c_str(), AT_FDCWD, wanted.c_str(), RENAME_NOREPLACE) != 0) {
    if (errno == EEXIST) return kThere;
    if (errno != EINVAL && errno != ENOSYS) return std::strerror(errno);
    // File systems that cannot refuse: looked at before, which leaves a gap of an instant.
    std::error_code code;
    if (std::filesystem::exists(std::filesystem::symlink_status(wanted, code))) return kThere;
    if (rename(made.c_str(), wanted.c_str()) != 0) return std::strerror(errno);
  }
  return durable ? put_on_disk(folder_of(wanted)) : std::nullopt;
}

std::filesystem::path folder_of(const std::filesystem::path& path) {
  const std::filesystem::path folder = path.parent_path();
  return folder.empty() ? "." : folder;
}

}  // namespace tautmark
