// SPDX-License-Identifier: Apache-2.0
// Who is here: log-in, PIN, pairing, and what the program is.
#include <fmt/format.h>

#include "report/version.h"
#include "serve/answer.h"
#include "serve/api_operations.h"
#include "serve/handlers.h"
#include "serve/openapi.h"

namespace tautmark {
namespace {

constexpr std::int64_t kDay = 86'400;
constexpr std::int64_t kSessionSeconds = 30 * kDay;
constexpr std::int64_t kDeviceSeconds = 400 * kDay;  // browsers keep no cookie longer

std::string cookie(std::string_view name, std::string_view value, std::int64_t seconds,
                   bool over_tls) {
  return fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={}{}", name, value, seconds,
                     over_tls ? "; Secure" : "");
}

Me me_of(const LoginSession& session) {
  return {session.account.name, session.account.role, session.device, time_text(session.expires)};
}

Response logged_in(const Request& request, const NewSession& made) {
  Response response = answer(me_of(made.session));
  response.headers.emplace_back(
      "Set-Cookie", cookie(kSessionCookie, made.token, kSessionSeconds, request.over_tls));
  return response;
}

Response too_often(int seconds) {
  Response response =
      problem(429, "Too many tries", fmt::format("wait {} seconds before the next try", seconds));
  response.headers.emplace_back("Retry-After", std::to_string(seconds));
  return response;
}

// Guessing is slowed down before a password costs any work.
template <class Try>
Response tried(Shop& shop, const Request& request, const Try& log_in_now) {
  const std::int64_t now = now_microseconds();
  if (const int wait = shop.tries.wait_seconds(request.peer, now); wait > 0) return too_often(wait);
  const auto made = log_in_now(now);
  if (made) {
    shop.tries.note_right(request.peer);
    return logged_in(request, *made);
  }
  if (made.error().trouble != StoreTrouble::refused) return problem_of(made.error());
  shop.tries.note_wrong(request.peer, now);
  return problem(401, "Not logged in", made.error().message);
}

Response status(Shop& shop, Request&) {
  Status said;
  said.program = program_version();
  said.api = kApiVersion;
  const Database& database = shop.database();
  said.store_kind = database.kind() == DatabaseKind::embedded ? "embedded" : "server";
  said.read_only = database.is_read_only();
  said.shared = shop.options.is_shared;
  said.time = time_text(now_microseconds());
  const auto page = shop.cases.search("", 1);
  if (!page) return problem_of(page.error());
  // How many cases a shop has is nobody's business who is not of the shop.
  said.cases = shop.options.is_shared ? 0 : page->found;
  return answer(said);
}

Response openapi(Shop&, Request&) { return json_response(openapi_text()); }

Response log_in_here(Shop& shop, Request& request) {
  const auto asked = body_as<LoginRequest>(request);
  if (!asked) return asked.error();
  return tried(shop, request, [&](std::int64_t now) {
    return log_in(shop.database(), asked->name, asked->password, now);
  });
}

Response log_in_by_pin(Shop& shop, Request& request) {
  const auto asked = body_as<PinLogin>(request);
  if (!asked) return asked.error();
  const auto device = request.cookie(kDeviceCookie);
  if (!device) return problem(401, "Not a paired device", "pair this tablet first, at the desk");
  return tried(shop, request, [&](std::int64_t now) {
    return log_in_with_pin(shop.database(), *device, asked->name, asked->pin, now);
  });
}

Response log_out_here(Shop& shop, Request& request) {
  if (const auto token = request.cookie(kSessionCookie)) {
    const auto done = log_out(shop.database(), *token, now_microseconds());
    if (!done && done.error().trouble != StoreTrouble::not_found) return problem_of(done.error());
  }
  Response response = nothing_more();
  response.headers.emplace_back("Set-Cookie", cookie(kSessionCookie, "", 0, request.over_tls));
  return response;
}

Response me(Shop& shop, Request& request) {
  if (!shop.options.is_shared) return answer(Me{request.seat, Role::manage, {}, {}});
  const auto session =
      session_of(shop.database(), request.cookie(kSessionCookie).value_or(""), now_microseconds());
  if (!session) return problem_of(session.error());
  return answer(me_of(*session));
}

Response pair(Shop& shop, Request& request) {
  const auto asked = body_as<PairRequest>(request);
  if (!asked) return asked.error();
  const std::int64_t now = now_microseconds();
  if (const int wait = shop.tries.wait_seconds(request.peer, now); wait > 0) return too_often(wait);
  const auto token = pair_device(shop.database(), asked->code, asked->name, now);
  if (!token) {
    if (token.error().trouble != StoreTrouble::unreachable)
      shop.tries.note_wrong(request.peer, now);
    return problem_of(token.error());
  }
  shop.tries.note_right(request.peer);
  Response response = nothing_more();
  response.headers.emplace_back("Set-Cookie",
                                cookie(kDeviceCookie, *token, kDeviceSeconds, request.over_tls));
  return response;
}

// "anna, tablet bay 2"
std::string seat_of(const LoginSession& session) {
  return session.device.empty() ? session.account.name
                                : session.account.name + ", " + session.device;
}

}  // namespace

std::optional<Response> gate(Shop& shop, Request& request, const Route& route) {
  if (!shop.options.is_shared) {
    request.seat = shop.options.seat;
    request.role = static_cast<int>(Role::manage);
    return std::nullopt;
  }
  if (route.needs_role < 0) return std::nullopt;
  const auto token = request.cookie(kSessionCookie);
  if (!token) return problem(401, "Not logged in", "log in first");
  const auto session = session_of(shop.database(), *token, now_microseconds());
  if (!session) {
    if (session.error().trouble == StoreTrouble::not_found)
      return problem(401, "Not logged in", "the session has ended; log in again");
    return problem_of(session.error());
  }
  request.seat = seat_of(*session);
  request.role = static_cast<int>(session->account.role);
  if (request.role >= route.needs_role) return std::nullopt;
  return problem(403, "Not allowed",
                 fmt::format("{} may {}; this needs somebody who may {}", session->account.name,
                             role_name(session->account.role),
                             role_name(static_cast<Role>(route.needs_role))));
}

std::span<const Handler> access_handlers() {
  static constexpr Handler kHandlers[] = {
      {"status", &status},       {"openapi", &openapi, nullptr, 0, true},
      {"logIn", &log_in_here},   {"logInWithPin", &log_in_by_pin},
      {"logOut", &log_out_here}, {"me", &me},
      {"pair", &pair},
  };
  return kHandlers;
}

}  // namespace tautmark
