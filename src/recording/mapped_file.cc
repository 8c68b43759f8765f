// SPDX-License-Identifier: Apache-2.0
#include "recording/mapped_file.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace tautmark {

void Unmap::operator()(const char* begin) const { ::munmap(const_cast<char*>(begin), size); }

Result<MappedFile> MappedFile::open(const std::string& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return tl::unexpected(Refusal{std::strerror(errno)});
  struct stat facts {};
  MappedFile mapped;
  std::string why;
  if (::fstat(file, &facts) != 0) {
    why = std::strerror(errno);
  } else if (!S_ISREG(facts.st_mode)) {
    why = "not a regular file";
  } else if (facts.st_size > 0) {
    const auto size = static_cast<std::size_t>(facts.st_size);
    void* begin = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file, 0);
    if (begin == MAP_FAILED) {
      why = std::strerror(errno);
    } else {
      ::madvise(begin, size, MADV_SEQUENTIAL);
      mapped.mapping_ = {static_cast<const char*>(begin), Unmap{size}};
    }
  }
  ::close(file);
  if (!why.empty()) return tl::unexpected(Refusal{why});
  return mapped;
}

}  // namespace tautmark
