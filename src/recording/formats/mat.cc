// SPDX-License-Identifier: Apache-2.0
// MATLAB files of level 5, as in "MAT-File Format": real numeric vectors and matrices; structures,
// cells, text and complex numbers are passed over. Scalars named as a rate, an interval or a start
// are used. Own reader: the library of Debian takes what is missing at the end of a file for zeros
// and asks for whatever memory a file claims to need.
#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <memory>

#include "recording/formats/arrays.h"

namespace tautmark {
namespace {

constexpr std::size_t kHeader = 128, kTag = 8;
constexpr std::size_t kMostVariables = 4096, kLongestName = 1024;
constexpr std::uint32_t kInt8 = 1, kInt32 = 5, kUint32 = 6, kMatrix = 14, kCompressed = 15;
constexpr std::uint32_t kFirstNumeric = 6, kLastNumeric = 15;  // classes: double to uint64
constexpr std::uint32_t kComplex = 0x0800;

// The bytes of one element, plain or packed, read forward; a step back unpacks from the beginning.
class ElementBytes {
 public:
  ElementBytes(std::string_view bytes, bool is_packed) : bytes_(bytes) {
    if (!is_packed) return;
    stream_.reset(new z_stream{});
    if (inflateInit(stream_.get()) != Z_OK) stream_.reset();
    is_damaged_ = stream_ == nullptr;
    rewind();
  }

  bool read(std::uint64_t at, std::size_t size, char* out) {
    if (is_damaged_) return false;
    if (!stream_) {
      if (at > bytes_.size() || size > bytes_.size() - at) return false;
      std::memcpy(out, bytes_.data() + at, size);
      return true;
    }
    if (at < position_) rewind();
    std::array<char, 16384> skipped;
    while (position_ < at)
      if (!unpack(skipped.data(), std::min<std::uint64_t>(skipped.size(), at - position_)))
        return false;
    return unpack(out, size);
  }

 private:
  struct End {
    void operator()(z_stream* stream) const {
      inflateEnd(stream);
      delete stream;
    }
  };
  void rewind() {
    if (!stream_) return;
    inflateReset(stream_.get());
    // const in all but name; an element is at most 4 GiB.
    stream_->next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes_.data()));
    stream_->avail_in = static_cast<uInt>(bytes_.size());
    position_ = 0;
  }
  bool unpack(char* out, std::size_t size) {
    while (size > 0) {
      const std::size_t wanted = std::min<std::size_t>(size, 1U << 30U);
      stream_->next_out = reinterpret_cast<Bytef*>(out);
      stream_->avail_out = static_cast<uInt>(wanted);
      const int result = inflate(stream_.get(), Z_NO_FLUSH);
      const std::size_t done = wanted - stream_->avail_out;
      out += done;
      size -= done;
      position_ += done;
      if (size > 0 && (result != Z_OK || done == 0)) return false;
    }
    return true;
  }

  std::string_view bytes_;
  std::unique_ptr<z_stream, End> stream_;
  std::uint64_t position_ = 0;
  bool is_damaged_ = false;
};

struct Tag {
  std::uint32_t type = 0, size = 0;
  std::uint64_t data = 0, next = 0;  // offsets in the element
};

struct Variable {
  std::string name;
  std::uint64_t rows = 0, columns = 0;
  std::uint32_t type = 0;  // of the numbers as stored
  std::uint64_t data = 0;
};

std::size_t number_size(std::uint32_t type) {
  static constexpr std::array<std::size_t, 14> kSizes{0, 1, 1, 2, 2, 4, 4, 4, 0, 8, 0, 0, 8, 8};
  return type < kSizes.size() ? kSizes[type] : 0;
}

template <class T>
double number_as(const char* p, bool swaps) {
  std::array<char, sizeof(T)> raw;
  std::memcpy(raw.data(), p, sizeof(T));
  if (swaps) std::reverse(raw.begin(), raw.end());
  return static_cast<double>(std::bit_cast<T>(raw));
}

double number_at(const char* p, std::uint32_t type, bool swaps) {
  switch (type) {
    case 1:
      return number_as<std::int8_t>(p, swaps);
    case 2:
      return number_as<std::uint8_t>(p, swaps);
    case 3:
      return number_as<std::int16_t>(p, swaps);
    case 4:
      return number_as<std::uint16_t>(p, swaps);
    case 5:
      return number_as<std::int32_t>(p, swaps);
    case 6:
      return number_as<std::uint32_t>(p, swaps);
    case 7:
      return number_as<float>(p, swaps);
    case 9:
      return number_as<double>(p, swaps);
    case 12:
      return number_as<std::int64_t>(p, swaps);
    default:
      return number_as<std::uint64_t>(p, swaps);
  }
}

std::uint32_t word_at(const char* p, bool swaps) {
  return static_cast<std::uint32_t>(number_as<std::uint32_t>(p, swaps));
}

std::optional<Tag> tag_at(ElementBytes& bytes, std::uint64_t at, bool swaps) {
  std::array<char, kTag> raw;
  if (!bytes.read(at, raw.size(), raw.data())) return std::nullopt;
  Tag tag{word_at(raw.data(), swaps), word_at(raw.data() + 4, swaps), at + kTag, 0};
  if (tag.type >> 16U != 0) {  // up to four bytes of data stand in the tag itself
    tag.size = tag.type >> 16U;
    tag.type &= 0xFFFFU;
    tag.data = at + 4;
    tag.next = at + kTag;
    if (tag.size > 4) return std::nullopt;
  } else {
    tag.next = tag.data + (std::uint64_t{tag.size} + 7) / 8 * 8;
  }
  return tag;
}

