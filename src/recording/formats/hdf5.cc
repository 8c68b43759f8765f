// SPDX-License-Identifier: Apache-2.0
// HDF5. Numeric data sets of one or two dimensions are signals; scalars and attributes of the root,
// of a group or of a data set that are named as a rate, an interval or a start are used. Links to
// other files, external storage, virtual data sets and filters from plug-ins are refused.
#include <fmt/format.h>
#include <hdf5.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <filesystem>
#include <memory>
#include <mutex>

#include "recording/formats/arrays.h"
#include "recording/formats/guarded.h"

namespace tautmark {
namespace {

constexpr std::size_t kMostDataSets = 4096;
constexpr hsize_t kLargestChunk = 64 << 20;  // bytes: one has to be unpacked at a time

class Handle {
 public:
  using Close = herr_t (*)(hid_t);
  Handle(hid_t id, Close close) : id_(id), close_(close) {}
  Handle(Handle&& other) noexcept : id_(std::exchange(other.id_, -1)), close_(other.close_) {}
  Handle& operator=(Handle&&) = delete;
  Handle(const Handle&) = delete;
  ~Handle() {
    if (id_ >= 0) close_(id_);
  }
  [[nodiscard]] hid_t id() const { return id_; }
  explicit operator bool() const { return id_ >= 0; }

