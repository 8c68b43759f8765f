// SPDX-License-Identifier: Apache-2.0
// `tautmark serve --share`: from "only this machine" to "every tablet of the shop", in steps.
//
//   1. what sharing means (share_explanation)
//   2. somebody who may manage: the first account (ensure_manager)
//   3. addresses and certificates (share_addresses, certificate_folder, shop_certificate)
//   4. the server runs; the desk shows address, fingerprints and a code to scan (share_notice)
//   5. the tablet opens the address. It does not know the shop yet and warns: the person compares
//      the fingerprint of the connection with the desk, goes on once, and finds the trust page,
//      which leads to the shop's certificate. From then on there is no warning, and camera and
//      offline use work, which browsers give to trusted pages only.
//   6. the tablet is paired with the code of the desk; later it asks for a name and a PIN.
//
// There is no listener without encryption: what a tablet got over plain HTTP (a certificate, a page
// that tells a fingerprint) would be whatever somebody in between likes. For the same reason the
// trust page shows no fingerprint: only the desk's screen can be compared with.
#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "serve/certificate.h"
#include "serve/scan_code.h"
#include "store/database.h"

namespace tautmark {

// What may be said on the command line instead of being asked.
struct ShareOptions {
  std::vector<std::string> addresses;  // --address; default: the private ones of this machine
  std::vector<std::string> names;      // --name, as tautmark.local
  std::string manager;                 // --manager: the first account
  std::string password_file;           // --password-file: its first line is the password
  std::string certificates;            // --certificates: folder
};

// Where questions go. `terminal`: descriptor of the terminal behind `in`, so that nothing of a
// password is shown; -1: `in` is none, and there is nothing to hide.
struct Talk {
  std::istream& in;
  std::ostream& out;
  int terminal = -1;
};
// One line without blanks at its ends. Empty: no more input.
std::optional<std::string> ask_line(Talk& talk, std::string_view prompt);
// One line as it is typed, Backspace obeyed. Empty: no more input, Ctrl-C or Ctrl-D.
std::optional<std::string> ask_secret(Talk& talk, std::string_view prompt);

std::string share_explanation();

// The addresses under which tablets reach this machine; a sentence when there is none. `local`:
// local_addresses().
tl::expected<std::vector<std::string>, std::string> share_addresses(
    const ShareOptions& options, const std::vector<std::string>& local);

// Beside an embedded store ("shop.db.certificates"); for a server database in the state folder of
// the user (XDG base directories). `home`, `state`: HOME and XDG_STATE_HOME.
std::filesystem::path certificate_folder(const ShareOptions& options, const StoreAddress& store,
                                         const std::string& home, const std::string& state);

// Whether an account was made. Nothing is done when somebody is there who may manage and has a
// password; otherwise the options are used or, in a talk, name and password are asked for. Without
// a talk (nullptr) and without options: a sentence that says which to give.
tl::expected<bool, std::string> ensure_manager(const Database& database,
                                               const ShareOptions& options, Talk* talk);

// "https://192.168.20.31:8604/trust"; brackets around IPv6.
std::string share_url(const std::string& address, int port, std::string_view path);
// What the code to scan holds. The code stands behind #: it is never sent as part of an address.
std::string pair_url(const std::string& address, int port, std::string_view code);

struct ShareNotice {
  std::vector<std::string> addresses;  // the first one is in the code to scan
  int port = 0;
  std::string authority_fingerprint, server_fingerprint;
  bool authority_is_new = false;
  std::string pairing_code;  // new_pairing_code()
  TerminalCode terminal = TerminalCode::color;
};
std::string share_notice(const ShareNotice& notice);

}  // namespace tautmark
