// SPDX-License-Identifier: Apache-2.0
#include "http/request_parser.h"

#include <algorithm>
#include <array>
#include <boost/beast/http/basic_parser.hpp>
#include <limits>

#include "base/text.h"
#include "http/target.h"

namespace tautmark {

namespace http = boost::beast::http;
using boost::beast::error_code;
using boost::beast::string_view;

namespace {

// What may stand once only: a second one would be read by some and not by others.
bool stands_alone(std::string_view name) {
  static constexpr std::array<std::string_view, 9> names{
      "host",          "content-length", "transfer-encoding", "content-type", "content-encoding",
      "authorization", "origin",         "sec-fetch-site",    "expect"};
  return std::ranges::find(names, name) != names.end();
}

bool is_number(std::string_view text) {
  return !text.empty() && text.size() <= 18 &&
         std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

int status_of(const error_code& code) {
  if (code == http::error::body_limit) return 413;
  if (code == http::error::header_limit) return 431;
  if (code == http::error::bad_version) return 505;
  return 400;
}

class Parser final : public http::basic_parser<true> {
 public:
  Parser() {
    header_limit(kMostHead + 1);
    body_limit(std::numeric_limits<std::uint64_t>::max());  // the route's limit comes later
  }

  Request request;
  std::string* body = nullptr;  // where the bytes go
  int version = 11;
  bool bad = false;

 private:
  void on_request_impl(http::verb, string_view method, string_view target, int http_version,
                       error_code&) override {
    request.method = std::string(method);
    request.target = std::string(target);
    version = http_version;
  }
  void on_field_impl(http::field, string_view name, string_view value, error_code&) override {
    if (body) return;  // a trailer: not asked for
    const auto [place, is_new] =
        request.headers.try_emplace(lower_ascii(std::string_view(name.data(), name.size())), value);
    if (is_new) return;
    bad = bad || stands_alone(place->first);
    place->second += (place->first == "cookie" ? "; " : ", ") + std::string(value);
  }
  void on_header_impl(error_code&) override {}
  void on_body_init_impl(const boost::optional<std::uint64_t>&, error_code&) override {}
  void on_chunk_header_impl(std::uint64_t, string_view, error_code&) override {}
  void on_finish_impl(error_code&) override {}
  std::size_t on_body_impl(string_view bytes, error_code&) override {
    body->append(bytes.data(), bytes.size());
    return bytes.size();
  }
  std::size_t on_chunk_body_impl(std::uint64_t, string_view bytes, error_code& code) override {
    return on_body_impl(bytes, code);
  }
  void on_response_impl(int, string_view, int, error_code&) override {}
};

// Beast takes lists of lengths, other encodings before "chunked", and both at once in one order.
bool framing_is_plain(const Request& request, int version) {
  const auto length = request.headers.find("content-length");
  const auto encoding = request.headers.find("transfer-encoding");
  const bool has_length = length != request.headers.end();
  if (has_length && !is_number(length->second)) return false;
  if (encoding == request.headers.end()) return true;
  return !has_length && version == 11 && lower_ascii(encoding->second) == "chunked";
}

}  // namespace

struct RequestParser::Inside {
  Parser parser;
};

RequestParser::RequestParser() : inside_(std::make_unique<Inside>()) {}
RequestParser::RequestParser(RequestParser&&) noexcept = default;
RequestParser& RequestParser::operator=(RequestParser&&) noexcept = default;
RequestParser::~RequestParser() = default;

int RequestParser::read_head(std::string_view head) {
  Parser& parser = inside_->parser;
  error_code code;
  parser.put(boost::asio::const_buffer(head.data(), head.size()), code);
  if (code) return status_of(code);
  if (!parser.is_header_done() || parser.bad) return 400;
  Request& request = parser.request;
  if (!framing_is_plain(request, parser.version)) return 400;
  if (request.target.size() > kMostTarget) return 414;
  if (parser.version == 11 && !request.headers.contains("host")) return 400;
  if (const auto expected = request.headers.find("expect");
      expected != request.headers.end() && lower_ascii(expected->second) != "100-continue")
    return 417;
  if (request.target == "*") {  // OPTIONS *: of the server itself, which is no route
    request.path = "*";
    return 0;
  }
  auto target = read_target(request.target);
  if (!target) return 400;
  request.path = std::move(target->path);
  request.query = std::move(target->query);
  return 0;
}

Request& RequestParser::request() { return inside_->parser.request; }
bool RequestParser::has_body() const { return !inside_->parser.is_done(); }
bool RequestParser::is_old() const { return inside_->parser.version < 11; }
bool RequestParser::done() const { return inside_->parser.is_done(); }

std::optional<std::uint64_t> RequestParser::length() const {
  if (const auto length = inside_->parser.content_length()) return *length;
  return std::nullopt;
}

bool RequestParser::keep_alive() const { return !is_old() && inside_->parser.keep_alive(); }

bool RequestParser::waits_for_continue() const {
  return !is_old() && inside_->parser.request.headers.contains("expect");
}

void RequestParser::limit_body(std::uint64_t most) { inside_->parser.body_limit(most); }

tl::expected<std::size_t, int> RequestParser::read_body(std::string_view bytes, std::string& body) {
  Parser& parser = inside_->parser;
  if (parser.is_done() || bytes.empty()) return 0;
  parser.body = &body;
  parser.eager(true);
  error_code code;
  const std::size_t used = parser.put(boost::asio::const_buffer(bytes.data(), bytes.size()), code);
  if (code && code != http::error::need_more) return tl::make_unexpected(status_of(code));
  // The header of a chunk and the trailers have no end of their own.
  if (bytes.size() - used > kMostHead && !parser.is_done()) return tl::make_unexpected(431);
  return used;
}

tl::expected<Request, int> parse_request_bytes(std::string_view bytes, std::uint64_t most_body,
                                               std::size_t piece) {
  piece = std::max<std::size_t>(1, piece);
  RequestParser parser;
  HeadScan scan;
  std::size_t here = 0, at = 0;
  while (!scan.size && here < bytes.size()) {
    const std::size_t seen = here;
    here = std::min(bytes.size(), here + piece);
    scan = scan_head(bytes.substr(0, here), seen);
    if (scan.refused) return tl::make_unexpected(scan.refused);
  }
  if (!scan.size) return tl::make_unexpected(408);
  if (const int refused = parser.read_head(bytes.substr(0, scan.size)))
    return tl::make_unexpected(refused);
  if (parser.has_body() && parser.length().value_or(0) > most_body) return tl::make_unexpected(413);
  if (!parser.done()) parser.limit_body(most_body);
  for (at = scan.size; !parser.done();) {
    const auto used = parser.read_body(bytes.substr(at, here - at), parser.request().body);
    if (!used) return tl::make_unexpected(used.error());
    at += *used;
    if (parser.done()) break;
    if (here == bytes.size()) return tl::make_unexpected(408);
    here = std::min(bytes.size(), here + piece);
  }
  return std::move(parser.request());
}

}  // namespace tautmark