 private:
  hid_t id_;
  Close close_;
};

Handle opened(const RecordingFile& file) {
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
  H5PLset_loading_state(0);
  const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  if (!file.path.empty())
    return {H5Fopen(file.path.c_str(), H5F_ACC_RDONLY, access.id()), H5Fclose};
  H5Pset_fapl_core(access.id(), 1 << 16, false);
  std::string copy(file.bytes);  // the library wants it writable, and copies it
  H5Pset_file_image(access.id(), copy.data(), copy.size());
  return {H5Fopen("recording", H5F_ACC_RDONLY, access.id()), H5Fclose};
}

// Names of the data sets that hard links lead to, in the order of names.
herr_t note_data_set(hid_t, const char* name, const H5O_info_t* info, void* into) {
  auto& names = *static_cast<std::vector<std::string>*>(into);
  if (info->type == H5O_TYPE_DATASET) names.emplace_back(name);
  return names.size() > kMostDataSets ? 1 : 0;
}

bool is_numeric(hid_t type) {
  const H5T_class_t kind = H5Tget_class(type);
  return (kind == H5T_INTEGER || kind == H5T_FLOAT) && H5Tget_size(type) <= sizeof(long double);
}

// Why the storage of a data set is refused; nothing when it is read.
std::optional<std::string> storage_fault(hid_t data_set, hid_t type) {
  const Handle properties(H5Dget_create_plist(data_set), H5Pclose);
  if (!properties) return "is damaged";
  if (H5Pget_external_count(properties.id()) != 0) return "is stored in another file";
  const H5D_layout_t layout = H5Pget_layout(properties.id());
  if (layout == H5D_VIRTUAL) return "is put together from other data sets";
  if (layout == H5D_CHUNKED) {
    std::array<hsize_t, 2> chunk{1, 1};
    if (H5Pget_chunk(properties.id(), 2, chunk.data()) < 0) return "is damaged";
    const hsize_t most = kLargestChunk / std::max<hsize_t>(H5Tget_size(type), 1);
    if (chunk[0] > most || chunk[1] > most / std::max<hsize_t>(chunk[0], 1))
      return "has chunks above 64 MiB";
  }
  const int filters = H5Pget_nfilters(properties.id());
  for (int i = 0; i < filters; ++i) {
    unsigned flags = 0, settings = 0;
    std::size_t count = 0;
    const H5Z_filter_t filter = H5Pget_filter2(properties.id(), static_cast<unsigned>(i), &flags,
                                               &count, nullptr, 0, nullptr, &settings);
    if (filter < 0 || filter > H5Z_FILTER_SCALEOFFSET)
      return "is packed by a filter that is not part of HDF5";
  }
  return std::nullopt;
}

herr_t note_attribute(hid_t object, const char* name, const H5A_info_t*, void* into) {
  const ColumnRole role = column_role(name);
  if (role != ColumnRole::rate && role != ColumnRole::interval && role != ColumnRole::start)
    return 0;
  const Handle attribute(H5Aopen(object, name, H5P_DEFAULT), H5Aclose);
  if (!attribute) return 0;
  const Handle space(H5Aget_space(attribute.id()), H5Sclose);
  const Handle type(H5Aget_type(attribute.id()), H5Tclose);
  double value = 0;
  if (space && type && H5Sget_simple_extent_npoints(space.id()) == 1 && is_numeric(type.id()) &&
      H5Aread(attribute.id(), H5T_NATIVE_DOUBLE, &value) >= 0)
    static_cast<std::map<ColumnRole, double>*>(into)->emplace(role, value);
  return 0;
}

void note_attributes(hid_t object, std::map<ColumnRole, double>& scalars) {
  hsize_t next = 0;
  H5Aiterate2(object, H5_INDEX_NAME, H5_ITER_NATIVE, &next, note_attribute, &scalars);
}

bool read_rows(hid_t data_set, int rank, bool is_upright, hsize_t width, std::int64_t first,
               std::int64_t count, double* out) {
  const Handle space(H5Dget_space(data_set), H5Sclose);
  if (!space) return false;
  const auto rows = static_cast<hsize_t>(count);
  std::array<hsize_t, 2> start{static_cast<hsize_t>(first), 0}, size{rows, width};
  if (!is_upright) {
    std::swap(start[0], start[1]);
    std::swap(size[0], size[1]);
  }
  const hsize_t total = rows * width;
  const Handle memory(H5Screate_simple(1, &total, nullptr), H5Sclose);
  if (H5Sselect_hyperslab(space.id(), H5S_SELECT_SET, start.data(), nullptr, size.data(), nullptr) <
      0)
    return false;
  if (rank == 1 || !is_upright)
    return H5Dread(data_set, H5T_NATIVE_DOUBLE, memory.id(), space.id(), H5P_DEFAULT, out) >= 0;
  std::vector<double> woven(total);
  if (H5Dread(data_set, H5T_NATIVE_DOUBLE, memory.id(), space.id(), H5P_DEFAULT, woven.data()) < 0)
    return false;
  for (hsize_t c = 0; c < width; ++c)
    for (hsize_t i = 0; i < rows; ++i) out[c * rows + i] = woven[i * width + c];
  return true;
}

std::string last_part(const std::string& path) {
  return printable(path.substr(path.rfind('/') + 1));
}

tl::expected<void, std::string> add_data_set(hid_t file, const std::string& path, ArrayFile& into) {
  auto data_set = std::make_shared<Handle>(H5Dopen2(file, path.c_str(), H5P_DEFAULT), H5Dclose);
  if (!*data_set) return tl::unexpected(std::string("a data set that cannot be opened"));
  const hid_t id = data_set->id();
  const Handle space(H5Dget_space(id), H5Sclose), type(H5Dget_type(id), H5Tclose);
  if (!space || !type || !is_numeric(type.id())) return {};
  const int rank = H5Sget_simple_extent_ndims(space.id());
  if (rank < 0 || rank > 2) return {};
  std::array<hsize_t, 2> sizes{1, 1};
  H5Sget_simple_extent_dims(space.id(), sizes.data(), nullptr);
  const std::string name = last_part(path);
  if (const auto fault = storage_fault(id, type.id()))
    return tl::unexpected(fmt::format("\"{}\" {}", name, *fault));
  if (sizes[0] == 0 || sizes[1] == 0) return {};
  if (sizes[0] > static_cast<hsize_t>(kMostSamples) ||
      sizes[1] > static_cast<hsize_t>(kMostSamples))
    return tl::unexpected(std::string("more than 2^40 samples"));
  note_attributes(id, into.scalars);
  const bool is_upright = rank < 2 || sizes[0] >= sizes[1];
  const hsize_t width = is_upright ? sizes[1] : sizes[0];
  if (width > kMostChannels) return {};
  NamedArray array;
  array.name = name;
  array.rows = static_cast<std::int64_t>(is_upright ? sizes[0] : sizes[1]);
  array.width = static_cast<std::size_t>(width);
  if (array.rows == 1 && width == 1) {
    double value = 0;
    if (H5Dread(id, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, &value) >= 0)
      into.scalars.emplace(column_role(name), value);
  }
  array.read = [data_set, rank, is_upright, width](std::int64_t first, std::int64_t count,
                                                   double* out) {
    return read_rows(data_set->id(), rank, is_upright, width, first, count, out);
  };
  into.arrays.push_back(std::move(array));
  return {};
}

// One thread at a time is inside the library, which keeps one state for the whole program; so the
// child that is split off meanwhile finds that state at rest.
std::mutex& library_lock() {
  static std::mutex lock;
  return lock;
}

constexpr std::chrono::seconds kLongestRead{120};
constexpr std::size_t kBytesPerSecond = 1 << 20;  // the slowest that is still waited for

std::chrono::seconds longest_read(const RecordingFile& file) {
  std::error_code unknown;
  const std::uintmax_t size =
      file.path.empty() ? file.bytes.size() : std::filesystem::file_size(file.path, unknown);
  return unknown ? kLongestRead : kLongestRead + std::chrono::seconds(size / kBytesPerSecond);
}

Parsed<SignalTrains> read_unguarded(const RecordingFile& file, const RecordingOptions& options) {
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  const Handle opened_file = opened(file);
  if (!opened_file) return refuse("an HDF5 file that is damaged or cut off");
  ArrayFile arrays;
  arrays.format = "HDF5";
  const Handle root(H5Gopen2(opened_file.id(), "/", H5P_DEFAULT), H5Gclose);
  if (!root) return refuse("an HDF5 file that is damaged or cut off");
  note_attributes(root.id(), arrays.scalars);
  std::vector<std::string> paths;
  const herr_t visited =
      H5Ovisit2(root.id(), H5_INDEX_NAME, H5_ITER_INC, note_data_set, &paths, H5O_INFO_BASIC);
  if (visited < 0) return refuse("an HDF5 file that is damaged or cut off");
  if (visited > 0) return refuse("too many data sets");
  for (const std::string& path : paths)
    if (const auto done = add_data_set(opened_file.id(), path, arrays); !done)
      return refuse(done.error());
  return trains_of_arrays(file, arrays, options);
}

}  // namespace

Parsed<SignalTrains> read_hdf5(const RecordingFile& file, const RecordingOptions& options) {
  RecordingFile untapped = file;
  untapped.tap = nullptr;
  const std::lock_guard inside(library_lock());
  // The library of Debian 12 falls over some damaged files, as the fuzz target found. A child
  // process reads the file first; only when it lives is the file read here. That costs the time
  // twice.
  if (!child_survives([&] { static_cast<void>(read_unguarded(untapped, options)); },
                      longest_read(file)))
    return tl::unexpected(recording_error(file.name, "an HDF5 file that is damaged"));
  return read_unguarded(file, options);
}

}  // namespace tautmark
