// SPDX-License-Identifier: Apache-2.0
#include "http/request_rules.h"

#include <algorithm>
#include <array>

#include "base/text.h"

namespace tautmark {

namespace {

struct HostAndPort {
  std::string name, port;
};

std::optional<HostAndPort> read_host(std::string_view host) {
  std::size_t end = host.starts_with('[') ? host.find(']') : host.find(':');
  if (host.starts_with('[')) {
    if (end == std::string_view::npos) return std::nullopt;
    ++end;
  }
  HostAndPort read{lower_ascii(host.substr(0, end)), ""};
  if (end >= host.size()) return read;
  read.port = host.substr(end);
  const bool is_port = read.port.size() >= 2 && read.port.size() <= 6 && read.port[0] == ':' &&
                       std::all_of(read.port.begin() + 1, read.port.end(),
                                   [](char c) { return c >= '0' && c <= '9'; });
  if (!is_port) return std::nullopt;
  return read;
}

}  // namespace

bool host_is_known(std::string_view host, std::span<const std::string> names) {
  static constexpr std::array<std::string_view, 3> local{"127.0.0.1", "localhost", "[::1]"};
  const auto read = read_host(host);
  if (!read || read->name.empty()) return false;
  return std::ranges::find(local, read->name) != local.end() ||
         std::ranges::any_of(names, [&](const auto& name) {
           const std::string ours = lower_ascii(name);
           return ours == read->name || "[" + ours + "]" == read->name;
         });
}

bool is_followed_link(const Request& request) {
  return request.method == "GET" && request.header("sec-fetch-mode") == "navigate" &&
         request.header("sec-fetch-dest") == "document" && request.path != "/api" &&
         !request.path.starts_with("/api/");
}

bool origin_is_ours(std::string_view origin, std::string_view host, bool over_tls) {
  const std::string_view scheme = over_tls ? "https://" : "http://";
  if (!origin.starts_with(scheme)) return false;
  const auto theirs = read_host(origin.substr(scheme.size()));
  const auto ours = read_host(host);
  if (!theirs || !ours) return false;
  const std::string standard = over_tls ? ":443" : ":80";
  const auto port = [&](const HostAndPort& of) { return of.port.empty() ? standard : of.port; };
  return theirs->name == ours->name && port(*theirs) == port(*ours);
}

bool is_media_type(std::string_view content_type, std::string_view wanted) {
  return lower_ascii(trimmed(content_type.substr(0, content_type.find(';')))) ==
         lower_ascii(wanted);
}

std::optional<Response> refuse_host(const Request& request, std::span<const std::string> names) {
  if (host_is_known(request.header("host"), names)) return std::nullopt;
  return problem(421, "Not the name of this server",
                 "The page was asked for under a name that is not known here.");
}

std::optional<Response> refuse_sender(const Request& request, const Route& route) {
  const bool reads = request.method == "GET" || request.method == "HEAD";
  const std::string_view site = request.header("sec-fetch-site");
  if ((site == "cross-site" && !is_followed_link(request)) || (!reads && site == "same-site"))
    return problem(403, "Another site asks", "Only pages of this server may ask for this.");
  if (reads) return std::nullopt;
  if (request.headers.contains("origin") &&
      !origin_is_ours(request.header("origin"), request.header("host"), request.over_tls))
    return problem(403, "Another site asks", "Only pages of this server may ask for this.");
  if (!is_media_type(request.header("content-type"), route.body_type))
    return problem(415, "Not the expected kind of content",
                   "This must be sent with Content-Type " + std::string(route.body_type) + ".");
  if (!request.header("content-encoding").empty())
    return problem(415, "Content is packed", "Send it without Content-Encoding.");
  return std::nullopt;
}

}  // namespace tautmark
