// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <deque>
#include <future>
#include <limits>
#include <thread>

#include "base/text.h"
#include "recording/formats/csv_layout.h"
#include "recording/formats/csv_rows.h"
#include "recording/formats/formats.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr std::size_t kPiece = 256 * 1024;         // bytes parsed at a time
constexpr unsigned kMostThreads = 8;               // more would wait for the one that finds edges
constexpr std::size_t kLookAll = 4 * 1024 * 1024;  // smaller files are looked at whole
constexpr std::size_t kLookPieces = 64;            // of larger ones, spread evenly
constexpr std::size_t kLookPiece = 64 * 1024;

int line_number(std::int64_t line) {
  return static_cast<int>(std::min<std::int64_t>(line, std::numeric_limits<int>::max()));
}

// The text of a file, cut at line ends into pieces, in UTF-8.
class CsvText {
 public:
  explicit CsvText(std::string_view bytes) {
    coding_ = text_coding(bytes, mark_);
    bytes_ = bytes.substr(mark_);
    if (is_wide()) bytes_ = bytes_.substr(0, bytes_.size() / 2 * 2);
  }

  [[nodiscard]] std::size_t size() const { return bytes_.size(); }
  [[nodiscard]] bool is_wide() const { return coding_ != TextCoding::utf8; }

  // Where the piece that begins at `from` ends: after a line, at most 64 KiB beyond `length`, or
  // in the middle of a line that is too long to be one.
  [[nodiscard]] std::size_t piece_end(std::size_t from, std::size_t length) const {
    if (bytes_.size() - from <= length) return bytes_.size();
    return line_end(from + length - (is_wide() ? 2 : 1));
  }
  [[nodiscard]] std::size_t line_end(std::size_t from) const {
    const std::size_t most = std::min(bytes_.size(), from + 2 * kLongestRecordingLine);
    if (!is_wide()) {
      const std::size_t found = bytes_.substr(0, most).find('\n', from);
      return found == std::string_view::npos ? most : found + 1;
    }
    const std::size_t low = coding_ == TextCoding::utf16_little ? 0 : 1;
    for (std::size_t i = from / 2 * 2; i + 1 < most; i += 2)
      if (bytes_[i + low] == '\n' && bytes_[i + 1 - low] == 0) return i + 2;
    return most / 2 * 2;
  }
  // UTF-8 of [from, to); `room` holds it where it had to be converted.
  [[nodiscard]] std::string_view text(std::size_t from, std::size_t to, std::string& room) const {
    const std::string_view piece = bytes_.substr(from, to - from);
    if (!is_wide()) return piece;
    room = utf8_of_utf16(piece, coding_ == TextCoding::utf16_big);
    return room;
  }

 private:
  std::string_view bytes_;
  TextCoding coding_ = TextCoding::utf8;
  std::size_t mark_ = 0;
};

class CsvFile {
 public:
  CsvFile(const RecordingFile& file, CsvText text, CsvLayout layout, int threads)
      : name_(file.name), text_(text), layout_(std::move(layout)) {
    const auto cores = std::clamp(std::thread::hardware_concurrency(), 1U, kMostThreads);
    threads_ = threads > 0 ? static_cast<std::size_t>(threads) : cores;
    for (int line = 0; line < layout_.header_lines; ++line) begin_ = text_.line_end(begin_);
    for (std::size_t c = 0; c < layout_.columns; ++c)
      if (layout_.time_column != c) channels_.push_back(c);
  }

  [[nodiscard]] const CsvLayout& layout() const { return layout_; }
  [[nodiscard]] const std::vector<std::size_t>& channels() const { return channels_; }

  tl::expected<void, Diagnostics> scan(Extent extent, const SampleVisit& visit,
                                       std::vector<std::string>& notes) const {
    if (extent == Extent::look && text_.size() > kLookAll) return look(visit);
    return whole(extent, visit, notes);
  }

  [[nodiscard]] TextPlace place(std::int64_t row) const {
    std::int64_t rows = 0, lines = layout_.header_lines;
    std::string room, line_room;
    for (std::size_t from = begin_; from < text_.size();) {
      const std::size_t to = text_.piece_end(from, kPiece);
      const CsvRows piece = rows_of(from, to, room);
      if (rows + static_cast<std::int64_t>(piece.rows) > row) {
        for (std::size_t begin = from; begin < to; ++lines) {
          const std::size_t end = text_.line_end(begin);
          rows += static_cast<std::int64_t>(rows_of(begin, end, line_room).rows);
          if (rows > row) {
            const std::string line(trimmed(text_.text(begin, end, line_room)));
            return {name_, line_number(lines + 1), 1, 1, line};
          }
          begin = end;
        }
      }
      rows += static_cast<std::int64_t>(piece.rows);
      lines += piece.lines;
      from = to;
    }
    return {name_, line_number(lines + 1), 1, 1, {}};
  }

 private:
  [[nodiscard]] CsvRows rows_of(std::size_t from, std::size_t to, std::string& room) const {
    return csv_rows(text_.text(from, to, room), layout_, to == text_.size());
  }

