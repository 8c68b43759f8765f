// SPDX-License-Identifier: Apache-2.0
// Points in time as the store keeps them: microseconds since 1970 in UTC.
#include <fmt/format.h>

#include <chrono>
#include <ctime>

#include "store/database.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;

}  // namespace

std::int64_t now_microseconds() {
  return std::chrono::duration_cast<std::chrono::microseconds>(
             std::chrono::system_clock::now().time_since_epoch())
      .count();
}

std::string time_text(std::int64_t microseconds) {
  std::int64_t rest = microseconds % kSecond;
  if (rest < 0) rest += kSecond;
  const auto seconds = static_cast<std::time_t>((microseconds - rest) / kSecond);
  std::tm utc{};
  gmtime_r(&seconds, &utc);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:06}Z", utc.tm_year + 1900,
                     utc.tm_mon + 1, utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec, rest);
}

std::optional<std::int64_t> time_of(std::string_view text) {
  const std::string given(text.substr(0, 40));
  std::tm utc{};
  const char* rest = strptime(given.c_str(), "%Y-%m-%d", &utc);
  if (rest == nullptr) return std::nullopt;
  std::int64_t microseconds = 0;
  if (*rest != '\0') {
    rest = strptime(rest, "T%H:%M:%S", &utc);
    if (rest == nullptr) return std::nullopt;
    if (*rest == '.') {
      std::int64_t place = kSecond;
      for (++rest; *rest >= '0' && *rest <= '9'; ++rest)
        microseconds += (place /= 10) * (*rest - '0');
    }
    if (std::string_view(rest) != "Z") return std::nullopt;
  }
  const std::tm asked = utc;
  const std::time_t seconds = timegm(&utc);  // turns the 31st of November into the 1st of December
  if (seconds < 0 || utc.tm_mday != asked.tm_mday) return std::nullopt;
  return seconds * kSecond + microseconds;
}

}  // namespace tautmark
