// SPDX-License-Identifier: Apache-2.0
#include "http/response_head.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.h"
#include "http/head_scan.h"

namespace tautmark {

namespace {

constexpr std::string_view kAlways =
    // Pictures also from what the page holds already: a photo just taken, a drawing.
    "Content-Security-Policy: default-src 'self'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' blob: data:; frame-ancestors 'none'\r\n"
    "X-Content-Type-Options: nosniff\r\n"
    "Referrer-Policy: no-referrer\r\n"
    "Cross-Origin-Opener-Policy: same-origin\r\n"
    "Cross-Origin-Resource-Policy: same-origin\r\n";

bool is_ours(const std::string& name) {
  static constexpr std::array<std::string_view, 11> names{"content-security-policy",
                                                          "x-content-type-options",
                                                          "referrer-policy",
                                                          "cross-origin-opener-policy",
                                                          "cross-origin-resource-policy",
                                                          "content-length",
                                                          "transfer-encoding",
                                                          "connection",
                                                          "content-type",
                                                          "date",
                                                          "keep-alive"};
  return name.starts_with("access-control-") || std::ranges::find(names, name) != names.end();
}

bool is_text(std::string_view value) {
  return std::ranges::none_of(value, [](char c) {
    return (static_cast<unsigned char>(c) < 0x20 && c != '\t') || c == 0x7f;
  });
}

}  // namespace

std::string_view status_words(int status) {
  switch (status) {
    case 200:
      return "OK";
    case 201:
      return "Created";
    case 202:
      return "Accepted";
    case 204:
      return "No Content";
    case 206:
      return "Partial Content";
    case 301:
      return "Moved Permanently";
    case 302:
      return "Found";
    case 303:
      return "See Other";
    case 304:
      return "Not Modified";
    case 400:
      return "Bad Request";
    case 401:
      return "Unauthorized";
    case 403:
      return "Forbidden";
    case 404:
      return "Not Found";
    case 405:
      return "Method Not Allowed";
    case 408:
      return "Request Timeout";
    case 409:
      return "Conflict";
    case 412:
      return "Precondition Failed";
    case 413:
      return "Content Too Large";
    case 414:
      return "URI Too Long";
    case 415:
      return "Unsupported Media Type";
    case 416:
      return "Range Not Satisfiable";
    case 417:
      return "Expectation Failed";
    case 421:
      return "Misdirected Request";
    case 422:
      return "Unprocessable Content";
    case 429:
      return "Too Many Requests";
    case 431:
      return "Request Header Fields Too Large";
    case 500:
      return "Internal Server Error";
    case 503:
      return "Service Unavailable";
    case 505:
      return "HTTP Version Not Supported";
    case 507:
      return "Insufficient Storage";
    default:
      return "Status";
  }
}

std::string http_date(std::time_t time) {
  static constexpr std::array<const char*, 7> days{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  static constexpr std::array<const char*, 12> months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                      "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  std::tm utc{};
  gmtime_r(&time, &utc);
  return fmt::format("{}, {:02} {} {} {:02}:{:02}:{:02} GMT",
                     days.at(static_cast<std::size_t>(utc.tm_wday)), utc.tm_mday,
                     months.at(static_cast<std::size_t>(utc.tm_mon)), utc.tm_year + 1900,
                     utc.tm_hour, utc.tm_min, utc.tm_sec);
}

std::string response_head(const Response& response, const HeadFacts& facts) {
  std::string head = fmt::format("HTTP/1.1 {} {}\r\nDate: {}\r\n", response.status,
                                 status_words(response.status), http_date(facts.now));
  if (facts.framing != Framing::none && !response.content_type.empty() &&
      is_text(response.content_type))
    head += "Content-Type: " + response.content_type + "\r\n";
  if (facts.framing == Framing::length)
    head += "Content-Length: " + std::to_string(facts.length) + "\r\n";
  if (facts.framing == Framing::chunks) head += "Transfer-Encoding: chunked\r\n";
  if (facts.close) head += "Connection: close\r\n";
  bool says_cache = false;
  for (const auto& [name, value] : response.headers) {
    const std::string lower = lower_ascii(name);
    if (lower.empty() || is_ours(lower) || !is_text(value) ||
        !std::ranges::all_of(name, is_token_character))
      continue;
    says_cache = says_cache || lower == "cache-control";
    head += name + ": " + value + "\r\n";
  }
  if (facts.is_api && !says_cache) head += "Cache-Control: no-store\r\n";
  head += kAlways;
  return head += "\r\n";
}

}  // namespace tautmark