  tl::expected<void, Diagnostics> give(const CsvRows& rows, std::int64_t first_row,
                                       const SampleVisit& visit) const {
    if (rows.rows == 0) return {};
    SampleBlock block;
    block.first_row = first_row;
    block.rows = rows.rows;
    if (layout_.time_column && !layout_.has_index) block.times = rows.column(*layout_.time_column);
    for (const std::size_t c : channels_) block.channels.push_back(rows.column(c));
    return visit(block);
  }

  void scale_times(CsvRows& rows) const {
    if (!layout_.time_column || layout_.has_index || layout_.time_unit == 1) return;
    double* times = rows.values.data() + *layout_.time_column * rows.capacity;
    for (std::size_t i = 0; i < rows.rows; ++i) times[i] *= layout_.time_unit;
  }

  tl::expected<void, Diagnostics> look(const SampleVisit& visit) const {
    std::string room;
    for (std::size_t i = 0; i < kLookPieces; ++i) {
      const std::size_t share = (text_.size() - begin_) / kLookPieces * i;
      const std::size_t from = i == 0 ? begin_ : text_.line_end(begin_ + share);
      if (from >= text_.size()) break;
      CsvRows rows = rows_of(from, text_.piece_end(from, kLookPiece), room);
      scale_times(rows);
      if (auto done = give(rows, 0, visit); !done) return done;
    }
    return {};
  }

  tl::expected<void, Diagnostics> whole(Extent extent, const SampleVisit& visit,
                                        std::vector<std::string>& notes) const {
    // Pieces are parsed ahead by as many threads as there are, and used in order: the result is
    // the same for any number of them.
    const auto policy = threads_ > 1 ? std::launch::async : std::launch::deferred;
    std::deque<std::future<CsvRows>> ahead;
    std::int64_t first_row = 0, lines = layout_.header_lines;
    std::size_t from = begin_;
    const auto parse_ahead = [&] {
      while (from < text_.size() && ahead.size() < threads_) {
        const std::size_t to = text_.piece_end(from, kPiece);
        ahead.push_back(std::async(policy, [this, from, to] {
          std::string room;
          CsvRows rows = rows_of(from, to, room);
          scale_times(rows);
          return rows;
        }));
        from = to;
      }
    };
    for (parse_ahead(); !ahead.empty();) {
      const CsvRows rows = ahead.front().get();
      ahead.pop_front();
      parse_ahead();
      if (auto done = give(rows, first_row, visit); !done) return done;
      if (rows.fault && extent == Extent::whole) {
        TextPlace place{name_, line_number(lines + rows.fault->line + 1), rows.fault->column, 1,
                        rows.fault->line_text};
        return tl::unexpected(recording_error(place, rows.fault->message));
      }
      first_row += static_cast<std::int64_t>(rows.rows);
      lines += rows.lines;
      if (rows.cut_off)
        notes.push_back(fmt::format("line {} is cut off: the file is truncated", lines));
    }
    return {};
  }

  std::string name_;
  CsvText text_;
  CsvLayout layout_;
  std::size_t threads_ = 1, begin_ = 0;
  std::vector<std::size_t> channels_;
};

Parsed<SampleSource> source_of(const RecordingFile& file, const CsvFile& csv,
                               const RecordingOptions& options) {
  const CsvLayout& layout = csv.layout();
  TextPlace place{file.name, layout.header_lines + 1, 1, 1, {}};
  if (csv.channels().empty())
    return tl::unexpected(recording_error(place, "no channel beside the time"));
  if (csv.channels().size() > kMostChannels)
    return tl::unexpected(recording_error(
        place, fmt::format("{} channels; at most {}", csv.channels().size(), kMostChannels)));
  SampleSource source;
  source.format = "CSV";
  source.notes = layout.notes;
  for (const std::size_t c : csv.channels())
    source.names.push_back(layout.names.empty() ? std::string() : layout.names[c]);
  const bool has_time = layout.time_column && !layout.has_index;
  const auto rate = options.sample_rate ? options.sample_rate : layout.sample_rate;
  if (has_time) {
    if (options.sample_rate)
      source.notes.emplace_back("the file has a column of time: the sample rate given is not used");
    return source;
  }
  if (!rate)
    return tl::unexpected(
        recording_error(place, "neither a column of time nor a sample rate: state the rate"));
  source.step = 1 / *rate;
  source.format = "CSV, sampled";
  return source;
}

}  // namespace

Parsed<SignalTrains> read_csv(const RecordingFile& file, const RecordingOptions& options) {
  const CsvText text(file.bytes);
  std::string room;
  const auto layout = csv_layout(file.name, text.text(0, text.piece_end(0, kPiece), room));
  if (!layout) return tl::unexpected(layout.error());
  const CsvFile csv(file, text, *layout, options.threads);
  auto source = source_of(file, csv, options);
  if (!source) return tl::unexpected(source.error());
  source->scan = [&](Extent extent, const SampleVisit& visit) {
    return csv.scan(extent, visit, source->notes);
  };
  source->place = [&](std::int64_t row) { return csv.place(row); };
  return trains_or_tap(file, *source);
}

}  // namespace tautmark
