// SPDX-License-Identifier: Apache-2.0
#include "serve/whole_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <system_error>

namespace tautmark {

std::optional<std::string> write_whole_file(const std::filesystem::path& file,
                                            std::string_view text, mode_t mode) {
  std::string scratch = file.string() + ".XXXXXX";
  const int descriptor = mkostemp(scratch.data(), O_CLOEXEC);  // readable for the owner alone
  bool done = descriptor >= 0;
  for (std::string_view left = text; done && !left.empty();) {
    const auto written = write(descriptor, left.data(), left.size());
    done = written > 0 || (written < 0 && errno == EINTR);
    if (written > 0) left.remove_prefix(static_cast<std::size_t>(written));
  }
  done = done && fchmod(descriptor, mode) == 0 && fsync(descriptor) == 0 &&
         rename(scratch.c_str(), file.c_str()) == 0;
  const int why = errno;
  if (descriptor >= 0) close(descriptor);
  if (!done) {
    if (descriptor >= 0) unlink(scratch.c_str());
    return fmt::format("{} cannot be written: {}.", file.filename().string(),
                       std::generic_category().message(why));
  }
  const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
  const int opened = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (opened >= 0) {
    fsync(opened);
    close(opened);
  }
  return std::nullopt;
}

}  // namespace tautmark