enum class Outcome { variable, other, damaged };

Outcome read_variable(ElementBytes& bytes, bool swaps, Variable& variable) {
  const auto matrix = tag_at(bytes, 0, swaps);
  if (!matrix) return Outcome::damaged;
  if (matrix->type != kMatrix) return Outcome::other;
  std::array<char, 8> pair;
  const auto flags = tag_at(bytes, kTag, swaps);
  if (!flags || flags->type != kUint32 || flags->size != 8 ||
      !bytes.read(flags->data, 8, pair.data()))
    return Outcome::damaged;
  const std::uint32_t word = word_at(pair.data(), swaps), kind = word & 0xFFU;
  if (kind < kFirstNumeric || kind > kLastNumeric || (word & kComplex) != 0) return Outcome::other;
  const auto sizes = tag_at(bytes, flags->next, swaps);
  if (!sizes || sizes->type != kInt32) return Outcome::damaged;
  if (sizes->size != 8) return Outcome::other;  // more than two dimensions
  if (!bytes.read(sizes->data, 8, pair.data())) return Outcome::damaged;
  variable.rows = word_at(pair.data(), swaps);
  variable.columns = word_at(pair.data() + 4, swaps);
  const auto name = tag_at(bytes, sizes->next, swaps);
  if (!name || name->type != kInt8 || name->size > kLongestName) return Outcome::damaged;
  std::string text(name->size, '\0');
  if (!bytes.read(name->data, text.size(), text.data())) return Outcome::damaged;
  variable.name = printable(text);
  const auto numbers = tag_at(bytes, name->next, swaps);
  if (!numbers) return Outcome::damaged;
  if (variable.rows == 0 || variable.columns == 0) return Outcome::other;
  const std::size_t size = number_size(numbers->type);
  if (size == 0 || numbers->size / size / variable.rows != variable.columns ||
      numbers->size != variable.rows * variable.columns * size)
    return Outcome::damaged;
  variable.type = numbers->type;
  variable.data = numbers->data;
  return Outcome::variable;
}

// Column-major; the longer side is time. Columns of a packed matrix have a reader each, so that
// all of them go forward.
NamedArray array_of(std::string_view bytes, bool is_packed, bool swaps, const Variable& variable) {
  const bool is_upright = variable.rows >= variable.columns;
  NamedArray array;
  array.name = variable.name;
  array.rows = static_cast<std::int64_t>(std::max(variable.rows, variable.columns));
  array.width = static_cast<std::size_t>(std::min(variable.rows, variable.columns));
  auto readers = std::make_shared<std::vector<ElementBytes>>();
  array.read = [=, width = array.width, total = static_cast<std::uint64_t>(array.rows)](
                   std::int64_t first, std::int64_t count, double* out) {
    while (readers->size() < (is_upright ? width : 1)) readers->emplace_back(bytes, is_packed);
    const std::size_t size = number_size(variable.type);
    const auto from = static_cast<std::uint64_t>(first);
    const auto rows = static_cast<std::size_t>(count);
    std::vector<char> room(rows * size * (is_upright ? 1 : width));
    for (std::size_t c = 0; c < width; ++c) {
      const std::uint64_t number = is_upright ? c * total + from : from * width;
      if ((is_upright || c == 0) &&
          !(*readers)[c].read(variable.data + number * size, room.size(), room.data()))
        return false;
      const std::size_t stride = is_upright ? size : size * width;
      const char* p = room.data() + (is_upright ? 0 : c * size);
      for (std::size_t i = 0; i < rows; ++i, p += stride)
        out[c * rows + i] = number_at(p, variable.type, swaps);
    }
    return true;
  };
  return array;
}

}  // namespace

Parsed<SignalTrains> read_mat(const RecordingFile& file, const RecordingOptions& options) {
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  const std::string_view bytes = file.bytes;
  if (bytes.size() < kHeader) return refuse("the file is cut off");
  const std::string_view order = bytes.substr(kHeader - 2, 2);
  if (order != "IM" && order != "MI") return refuse("a MATLAB file that is not of level 5");
  const bool swaps = (order == "MI") == (std::endian::native == std::endian::little);
  ArrayFile arrays;
  arrays.format = "MATLAB level 5";
  for (std::size_t at = kHeader; at + kTag <= bytes.size();) {
    const std::uint32_t type = word_at(bytes.data() + at, swaps);
    const std::size_t size = word_at(bytes.data() + at + 4, swaps);
    if (size > bytes.size() - at - kTag) return refuse("the file is cut off");
    const bool is_packed = type == kCompressed;
    const std::string_view element =
        is_packed ? bytes.substr(at + kTag, size) : bytes.substr(at, kTag + size);
    at += kTag + size;
    Variable variable;
    ElementBytes reader(element, is_packed);
    const Outcome outcome = read_variable(reader, swaps, variable);
    if (outcome == Outcome::damaged) return refuse("a variable is damaged");
    if (outcome == Outcome::other || std::min(variable.rows, variable.columns) > kMostChannels)
      continue;  // a table, not signals
    if (arrays.arrays.size() == kMostVariables) return refuse("too many variables");
    arrays.arrays.push_back(array_of(element, is_packed, swaps, variable));
    double value = 0;
    if (arrays.arrays.back().rows == 1 && arrays.arrays.back().read(0, 1, &value))
      arrays.scalars.emplace(column_role(variable.name), value);
  }
  return trains_of_arrays(file, arrays, options);
}

}  // namespace tautmark
