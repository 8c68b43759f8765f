// SPDX-License-Identifier: Apache-2.0
#include "casework/whole.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <stdio.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace tautmark {
namespace {

constexpr const char* kThere = "it is there already; it was not touched";

// Is what the descriptor holds still what bears this name?
bool bears_name(int descriptor, const std::filesystem::path& path) {
  struct stat held {};
  struct stat named {};
  return fstat(descriptor, &held) == 0 && lstat(path.c_str(), &named) == 0 &&
         held.st_ino == named.st_ino && held.st_dev == named.st_dev && held.st_uid == geteuid();
}

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

FolderBeside::FolderBeside(const std::filesystem::path& wanted, std::string_view ending)
    : path_(folder_of(wanted) / fmt::format(".{}.{}", wanted.filename().string(), ending)) {
  if (mkdir(path_.c_str(), 0777) != 0 && errno != EEXIST) {
    problem_ = fmt::format("cannot be made: {}", std::strerror(errno));
    return;
  }
  lock_ = open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  // The one before may have renamed it between the two calls; and in a folder where anybody may
  // write, it may be somebody else's.
  if (lock_ < 0 || flock(lock_, LOCK_EX | LOCK_NB) != 0 || !bears_name(lock_, path_)) {
    problem_ = fmt::format("another one is at work there just now ({})", path_.string());
    return;
  }
  mine_ = true;
  std::error_code code;
  for (const auto& left : std::filesystem::directory_iterator(path_, code))
    std::filesystem::remove_all(left.path(), code);
}

FolderBeside::~FolderBeside() {
  std::error_code code;
  // Renamed, its name may be the next one's already.
  if (mine_ && bears_name(lock_, path_)) std::filesystem::remove_all(path_, code);
  if (lock_ >= 0) close(lock_);
}

std::filesystem::path folder_of(const std::filesystem::path& path) {
  const std::filesystem::path folder = path.parent_path();
  return folder.empty() ? "." : folder;
}

}  // namespace tautmark
