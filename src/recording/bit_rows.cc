// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <utility>

#include "recording/logic_scan.h"

namespace tautmark {
namespace {

constexpr std::size_t kBlockRows = 4096;

}  // namespace

SampleSource bit_source(std::string format, std::size_t channels) {
  SampleSource source;
  source.format = std::move(format);
  source.names.resize(channels);
  source.rows_only_at_changes = true;
  return source;
}

void BitRows::take(const char* sample) {
  const auto byte = static_cast<unsigned char>(sample[bit_ / 8]);
  const double value = (byte >> bit_ % 8) & 1U;
  if (value != last_) {
    times_.push_back(static_cast<double>(samples_) * step_);
    values_.push_back(value);
    last_ = value;
  }
  ++samples_;
}

tl::expected<void, Diagnostics> BitRows::give(const SampleVisit& visit) {
  if (times_.empty()) return {};
  SampleBlock block{rows_, times_.size(), times_.data(), {}};
  block.channels.assign(bit_ + 1, nullptr);
  block.channels[bit_] = values_.data();
  rows_ += static_cast<std::int64_t>(times_.size());
  auto done = visit(block);
  times_.clear();
  values_.clear();
  return done;
}

tl::expected<void, Diagnostics> BitRows::feed(std::string_view bytes, const SampleVisit& visit) {
  while (!rest_.empty() && !bytes.empty()) {
    rest_ += bytes.front();
    bytes.remove_prefix(1);
    if (rest_.size() < unit_) continue;
    take(rest_.data());
    rest_.clear();
  }
  for (; bytes.size() >= unit_; bytes.remove_prefix(unit_)) {
    take(bytes.data());
    if (times_.size() < kBlockRows) continue;
    if (auto done = give(visit); !done) return done;
  }
  rest_ += bytes;
  return {};
}

tl::expected<void, Diagnostics> BitRows::finish(const SampleVisit& visit) {
  const double last_time = static_cast<double>(samples_ - 1) * step_;
  if (samples_ > 0 && (times_.empty() || times_.back() < last_time)) {
    times_.push_back(last_time);
    values_.push_back(last_);
  }
  return give(visit);
}

}  // namespace tautmark
