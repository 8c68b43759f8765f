// SPDX-License-Identifier: Apache-2.0
// Who is here: log-in, PIN, pairing, and what the program is.
#include <fmt/format.h>

#include <algorithm>

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

constexpr std::string_view kPinIsNotEnough =
    "with a PIN you may write at most; log in with your password for this";

// Four digits are not enough for what cannot be undone.
Role role_in(const LoginSession& session) {
  return session.device.empty() ? session.account.role
                                : std::min(session.account.role, Role::write);
}

Me me_of(const LoginSession& session) {
  Me said{session.account.name, role_in(session), session.device, time_text(session.expires), {}};
  if (said.role != session.account.role) said.note = kPinIsNotEnough;
  return said;
}

Response logged_in(const Request& request, const NewSession& made) {
  Response response = answer(me_of(made.session));
  response.headers.emplace_back(
      "Set-Cookie", cookie(kSessionCookie, made.token, kSessionSeconds, request.over_tls));
  return response;
}

bool is_paired_device(Shop& shop, const Request& request) {
  const auto device = request.cookie(kDeviceCookie);
  return device && is_paired(*shop.people, *device).value_or(false);
}

// Slows guessing down before it costs any work: `act` checks the password of `name`. A try that
// ends by another trouble than a wrong password counts for nothing.
template <class Act>
auto tried(Shop& shop, const Request& request, const std::string& name, const Act& act)
    -> Answered<typename decltype(act(std::int64_t{}))::value_type> {
  const std::int64_t now = now_microseconds();
  if (const int wait = shop.tries.wait_seconds(request.peer, now); wait > 0)
    return answer_with(too_often(wait));
  const std::string key = name_key(name);
  if (const int wait = shop.tries_of_name.wait_seconds(key, now);
      wait > 0 && !is_paired_device(shop, request)) {
    shop.tries.note_let_go(request.peer);
    return answer_with(too_often(wait));
  }
  auto done = act(now);
  if (done) {
    shop.tries.note_right(request.peer);
    shop.tries_of_name.note_right(key);
    return std::move(*done);
  }
  if (done.error().trouble == StoreTrouble::refused) {
    shop.tries.note_wrong(request.peer, now);
    shop.tries_of_name.note_wrong(key, now);
  } else {
    shop.tries.note_let_go(request.peer);
    shop.tries_of_name.note_let_go(key);
  }
  return answer_with(done.error().trouble == StoreTrouble::refused
                         ? problem(401, "Not logged in", done.error().message)
                         : problem_of(done.error()));
}

Response status(Shop& shop, Request& request) {
  Status said;
  said.program = program_version();
  said.api = kApiVersion;
  const Database& database = shop.database();
  said.store_kind = database.kind() == DatabaseKind::embedded ? "embedded" : "server";
  said.read_only = database.is_read_only();
  said.shared = shop.options.is_shared;
  said.paired = is_paired_device(shop, request);
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
  const auto made = tried(shop, request, asked->name, [&](std::int64_t now) {
    return log_in(shop.database(), asked->name, asked->password, now);
  });
  return made ? logged_in(request, *made) : made.error();
}

Response log_in_by_pin(Shop& shop, Request& request) {
  const auto asked = body_as<PinLogin>(request);
  if (!asked) return asked.error();
  const auto device = request.cookie(kDeviceCookie);
  if (!device) return problem(401, "Not a paired device", "pair this tablet first, at the desk");
  const auto made = tried(shop, request, asked->name, [&](std::int64_t now) {
    return log_in_with_pin(shop.database(), *device, asked->name, asked->pin, now);
  });
  if (!made) return made.error();
  Response response = logged_in(request, *made);
  // A tablet that is used stays paired, however long.
  response.headers.emplace_back("Set-Cookie",
                                cookie(kDeviceCookie, *device, kDeviceSeconds, request.over_tls));
  return response;
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
  if (!shop.options.is_shared) return answer(Me{request.seat, Role::manage, {}, {}, {}});
  const auto session =
      session_of(shop.database(), request.cookie(kSessionCookie).value_or(""), now_microseconds());
  if (!session) return problem_of(session.error());
  return answer(me_of(*session));
}

Response change_me(Shop& shop, Request& request) {
  const auto asked = body_as<OwnChange>(request);
  if (!asked) return asked.error();
  if (!shop.options.is_shared)
    return problem(409, "Nobody logs in here", "without sharing there are no accounts");
  const Database& database = shop.database();
  const auto session = session_of(database, request.cookie(kSessionCookie).value_or(""),
                                  now_microseconds(), SessionIs::looked_at);
  if (!session) return problem_of(session.error());
  const std::string& name = session->account.name;
  const auto confirmed = tried(shop, request, name, [&](std::int64_t) -> Stored<bool> {
    const auto right = confirm_password(database, name, asked->old_password);
    if (!right) return tl::make_unexpected(right.error());
    return true;
  });
  // Not 401: who has a session stays logged in when the old password was mistyped.
  if (!confirmed && confirmed.error().status == 401)
    return problem(422, "Refused", "this is not your password as it is now");
  if (!confirmed) return confirmed.error();
  const auto done = change_account(database, name, {.password = asked->password, .pin = asked->pin},
                                   request.seat);
  return done ? nothing_more() : problem_of(done.error());
}

Response pair(Shop& shop, Request& request) {
  const auto asked = body_as<PairRequest>(request);
  if (!asked) return asked.error();
  const std::int64_t now = now_microseconds();
  if (const int wait = shop.tries.wait_seconds(request.peer, now); wait > 0) return too_often(wait);
  const auto token = pair_device(shop.database(), asked->code, asked->name, now);
  if (!token) {
    if (token.error().trouble == StoreTrouble::refused)
      shop.tries.note_wrong(request.peer, now);
    else
      shop.tries.note_let_go(request.peer);
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
  request.role = static_cast<int>(role_in(*session));
  // The browser keeps the cookie 30 days from when it was set: that is to follow the session.
  if (session->is_new_day)
    request.answer_headers.emplace_back(
        "Set-Cookie", cookie(kSessionCookie, *token, kSessionSeconds, request.over_tls));
  if (request.role >= route.needs_role) return std::nullopt;
  if (static_cast<int>(session->account.role) >= route.needs_role)
    return problem(403, "Not allowed", std::string(kPinIsNotEnough));
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
      {"changeMe", &change_me},  {"pair", &pair},
  };
  return kHandlers;
}

}  // namespace tautmark
