// SPDX-License-Identifier: Apache-2.0
#include "cli/share_dialog.h"

#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <iostream>

#include "cli/commands.h"
#include "store/accounts.h"

namespace tautmark::cli {
namespace {

std::string set_in(const char* variable) {
  const char* value = std::getenv(variable);
  return value == nullptr ? std::string() : std::string(value);
}

tl::unexpected<int> cannot(const std::string& sentence) {
  fmt::print(stderr, "error: {}\n", sentence);
  return tl::make_unexpected(kExitInput);
}

constexpr std::int64_t kMicroseconds = 1'000'000;

// One kind of address is told to tablets and listened on: those of IPv4 where there are some.
std::vector<std::string> of_one_kind(std::vector<std::string> addresses) {
  const auto is_six = [](const std::string& address) {
    return address.find(':') != std::string::npos;
  };
  if (!std::all_of(addresses.begin(), addresses.end(), is_six)) std::erase_if(addresses, is_six);
  return addresses;
}

}  // namespace

void add_share_options(CLI::App& serve, ShareArguments& arguments) {
  CLI::Option* share = serve.add_flag("--share", arguments.share,
                                      "For the tablets of the shop: encrypted, everybody logs in");
  serve
      .add_option("--address", arguments.options.addresses,
                  "Address under which tablets reach this machine; may be repeated")
      ->needs(share);
  serve
      .add_option("--name", arguments.options.names,
                  "Name under which they reach it; may be repeated")
      ->needs(share);
  serve.add_option("--manager", arguments.options.manager, "Name of the first account")
      ->needs(share);
  serve
      .add_option("--password-file", arguments.options.password_file,
                  "Its first line is the password of the first account")
      ->needs(share);
  serve
      .add_option("--certificates", arguments.options.certificates,
                  "Folder of the shop's certificates; default: beside the store")
      ->needs(share);
}

tl::expected<Sharing, int> prepare_sharing(const ShareArguments& arguments,
                                           const Database& database, ShopOptions& shop,
                                           ServerOptions& server) {
  const bool talks = isatty(STDIN_FILENO) != 0;
  Talk talk{std::cin, std::cerr, talks ? STDIN_FILENO : -1};
  if (talks) std::cerr << share_explanation() << std::flush;
  const auto made = ensure_manager(database, arguments.options, talks ? &talk : nullptr);
  if (!made) return cannot(made.error());
  // An address that is listened on is the one that tablets can reach.
  ShareOptions asked = arguments.options;
  const bool listens_to_all = server.address == "0.0.0.0" || server.address == "::";
  if (asked.addresses.empty() && !listens_to_all) asked.addresses = {server.address};
  const auto all = share_addresses(asked, local_addresses());
  if (!all) return cannot(all.error());
  const auto addresses = asked.addresses.empty() ? of_one_kind(*all) : *all;
  if (listens_to_all && addresses.front().find(':') != std::string::npos) server.address = "::";
  const auto folder = certificate_folder(arguments.options, database.address(), set_in("HOME"),
                                         set_in("XDG_STATE_HOME"));
  const auto certificate = shop_certificate(folder, arguments.options.names, addresses,
                                            now_microseconds() / kMicroseconds);
  if (!certificate) return cannot(certificate.error());
  shop.is_shared = true;
  shop.certificate = certificate->authority_der;
  server.tls = TlsFiles{certificate->server_file, certificate->server_file};
  server.host_names = arguments.options.names;
  server.host_names.insert(server.host_names.end(), addresses.begin(), addresses.end());
  return Sharing{folder, arguments.options.names, addresses, *certificate};
}

void tell_sharing(const Sharing& sharing, const Database& database, const std::string& seat,
                  int port) {
  ShareNotice notice;
  notice.addresses = sharing.addresses;
  notice.port = port;
  notice.authority_fingerprint = sharing.certificate.authority_fingerprint;
  notice.server_fingerprint = sharing.certificate.server_fingerprint;
  notice.authority_is_new = sharing.certificate.authority_is_new;
  if (const auto code = new_pairing_code(database, seat, now_microseconds()))
    notice.pairing_code = *code;
  notice.terminal =
      terminal_code(isatty(STDOUT_FILENO) != 0, set_in("NO_COLOR"), set_in("COLORFGBG"));
  fmt::print("{}", share_notice(notice));
}

void renew_certificate(Sharing& sharing, Server& server) {
  const auto now = shop_certificate(sharing.folder, sharing.names, sharing.addresses,
                                    now_microseconds() / kMicroseconds);
  if (!now) {
    fmt::print(stderr, "The certificate was looked at: {}\n", now.error());
    return;
  }
  if (now->server_fingerprint == sharing.certificate.server_fingerprint) return;
  try {
    server.renew_tls({now->server_file, now->server_file});
    sharing.certificate = *now;
  } catch (const std::runtime_error& error) {
    fmt::print(stderr, "The renewed certificate is not used: {}\n", error.what());
  }
  if (now->authority_is_new)
    fmt::print(stderr,
               "The shop has a new certificate. End sharing and start it again; then every tablet "
               "has to trust it.\n");
}

}  // namespace tautmark::cli
