// SPDX-License-Identifier: Apache-2.0
// MATLAB files of level 5. Real numeric vectors and matrices are read; structures, cells, text and
// complex numbers are passed over. Scalars named as a rate, an interval or a start are used.
#include <fmt/format.h>
#include <matio.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <limits>
#include <memory>
#include <optional>

#include "recording/formats/arrays.h"

namespace tautmark {
namespace {

constexpr std::size_t kMostVariables = 4096;
constexpr std::size_t kMostPacking = 1032;     // numbers to a byte: the limit of deflate
constexpr std::int64_t kPackedRows = 1 << 20;  // compressed data is unpacked again for each block

// The library takes what is missing at the end of a file for zeros, so the sizes of the elements
// are held against the file's first. Level 5, "MAT-File Format": a header of 128 bytes that ends in
// the order of bytes, then elements of a type, a size and as many bytes.
bool is_cut_off(std::string_view bytes) {
  constexpr std::size_t kHeader = 128, kTag = 8;
  if (bytes.size() < kHeader) return true;
  const bool is_big = bytes.substr(126, 2) == "MI";
  std::size_t at = kHeader;
  while (at + kTag <= bytes.size()) {
    std::uint32_t size = 0;
    for (std::size_t i = 0; i < 4; ++i)
      size = size << 8U | static_cast<unsigned char>(bytes[at + 4 + (is_big ? i : 3 - i)]);
    if (size > bytes.size() - at - kTag) return true;
    at += kTag + size;
  }
  return false;
}

struct CloseMat {
  void operator()(mat_t* mat) const { Mat_Close(mat); }
};
struct FreeVariable {
  void operator()(matvar_t* variable) const { Mat_VarFree(variable); }
};
using Variable = std::shared_ptr<matvar_t>;

// The library opens files by name only: bytes in memory get one that is nowhere on disk.
class NamedBytes {
 public:
  explicit NamedBytes(const RecordingFile& file) : path_(file.path) {
    if (!path_.empty()) return;
    descriptor_ = ::memfd_create("recording", MFD_CLOEXEC);
    std::string_view left = file.bytes;
    while (descriptor_ >= 0 && !left.empty()) {
      const ssize_t written = ::write(descriptor_, left.data(), left.size());
      if (written <= 0) return;
      left.remove_prefix(static_cast<std::size_t>(written));
    }
    path_ = fmt::format("/proc/self/fd/{}", descriptor_);
  }
  ~NamedBytes() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  NamedBytes(const NamedBytes&) = delete;
  NamedBytes& operator=(const NamedBytes&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
  int descriptor_ = -1;
};

template <class T>
bool read_as(mat_t* mat, matvar_t* variable, std::int64_t start, std::int64_t stride,
             std::int64_t count, double* out) {
  std::vector<T> room(static_cast<std::size_t>(count));
  if (Mat_VarReadDataLinear(mat, variable, room.data(), static_cast<int>(start),
                            static_cast<int>(stride), static_cast<int>(count)) != 0)
    return false;
  std::transform(room.begin(), room.end(), out, [](T value) { return static_cast<double>(value); });
  return true;
}

bool read_numbers(mat_t* mat, matvar_t* variable, std::int64_t start, std::int64_t stride,
                  std::int64_t count, double* out) {
  switch (variable->class_type) {
    case MAT_C_DOUBLE:
      return read_as<double>(mat, variable, start, stride, count, out);
    case MAT_C_SINGLE:
      return read_as<float>(mat, variable, start, stride, count, out);
    case MAT_C_INT8:
      return read_as<std::int8_t>(mat, variable, start, stride, count, out);
    case MAT_C_UINT8:
      return read_as<std::uint8_t>(mat, variable, start, stride, count, out);
    case MAT_C_INT16:
      return read_as<std::int16_t>(mat, variable, start, stride, count, out);
    case MAT_C_UINT16:
      return read_as<std::uint16_t>(mat, variable, start, stride, count, out);
    case MAT_C_INT32:
      return read_as<std::int32_t>(mat, variable, start, stride, count, out);
    case MAT_C_UINT32:
      return read_as<std::uint32_t>(mat, variable, start, stride, count, out);
    case MAT_C_INT64:
      return read_as<std::int64_t>(mat, variable, start, stride, count, out);
    case MAT_C_UINT64:
      return read_as<std::uint64_t>(mat, variable, start, stride, count, out);
    default:
      return false;
  }
}

bool is_numeric(const matvar_t& variable) {
  return variable.class_type >= MAT_C_DOUBLE && variable.class_type <= MAT_C_UINT64 &&
         variable.rank == 2 && variable.dims != nullptr && variable.isComplex == 0 &&
         variable.dims[0] > 0 && variable.dims[1] > 0;
}

// Column-major; the longer side is time.
NamedArray array_of(mat_t* mat, const Variable& variable, std::string name) {
  const auto rows = static_cast<std::int64_t>(variable->dims[0]);
  const auto columns = static_cast<std::int64_t>(variable->dims[1]);
  NamedArray array;
  array.name = std::move(name);
  array.rows = std::max(rows, columns);
  array.width = static_cast<std::size_t>(std::min(rows, columns));
  const bool is_upright = rows >= columns;
  array.read = [mat, variable, rows, width = static_cast<std::int64_t>(array.width), is_upright](
                   std::int64_t first, std::int64_t count, double* out) {
    for (std::int64_t c = 0; c < width; ++c) {
      const std::int64_t start = is_upright ? c * rows + first : first * width + c;
      const std::int64_t stride = is_upright ? 1 : width;
      if (!read_numbers(mat, variable.get(), start, stride, count, out + c * count)) return false;
    }
    return true;
  };
  return array;
}

}  // namespace

Parsed<SignalTrains> read_mat(const RecordingFile& file, const RecordingOptions& options) {
  if (is_cut_off(file.bytes))
    return tl::unexpected(recording_error(file.name, "the file is cut off"));
  Mat_LogInitFunc("", [](int, char*) {});
  const NamedBytes named(file);
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  const std::unique_ptr<mat_t, CloseMat> mat(Mat_Open(named.path().c_str(), MAT_ACC_RDONLY));
  if (!mat || Mat_GetVersion(mat.get()) != MAT_FT_MAT5)
    return refuse("a MATLAB file that is damaged or not of level 5");
  ArrayFile arrays;
  arrays.format = "MATLAB level 5";
  for (std::size_t count = 0;; ++count) {
    const Variable variable(Mat_VarReadNextInfo(mat.get()), FreeVariable{});
    if (!variable) break;
    if (count == kMostVariables) return refuse("too many variables");
    if (!is_numeric(*variable)) continue;
    const std::string name = printable(variable->name == nullptr ? "" : variable->name);
    // The library counts with int, and a number takes a byte, or a thousandth of one when packed.
    const bool is_packed = variable->compression != MAT_COMPRESSION_NONE;
    const auto most = std::min<std::size_t>(std::numeric_limits<int>::max(),
                                            file.bytes.size() * (is_packed ? kMostPacking : 1));
    if (variable->dims[0] > most || variable->dims[1] > most / variable->dims[0])
      return refuse(fmt::format("\"{}\" claims {} x {} numbers, more than the file can hold", name,
                                variable->dims[0], variable->dims[1]));
    if (is_packed) arrays.block_rows = kPackedRows;
    if (std::min(variable->dims[0], variable->dims[1]) > kMostChannels)
      continue;  // a table, not signals
    arrays.arrays.push_back(array_of(mat.get(), variable, name));
  }
  // Only now: reading a value moves the place in the file where the next variable is looked for.
  for (const NamedArray& array : arrays.arrays) {
    double value = 0;
    if (array.rows == 1 && array.read(0, 1, &value))
      arrays.scalars.emplace(column_role(array.name), value);
  }
  return trains_of_arrays(file, arrays, options);
}

}  // namespace tautmark
