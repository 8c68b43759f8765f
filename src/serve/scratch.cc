// SPDX-License-Identifier: Apache-2.0
#include "serve/scratch.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <stdexcept>
#include <vector>

namespace tautmark {
namespace {

namespace fs = std::filesystem;

// As the cache folder, else where temporary files go.
fs::path cache_folder() {
  fs::path folder;
  if (const char* own = std::getenv("XDG_CACHE_HOME"); own != nullptr && *own == '/')
    folder = fs::path(own) / "tautmark";
  else if (const char* home = std::getenv("HOME"); home != nullptr && *home == '/')
    folder = fs::path(home) / ".cache" / "tautmark";
  std::error_code code;
  if (!folder.empty()) fs::create_directories(folder, code);
  return folder.empty() || access(folder.c_str(), W_OK) != 0 ? fs::temp_directory_path() : folder;
}

// The folder's lock, when nobody holds it and the folder is ours; otherwise -1. Held as long as the
// process lives, whatever ends it.
int free_lock(const fs::path& folder) {
  const int lock = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  struct stat held {};
  if (lock >= 0 && fstat(lock, &held) == 0 && held.st_uid == geteuid() &&
      flock(lock, LOCK_EX | LOCK_NB) == 0)
    return lock;
  if (lock >= 0) close(lock);
  return -1;
}

void sweep(const fs::path& parent, const std::string& name) {
  std::error_code code;
  std::vector<fs::path> left;
  for (fs::directory_iterator at(parent, code); !code && at != fs::directory_iterator();
       at.increment(code))
    if (at->path().filename().string().starts_with(name)) left.push_back(at->path());
  for (const fs::path& folder : left) {
    const int lock = free_lock(folder);
    if (lock < 0) continue;
    fs::remove_all(folder, code);
    close(lock);
  }
}

}  // namespace

Scratch::Scratch() : Scratch(cache_folder(), "tautmark-run-") {}

Scratch::Scratch(const fs::path& parent, const std::string& name) {
  sweep(parent, name);
  // Another one that sweeps may take a new folder away before it is locked.
  for (int attempt = 0; attempt < 10; ++attempt) {
    std::string made = (parent / name).string() + "XXXXXX";
    if (mkdtemp(made.data()) == nullptr) break;
    lock_ = free_lock(made);
    if (lock_ < 0) continue;
    path_ = made;
    if (fs::is_directory(path_)) return;
    close(lock_);
  }
  throw std::runtime_error(fmt::format("no folder for working files can be made in {}: {}",
                                       parent.generic_string(), std::strerror(errno)));
}

Scratch::~Scratch() {
  std::error_code code;
  fs::remove_all(path_, code);
  if (lock_ >= 0) close(lock_);
}

fs::path Scratch::fresh(const std::string& ending) const {
  static std::atomic<unsigned> counter{0};
  // Somebody may have cleared the cache meanwhile.
  std::error_code code;
  fs::create_directories(path_.parent_path(), code);
  mkdir(path_.c_str(), 0700);
  return path_ / fmt::format("{}{}", ++counter, ending);
}

ScratchItem::~ScratchItem() {
  std::error_code code;
  fs::remove_all(path_, code);
}

}  // namespace tautmark
