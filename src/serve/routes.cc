// SPDX-License-Identifier: Apache-2.0
// Routes from the table of operations and their handlers: what openapi.json tells is what there is.
#include <fmt/format.h>

#include <stdexcept>

#include "base/quantity_text.h"
#include "serve/answer.h"
#include "serve/api_operations.h"
#include "serve/asset_answer.h"
#include "serve/handlers.h"

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
          session_of(shop.database(), token, now_microseconds(), SessionIs::looked_at);
      return session || session.error().trouble != StoreTrouble::not_found;
    };
  if (const std::string only = asked(request, "case"); !only.empty())
    stream.wants = [only](const std::string& topic) { return topic == only; };
  if (const auto last = read_integer(request.header("last-event-id"))) stream.after = *last;
  Response response;
  response.body = std::move(stream);
  return response;
}

constexpr Handler kEvents[] = {{"events", &events, nullptr, 0, true}};

// Pages under a path without an ending.
constexpr std::pair<std::string_view, std::string_view> kPages[] = {{"/", "/index.html"},
                                                                    {"/login", "/login.html"},
                                                                    {"/pair", "/pair.html"},
                                                                    {"/people", "/people.html"}};

const Handler& handler_of(std::string_view id) {
  for (const std::span<const Handler> group :
       {std::span<const Handler>(kEvents), access_handlers(), account_handlers(), case_handlers(),
        entry_handlers(), finding_handlers(), file_handlers(), pack_handlers(),
        recording_handlers(), drive_handlers()})
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

Route api_route(Shop& shop, const ApiOperation& operation) {
  const Handler& handler = handler_of(operation.id);
  Route route;
  route.method = operation.method;
  route.pattern = operation.pattern;
  route.needs_role = operation.role;
  route.body_type = body_type_of(operation);
  if (!std::holds_alternative<std::monostate>(operation.request))
    route.most_body = handler.most_body > 0 ? handler.most_body : kMostJson;
  route.work = handler.is_quick ? Work::at_once : Work::on_pool;
  if (handler.handle != nullptr)
    route.handle = [&shop, &operation, handle = handler.handle](Request& request) {
      auto wrong = without_required(request, operation);
      return wrong ? std::move(*wrong) : handle(shop, request);
    };
  else
    route.take = [&shop, &operation,
                  take = handler.take](Request& request) -> std::variant<BodySink, Response> {
      if (auto wrong = without_required(request, operation)) return std::move(*wrong);
      return take(shop, request);
    };
  return route;
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

std::vector<Route> routes(Shop& shop) {
  std::vector<Route> all;
  for (const ApiOperation& operation : api_operations()) all.push_back(api_route(shop, operation));
  for (const Asset& asset : all_assets()) {
    const auto handle = asset_handler(asset);
    all.push_back(open_route(asset.path, handle));
    for (const auto& [path, file] : kPages)
      if (file == asset.path) all.push_back(open_route(path, handle));
  }
  if (!shop.options.trust_page.empty()) {
    all.push_back(open_route("/trust", [&shop](Request&) {
      return text_response("text/html; charset=utf-8", shop.options.trust_page);
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
