// SPDX-License-Identifier: Apache-2.0
// How long a client is waited for while bytes go over, in either direction: never `still` without a
// byte, and no longer in all than `still` plus the time the bytes need at the least rate. So a
// client that sends or takes one byte now and then cannot stay for ever. Only waiting for the
// network counts, not the work between.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>

namespace tautmark {

class Patience {
 public:
  using Clock = std::chrono::steady_clock;

  Patience() = default;
  Patience(Clock::duration still, std::int64_t least_bytes_per_second)
      : still_(still), rate_(std::max<std::int64_t>(1, least_bytes_per_second)) {}

  // Waiting begins: when it must be over.
  Clock::time_point wait(Clock::time_point now) {
    since_ = now;
    const auto earned = std::chrono::duration_cast<Clock::duration>(
        std::chrono::duration<double>(static_cast<double>(moved_) / static_cast<double>(rate_)));
    return now + std::clamp(still_ + earned - waited_, Clock::duration::zero(), still_);
  }

  // Waiting ended with this many bytes.
  void moved(std::size_t bytes, Clock::time_point now) {
    waited_ += now - since_;
    moved_ += static_cast<std::int64_t>(bytes);
  }

 private:
  Clock::duration still_{}, waited_{};
  std::int64_t rate_ = 1, moved_ = 0;
  Clock::time_point since_;
};

}  // namespace tautmark
