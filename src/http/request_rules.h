// SPDX-License-Identifier: Apache-2.0
// Who may ask, by what a browser says of itself: against names that point here from elsewhere (DNS
// rebinding) and against other pages that send from the user's browser. RFC 9110 (421, 415),
// RFC 6454 (Origin), W3C Fetch Metadata (Sec-Fetch-Site).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "http/http.h"

namespace tautmark {

// Host is 127.0.0.1, localhost, [::1] or one of `names` (no case; an IPv6 address with or without
// its brackets), with any port or none.
bool host_is_known(std::string_view host, std::span<const std::string> names);

// A link of another site or of a letter that opens one of our pages in a tab of its own. It may:
// the page holds no data, and its session's cookie is not sent along (SameSite=Strict).
bool is_followed_link(const Request& request);

// "http://127.0.0.1:8080" for Host 127.0.0.1:8080. The scheme is ours, so a page of the plain port
// is not a page of the TLS port. "null" is nobody's.
bool origin_is_ours(std::string_view origin, std::string_view host, bool over_tls);

// "application/json; charset=utf-8" is application/json.
bool is_media_type(std::string_view content_type, std::string_view wanted);

std::optional<Response> refuse_host(const Request& request, std::span<const std::string> names);

// Cross-site: 403, but for followed links. All but GET and HEAD: same-site or a foreign Origin 403,
// another body than the route's 415, also where there is no body: a form of another site cannot set
// the type.
std::optional<Response> refuse_sender(const Request& request, const Route& route);

}  // namespace tautmark
