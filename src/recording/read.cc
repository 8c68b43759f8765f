// SPDX-License-Identifier: Apache-2.0
#include "recording/read.h"

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "recording/column_words.h"
#include "recording/formats/formats.h"
#include "recording/mapped_file.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr std::string_view kHdf5Signature("\x89HDF\r\n\x1a\n", 8);

// HDF5 File Format Specification, section II.A: the signature stands at 0, 512, 1024, 2048, ...
bool is_hdf5(std::string_view bytes) {
  for (std::size_t at = 0; at < bytes.size(); at = at == 0 ? 512 : 2 * at)
    if (bytes.substr(at).starts_with(kHdf5Signature)) return true;
  return false;
}

bool is_sound(std::string_view bytes) {
  return bytes.starts_with("RIFF") || bytes.starts_with("RF64") ||
         bytes.starts_with("riff\x2E\x91\xCF\x11");
}

bool is_value_change_dump(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  bytes = trimmed(bytes.substr(0, std::min<std::size_t>(bytes.size(), 4096)));
  for (const std::string_view word :
       {"$date", "$version", "$timescale", "$comment", "$scope", "$var", "$enddefinitions"})
    if (bytes.starts_with(word)) return true;
  return false;
}

}  // namespace

Parsed<SignalTrains> read_any(const RecordingFile& file, const RecordingOptions& options) {
  const std::string_view bytes = file.bytes;
  if (options.sample_rate && !(*options.sample_rate > 0 && std::isfinite(*options.sample_rate)))
    return tl::unexpected(recording_error(file.name, "the sample rate must be above zero"));
  if (bytes.empty()) return tl::unexpected(recording_error(file.name, "the file is empty"));
  if (options.packed_logic_channels) return read_packed_logic(file, options);
  if (bytes.starts_with("PK\x03\x04")) return read_logic_session(file);
  if (is_sound(bytes)) return read_sound(file);
  if (is_hdf5(bytes)) return read_hdf5(file, options);
  if (bytes.starts_with("MATLAB 5.0 MAT-file")) return read_mat(file, options);
  if (is_value_change_dump(bytes)) return read_vcd(file);
  return read_csv(file, options);
}

Parsed<SignalTrains> trains_or_tap(const RecordingFile& file, SampleSource& source,
                                   int first_channel) {
  if (file.tap == nullptr) return trains_of(source);
  const int column = file.tap->channel - first_channel;
  if (column < 0 || column >= static_cast<int>(source.names.size())) return SignalTrains();
  if (auto done = file.tap->take(source, static_cast<std::size_t>(column)); !done)
    return tl::unexpected(std::move(done.error()));
  return SignalTrains();
}

Diagnostics recording_error(const std::string& file, std::string message) {
  return recording_error(TextPlace{file, 0, 0, 1, {}}, std::move(message));
}

Diagnostics recording_error(TextPlace place, std::string message) {
  Diagnostic diagnostic;
  diagnostic.place = std::move(place);
  diagnostic.place.line_text = printable(diagnostic.place.line_text);
  diagnostic.message = printable(message);
  return {diagnostic};
}

Parsed<SignalTrains> read_recording(const std::string& path, const RecordingOptions& options) {
  const auto mapped = MappedFile::open(path);
  if (!mapped) return tl::unexpected(recording_error(path, mapped.error().why));
  return read_any({path, mapped->bytes(), path, nullptr}, options);
}

Parsed<SignalTrains> read_recording_bytes(const std::string& name, std::string_view bytes,
                                          const RecordingOptions& options) {
  return read_any({name, bytes, {}, nullptr}, options);
}

}  // namespace tautmark
