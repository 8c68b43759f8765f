// SPDX-License-Identifier: Apache-2.0
// Bytes to requests (RFC 9112). Two ways to say where a body ends, or one that is not plain, are
// 400: that is how requests are smuggled past a proxy.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "http/head_scan.h"
#include "http/http.h"

namespace tautmark {

class RequestParser {
 public:
  RequestParser();
  RequestParser(RequestParser&&) noexcept;
  RequestParser& operator=(RequestParser&&) noexcept;
  ~RequestParser();

  // Exactly one head, as scan_head() found it. 0, or the status of the refusal. Fills in method,
  // target, path, query and headers.
  int read_head(std::string_view head);
  [[nodiscard]] Request& request();
  [[nodiscard]] bool has_body() const;
  [[nodiscard]] std::optional<std::uint64_t> length() const;  // of the body, where it is told
  [[nodiscard]] bool is_old() const;                          // HTTP/1.0
  [[nodiscard]] bool keep_alive() const;
  [[nodiscard]] bool waits_for_continue() const;

  // Before the first byte of a body.
  void limit_body(std::uint64_t most);
  // Adds to `body` and says how many bytes were used. Bytes that were not (the start of the
  // header of a chunk) come again with those that follow. The error is a status.
  tl::expected<std::size_t, int> read_body(std::string_view bytes, std::string& body);
  [[nodiscard]] bool done() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

// A whole request out of bytes that came in pieces of `piece` bytes, as the server reads them. 408
// when its end is missing. What follows the request is not looked at.
tl::expected<Request, int> parse_request_bytes(std::string_view bytes, std::uint64_t most_body,
                                               std::size_t piece);

}  // namespace tautmark
