// SPDX-License-Identifier: Apache-2.0
#include "serve/scratch.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <stdexcept>

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr const char* kLockName = "in-use";

fs::path cache_folder() {
  if (const char* own = std::getenv("XDG_CACHE_HOME"); own != nullptr && *own == '/')
    return fs::path(own) / "tautmark";
  if (const char* home = std::getenv("HOME"); home != nullptr && *home == '/')
    return fs::path(home) / ".cache" / "tautmark";
  return fs::temp_directory_path() / fmt::format("tautmark-{}", getuid());
}

// Held as long as the process lives, whatever ends it. -1: somebody else holds it.
int locked(const fs::path& file) {
  const int descriptor = open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor >= 0 && flock(descriptor, LOCK_EX | LOCK_NB) == 0) return descriptor;
  if (descriptor >= 0) close(descriptor);
  return -1;
}

void sweep(const fs::path& base) {
  std::error_code code;
  for (const fs::directory_entry& entry : fs::directory_iterator(base, code)) {
    if (!entry.path().filename().string().starts_with("run-")) continue;
    if (!fs::exists(entry.path() / kLockName, code)) continue;  // being made right now
    const int lock = locked(entry.path() / kLockName);
    if (lock < 0) continue;
    fs::remove_all(entry.path(), code);
    close(lock);
  }
}

}  // namespace

Scratch::Scratch() {
  std::error_code code;
  fs::path base = cache_folder();
  fs::create_directories(base, code);
  if (access(base.c_str(), W_OK) != 0) base = fs::temp_directory_path();
  sweep(base);
  std::string name = (base / "run-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr)
    throw std::runtime_error(
        fmt::format("no folder for working files can be made in {}", base.generic_string()));
  path_ = name;
  lock_ = locked(path_ / kLockName);
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
