// SPDX-License-Identifier: Apache-2.0
// Routes from the table of operations and their handlers: what openapi.json tells is what there is.
#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "base/quantity_text.h"
#include "serve/answer.h"
#include "serve/api_operations.h"
#include "serve/asset_answer.h"
#include "serve/handlers.h"
#include "serve/practice.h"
#include "serve/trust_page.h"

namespace tautmark {
namespace {

constexpr std::int64_t kMostJson = std::int64_t{4} << 20;

Response events(Shop& shop, Request& request) {
  EventStream stream;
  // A log-out, a new password, a disabled account or a revoked tablet end it with the next
  // heartbeat; an open page is no use of its session. A store that does not answer ends nothing.
  if (shop.options.is_shared)
    stream.goes_on = [&shop, token = request.cookie(kSessionCookie).value_or("")] {
      const auto session =
          session_of(*shop.people, token, now_microseconds(), SessionIs::looked_at);
      return session || session.error().trouble != StoreTrouble::not_found;
    };
  stream.wants = [topics = shop.options.topics,
                  only = asked(request, "case")](const std::string& topic) {
    return topic.starts_with(topics) && (only.empty() || topic == topics + only);
  };
  if (const auto last = read_integer(request.header("last-event-id"))) stream.after = *last;
  Response response;
  response.body = std::move(stream);
  return response;
}

constexpr Handler kEvents[] = {{"events", &events, nullptr, 0, true}};

// Where the page lies. The last three are spoken, printed and scanned ("/pair#K7QM-4TRX"); the page
// itself turns them into its own places (web/src/route.ts), since what stands behind # is not sent.
constexpr std::string_view kPageAt[] = {"/", "/login", "/pair", "/people"};

const Handler& handler_of(std::string_view id) {
  for (const std::span<const Handler> group :
       {std::span<const Handler>(kEvents), access_handlers(), account_handlers(), case_handlers(),
        entry_handlers(), finding_handlers(), work_handlers(), parts_handlers(), file_handlers(),
        trace_handlers(), clearance_handlers(), oil_handlers(), pack_handlers(),
        recording_handlers(), drive_handlers(), drive_text_handlers(), author_handlers(),
        quick_handlers(), practice_handlers()})
    for (const Handler& handler : group)
      if (handler.id == id) return handler;
  throw std::logic_error(fmt::format("no handler for {}", id));
}

// JSON also where there is no body: no page of another site can say that without being asked first.
std::string_view body_type_of(const ApiOperation& operation) {
  const auto* media = std::get_if<Media>(&operation.request);
  return media ? media->type : "application/json";
}

std::optional<Response> without_required(const Request& request, const ApiOperation& operation) {
  for (const QueryParameter& parameter : operation.query)
    if (parameter.required && asked(request, parameter.name).empty())
      return problem(400, "Wrong question",
                     fmt::format("{} is missing: {}", parameter.name, parameter.help));
  return std::nullopt;
}

// The store that a route works on, as it is asked for; or why there is none.
using ShopAsked = std::function<Answered<Shop*>()>;

Route api_route(std::string pattern, const ShopAsked& shop_asked, const ApiOperation& operation) {
  const Handler& handler = handler_of(operation.id);
  Route route;
  route.method = operation.method;
  route.pattern = std::move(pattern);
  route.needs_role = operation.role;
  route.body_type = body_type_of(operation);
  if (!std::holds_alternative<std::monostate>(operation.request))
    route.most_body = handler.most_body > 0 ? handler.most_body : kMostJson;
  route.work = handler.is_quick ? Work::at_once : Work::on_pool;
  if (handler.handle != nullptr)
    route.handle = [shop_asked, &operation, handle = handler.handle](Request& request) {
      if (auto wrong = without_required(request, operation)) return std::move(*wrong);
      const auto shop = shop_asked();
      return shop ? handle(**shop, request) : shop.error();
    };
  else
    route.take = [shop_asked, &operation,
                  take = handler.take](Request& request) -> std::variant<BodySink, Response> {
      if (auto wrong = without_required(request, operation)) return std::move(*wrong);
      const auto shop = shop_asked();
      if (!shop) return shop.error();
      return take(**shop, request);
    };
  return route;
}

// People are those of the shop, whatever store they work on; a quick answer needs no store; and
// nothing that a stranger asks opens the practice store.
bool is_of_the_shop(const ApiOperation& operation, bool is_shared) {
  const auto in = [&](std::span<const Handler> handlers) {
    return std::ranges::any_of(handlers,
                               [&](const Handler& handler) { return handler.id == operation.id; });
  };
  if (operation.id == "status") return is_shared;
  return in(access_handlers()) || in(account_handlers()) || in(quick_handlers());
}

void add_api(Shop& shop, Practice& practice, std::vector<Route>& all) {
  const ShopAsked shops = [&shop]() -> Answered<Shop*> { return &shop; };
  const ShopAsked practices = [&practice] { return practice.shop(); };
  for (const ApiOperation& operation : api_operations()) {
    const std::string pattern(operation.pattern);
    if (pattern.starts_with(kPractice)) {
      all.push_back(api_route(pattern, practices, operation));
      continue;
    }
    all.push_back(api_route(pattern, shops, operation));
    all.push_back(api_route(std::string(kPractice) + pattern,
                            is_of_the_shop(operation, shop.options.is_shared) ? shops : practices,
                            operation));
  }
}

// What anybody may see before logging in: the page without data, and how to trust it.
Route open_route(std::string_view pattern, std::function<Response(Request&)> handle) {
  Route route;
  route.method = "GET";
  route.pattern = pattern;
  route.needs_role = -1;
  route.work = Work::at_once;
  route.handle = std::move(handle);
  return route;
}

}  // namespace

std::vector<Route> routes(Shop& shop, Practice& practice) {
  std::vector<Route> all;
  add_api(shop, practice, all);
  for (const Asset& asset : all_assets()) {
    const auto handle = asset_handler(asset);
    all.push_back(open_route(asset.path, handle));
    if (asset.path == "/index.html")
      for (const std::string_view path : kPageAt) all.push_back(open_route(path, handle));
  }
  if (!shop.options.certificate.empty()) {
    all.push_back(open_route("/trust", [](Request& request) {
      const std::string in = asked(request, "in");
      Response response =
          text_response("text/html; charset=utf-8",
                        trust_page(trust_language(in, request.header("accept-language"))));
      response.headers.emplace_back("Vary", "Accept-Language");
      return response;
    }));
    all.push_back(open_route("/trust/certificate", [&shop](Request&) {
      Response response = text_response("application/x-x509-ca-cert", shop.options.certificate);
      response.headers.emplace_back("Content-Disposition",
                                    "attachment; filename=\"tautmark-shop.crt\"");
      return response;
    }));
  }
  return all;
}

}  // namespace tautmark
