// SPDX-License-Identifier: Apache-2.0
#include "store/folder_writer.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <functional>

#include "casework/whole.h"
#include "store/case_rows.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

StoreError disk_error(int number, const fs::path& path) {
  if (number == ENOSPC || number == EDQUOT)
    return {StoreTrouble::full, "the disk is full; nothing was kept"};
  return {StoreTrouble::refused, fmt::format("{} cannot be written", path.generic_string())};
}

class OutFile {
 public:
  explicit OutFile(const fs::path& path)
      : path_(path),
        descriptor_(open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644)),
        error_(descriptor_ < 0 ? errno : 0) {}
  OutFile(const OutFile&) = delete;
  OutFile& operator=(const OutFile&) = delete;
  ~OutFile() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  bool add(std::string_view bytes) {
    while (error_ == 0 && !bytes.empty()) {
      const ssize_t n = write(descriptor_, bytes.data(), bytes.size());
      if (n < 0 && errno == EINTR) continue;
      if (n <= 0)
        error_ = n < 0 ? errno : ENOSPC;
      else
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return error_ == 0;
  }
  Stored<void> finish(bool durable) {
    if (error_ == 0 && durable && fsync(descriptor_) != 0) error_ = errno;
    if (error_ != 0) return tl::make_unexpected(disk_error(error_, path_));
    return {};
  }

 private:
  fs::path path_;
  int descriptor_;
  int error_;
};

}  // namespace

FolderWriter::FolderWriter(fs::path place, bool durable)
    : place_(std::move(place)), durable_(durable) {
  if (!place_.has_filename()) place_ = place_.parent_path();
  const fs::path parent = place_.has_parent_path() ? place_.parent_path() : fs::path(".");
  beside_ = parent /
            fmt::format(".{}.{}.new", place_.filename().generic_string(), new_uid().substr(0, 12));
  std::error_code code;
  fs::create_directory(beside_, code);
}

FolderWriter::~FolderWriter() {
  std::error_code code;
  if (!beside_.empty()) fs::remove_all(beside_, code);
}

Stored<void> FolderWriter::make_folder_of(const std::string& name) const {
  std::error_code code;
  if (!fs::is_directory(beside_, code))
    return store_error(StoreTrouble::not_found,
                       fmt::format("there is no folder {} that can be written to",
                                   place_.parent_path().generic_string()));
  fs::create_directories((beside_ / name).parent_path(), code);
  if (code) return tl::make_unexpected(disk_error(code.value(), name));
  return {};
}

Stored<void> FolderWriter::write(const std::string& name, std::string_view text) {
  if (auto made = make_folder_of(name); !made) return made;
  OutFile out(beside_ / name);
  out.add(text);
  return out.finish(durable_);
}

Stored<void> FolderWriter::write_blob(const Database& database, const std::string& sha256,
                                      const std::string& name) {
  if (auto made = make_folder_of(name); !made) return made;
  OutFile out(beside_ / name);
  auto read =
      read_blob(database, sha256, 0, -1, [&](std::string_view bytes) { return out.add(bytes); });
  if (!read) {
    read.error().message = fmt::format("{}: {}", name, read.error().message);
    return read;
  }
  return out.finish(durable_);
}

Stored<void> FolderWriter::take_place() {
  std::error_code code;
  if (fs::exists(fs::symlink_status(place_, code)))
    return store_error(StoreTrouble::exists,
                       fmt::format("{} is there already", place_.generic_string()));
  const auto why = take_free_name(beside_, place_, durable_);
  if (!fs::exists(fs::symlink_status(beside_, code))) beside_.clear();  // it has its name
  if (why)
    return store_error(StoreTrouble::refused, fmt::format("{}: {}", place_.generic_string(), *why));
  return {};
}

}  // namespace tautmark
