// SPDX-License-Identifier: Apache-2.0
#include "serve/share.h"

#include <arpa/inet.h>
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

// "3F2A 91C0 …" in two lines, so that the eye finds its place again.
std::string two_lines(const std::string& fingerprint, std::string_view indent) {
  constexpr std::size_t kHalf = 39;  // eight groups of four, and the blanks between them
  if (fingerprint.size() <= kHalf) return fmt::format("{}{}\n", indent, fingerprint);
  return fmt::format("{0}{1}\n{0}{2}\n", indent, fingerprint.substr(0, kHalf),
                     fingerprint.substr(kHalf + 1));
}

bool is_address(const std::string& text) {
  in6_addr any{};
  return inet_pton(AF_INET, text.c_str(), &any) == 1 ||
         inet_pton(AF_INET6, text.c_str(), &any) == 1;
}

// "FD00:0:0::2" is fd00::2 in what a browser sends (RFC 5952).
std::string as_browsers_write(const std::string& address) {
  in6_addr six{};
  char text[INET6_ADDRSTRLEN];
  const bool is_six = inet_pton(AF_INET6, address.c_str(), &six) == 1;
  return is_six && inet_ntop(AF_INET6, &six, text, sizeof text) ? std::string(text) : address;
}

bool is_loopback_or_any(const std::string& address) {
  return address.starts_with("127.") || address == "::1" || address == "0.0.0.0" || address == "::";
}

}  // namespace

std::string share_explanation() {
  return "Sharing lets the tablets and computers of your network open Tautmark on this machine.\n"
         "\n"
         "  * Everybody logs in. Who did what is kept.\n"
         "  * Everything on the way is encrypted, with a certificate that this machine makes.\n"
         "  * Each tablet has to trust that certificate once, and is paired once.\n"
         "  * Share in the shop's own network only, not in one that customers use.\n"
         "  * The cases stay on this machine. While it is off, nobody can open them.\n"
         "\n";
}

tl::expected<std::vector<std::string>, std::string> share_addresses(
    const ShareOptions& options, const std::vector<std::string>& local) {
  for (const std::string& address : options.addresses)
    if (!is_address(address) || is_loopback_or_any(address))
      return tl::make_unexpected(fmt::format(
          "--address {}: give an address of this machine in the shop's network, for example "
          "192.168.20.31.",
          address));
  if (!options.addresses.empty()) {
    std::vector<std::string> plain;
    for (const std::string& address : options.addresses)
      plain.push_back(as_browsers_write(address));
    return plain;
  }
  std::vector<std::string> found;
  std::copy_if(local.begin(), local.end(), std::back_inserter(found), is_private_address);
  if (!found.empty()) return found;
  if (local.empty())
    return tl::make_unexpected(
        std::string("This machine is in no network. Connect it to the shop's network, then share "
                    "again."));
  return tl::make_unexpected(fmt::format(
      "This machine has only the address {}, which is of the open internet. Put it behind the "
      "shop's router, or say that you want this with --address {}.",
      local.front(), local.front()));
}

std::filesystem::path certificate_folder(const ShareOptions& options, const StoreAddress& store,
                                         const std::string& home, const std::string& state) {
  if (!options.certificates.empty()) return options.certificates;
  if (store.kind == DatabaseKind::embedded) return store.text + ".certificates";
  const std::filesystem::path folder =
      !state.empty() ? std::filesystem::path(state) : std::filesystem::path(home) / ".local/state";
  return folder / "tautmark" / "certificates";
}

std::string share_url(const std::string& address, int port, std::string_view path) {
  const bool is_six = address.find(':') != std::string::npos;
  return fmt::format("https://{}{}{}:{}{}", is_six ? "[" : "", address, is_six ? "]" : "", port,
                     path);
}

std::string pair_url(const std::string& address, int port, std::string_view code) {
  return share_url(address, port, fmt::format("/pair#{}", code));
}

std::string share_notice(const ShareNotice& notice) {
  std::string text;
  if (notice.authority_is_new)
    text += "The shop has a new certificate: every tablet has to trust it (steps 1 to 3).\n\n";
  text += "Open on a tablet of the same network:\n";
  for (const std::string& address : notice.addresses)
    text += fmt::format("  {}\n", share_url(address, notice.port, "/"));
  if (!notice.addresses.empty()) {
    const auto code =
        scan_code(pair_url(notice.addresses.front(), notice.port, notice.pairing_code));
    if (code)
      text += "or scan this with its camera:\n\n" + terminal_text(*code, notice.terminal) + "\n";
  }
  text += fmt::format(
      "A new tablet, once:\n"
      "  1. Open the address. The tablet warns that it does not know this machine. Let it show "
      "the\n"
      "     certificate; its SHA-256 fingerprint must be this one, all of it:\n"
      "{}"
      "     If it is another, stop: somebody stands in between.\n"
      "  2. Go on this once, and open the page {}.\n"
      "     It leads through trusting the shop's certificate, whose fingerprint is:\n"
      "{}"
      "  3. Close the page and open the address again: no warning now.\n"
      "  4. Pair the tablet with the code  {}  (good for 10 minutes, for one tablet).\n"
      "\n"
      "Ctrl-C ends sharing.\n",
      two_lines(notice.server_fingerprint, "       "),
      notice.addresses.empty() ? std::string("/trust")
                               : share_url(notice.addresses.front(), notice.port, "/trust"),
      two_lines(notice.authority_fingerprint, "       "), notice.pairing_code);
  return text;
}

}  // namespace tautmark
