// SPDX-License-Identifier: Apache-2.0
// Bytes to requests: the same however they arrive in pieces, and what comes through keeps every
// promise that handlers rely on.
#include <cstdint>

#include "fuzz_check.h"
#include "http/head_scan.h"
#include "http/request_parser.h"
#include "http/request_rules.h"
#include "http/response_head.h"
#include "http/router.h"
#include "http/target.h"

using namespace tautmark;

namespace {

constexpr std::uint64_t kMostBody = 1000;

const Router& router() {
  const auto route = [](std::string_view method, std::string_view pattern) {
    return Route{.method = method, .pattern = std::string(pattern), .handle = [](Request&) {
                   return Response{};
                 }};
  };
  static const Router routes({route("GET", "/"), route("GET", "/api/cases/{case}"),
                              route("POST", "/api/cases/{case}/entries"),
                              route("GET", "/api/cases/new"), route("GET", "/{a}/{b}/{c}")});
  return routes;
}

bool is_plain(std::string_view text) {
  for (const char c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return false;
  return !first_invalid_utf8(text);
}

void check_path(const std::string& path) {
  fuzz::require(is_plain(path), "a path that is no text", path);
  fuzz::require(path.starts_with('/') && path.find("//") == std::string::npos &&
                    path.find('\\') == std::string::npos,
                "a path with an empty part", path);
  for (const std::string& part : split(path, '/'))
    fuzz::require(part != "." && part != "..", "a path that leads upwards", path);
  const auto found = router().find("GET", path);
  fuzz::require(!found.route || found.allow.empty(), "found and refused", path);
  for (const auto& [name, part] : found.parts)
    fuzz::require(!part.empty() && part.find('/') == std::string::npos, "a part with a slash",
                  part);
}

void check_request(const Request& request) {
  fuzz::require(request.target.size() <= kMostTarget, "a long target");
  fuzz::require(request.body.size() <= kMostBody, "a large body");
  if (request.path != "*") check_path(request.path);
  for (const auto& [key, value] : request.query)
    fuzz::require(is_plain(key) && is_plain(value), "a query that is no text", key + "=" + value);
  for (const auto& [name, value] : request.headers) {
    for (const char c : name)
      fuzz::require(is_token_character(c) && !(c >= 'A' && c <= 'Z'), "a wrong name", name);
    fuzz::require(value.find_first_of(std::string_view("\0\r\n", 3)) == std::string::npos,
                  "a header that breaks its line", value);
  }
  const std::vector<std::string> names{"shop.local"};
  const bool known = !refuse_host(request, names);
  const std::string host(request.header("host"));
  fuzz::require(!known || lower_ascii(host).starts_with("127.0.0.1") ||
                    lower_ascii(host).starts_with("localhost") || host.starts_with("[::1]") ||
                    lower_ascii(host).starts_with("shop.local"),
                "a foreign name", host);
  const auto refused = refuse_sender(request, Route{});
  if (!refused && request.method != "GET" && request.method != "HEAD") {
    const std::string origin(request.header("origin"));
    fuzz::require(!request.headers.contains("origin") || origin_is_ours(origin, host, false),
                  "a foreign page", origin);
    fuzz::require(request.header("sec-fetch-site") != "cross-site", "another site");
  }
}

// Nothing a handler passes on from a request makes a second header or a second answer.
void check_head(const std::string& text) {
  Response response;
  response.content_type = text;
  response.headers = {{"X-Text", text}, {text, "x"}};
  const std::string head = response_head(response, {.length = 1});
  std::size_t lines = 0;
  for (const char c : head) lines += c == '\n' || c == '\r' ? 1 : 0;
  fuzz::require(lines <= 2 * 14, "a head with more lines", head);
  fuzz::require(head.find("\r\n\r\n") == head.size() - 4, "a head that ends early", head);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::size_t piece = 1 + data[0];
  const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
  const auto whole = parse_request_bytes(bytes, kMostBody, bytes.size() + 1);
  const auto pieces = parse_request_bytes(bytes, kMostBody, piece);
  if (whole) {
    fuzz::require(pieces && pieces->body == whole->body && pieces->headers == whole->headers &&
                      pieces->target == whole->target && pieces->method == whole->method,
                  "another request in pieces");
    check_request(*whole);
  } else {
    fuzz::require(!pieces, "a request only in pieces");
    fuzz::require(whole.error() >= 400 && whole.error() < 600, "refused without a status");
  }
  const std::string text(bytes);
  if (const auto target = read_target(text)) check_path(target->path);
  host_is_known(text, std::vector<std::string>{"shop.local"});
  origin_is_ours(text, "localhost", false);
  origin_is_ours("http://localhost", text, false);
  is_media_type(text, "application/json");
  static_cast<void>(router().find("GET", text));
  check_head(text);
  return 0;
}
