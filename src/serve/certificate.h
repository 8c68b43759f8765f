// SPDX-License-Identifier: Apache-2.0
// The shop's own certificates. An authority (a CA) is made once, and a tablet trusts it once; it
// signs the certificate of the server, which is renewed in silence. The authority can only vouch
// for addresses of private networks and for the names and addresses it was made with (X.509 name
// constraints, RFC 5280 section 4.2.1.10): a stolen key opens no other site on the tablets.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace tautmark {

struct ShopCertificate {
  std::string server_file;    // PEM: key, certificate and authority; only the owner may read it
  std::string authority_der;  // what a tablet trusts (application/x-x509-ca-cert)
  std::string authority_fingerprint, server_fingerprint;  // as fingerprint_text() gives them
  std::int64_t server_until = 0, authority_until = 0;     // seconds UTC
  bool server_is_new = false;
  bool authority_is_new = false;  // every tablet has to trust it anew
};

inline constexpr int kServerDays = 397;  // the most that browsers take
inline constexpr int kRenewDays = 30;    // renewed when fewer are left
inline constexpr int kAuthorityDays = 3652;

// Reads the certificates in `folder` (made with mode 0700 if it is missing), and makes what is
// missing, runs out, or does not hold all `names` and `addresses`; "localhost" and the loopback
// addresses are always held. Each file is written whole or not at all. A file that cannot be read
// is an error and stays: a new authority is not made behind anybody's back.
tl::expected<ShopCertificate, std::string> shop_certificate(
    const std::filesystem::path& folder, const std::vector<std::string>& names,
    const std::vector<std::string>& addresses, std::int64_t now_seconds);

// SHA-256 of a certificate (DER) in 16 groups of four to be read aloud: "3F2A 91C0 …".
std::string fingerprint_text(std::string_view der);

// Addresses of this machine in its networks, IPv4 first; no loopback, no link-local.
std::vector<std::string> local_addresses();
// Of a private network: RFC 1918, RFC 4193, RFC 6598, loopback. False for what is no address.
bool is_private_address(const std::string& address);

}  // namespace tautmark
