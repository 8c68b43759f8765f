// SPDX-License-Identifier: Apache-2.0
// Certificates are looked at by the openssl program, with its own verification.
#include "serve/certificate.h"

#include <gtest/gtest.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <memory>

#include "base/text.h"
#include "serve/test_program.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;
using test::output_of;
using test::TempFolder;

constexpr std::int64_t kNow = 1'800'000'000;  // 2027-01-15
constexpr std::int64_t kDay = 86400;
const std::vector<std::string> kNames = {"tautmark.local"};
const std::vector<std::string> kAddresses = {"192.168.20.31", "fd00::12"};

ShopCertificate made(const TempFolder& folder, std::int64_t now = kNow,
                     const std::vector<std::string>& names = kNames,
                     const std::vector<std::string>& addresses = kAddresses) {
  const auto result = shop_certificate(folder.path() / "tls", names, addresses, now);
  EXPECT_TRUE(result) << (result ? "" : result.error());
  return result.value_or(ShopCertificate{});
}

std::string bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// openssl verify, with a host or an address that the certificate must hold.
std::string verified(const TempFolder& folder, const std::string& more, std::int64_t now = kNow) {
  const std::string tls = (folder.path() / "tls").string();
  return output_of("openssl verify -x509_strict -purpose sslserver -attime " + std::to_string(now) +
                   " -CAfile " + tls + "/authority.pem " + more + " " + tls + "/server.pem 2>&1");
}

TEST(Certificate, HoldsUnderTheRulesOfAnotherProgram) {
  if (!test::has_program("openssl")) GTEST_SKIP() << "no openssl here";
  const TempFolder folder;
  const ShopCertificate first = made(folder);
  EXPECT_TRUE(first.authority_is_new && first.server_is_new);
  for (const char* each :
       {"-verify_ip 192.168.20.31", "-verify_ip fd00::12", "-verify_ip ::1", "-verify_ip 127.0.0.1",
        "-verify_hostname localhost", "-verify_hostname tautmark.local"})
    EXPECT_TRUE(contains(verified(folder, each), "server.pem: OK")) << verified(folder, each);
  for (const char* each : {"-verify_ip 192.168.20.32", "-verify_hostname example.org"})
    EXPECT_TRUE(contains(verified(folder, each), "mismatch")) << verified(folder, each);
  EXPECT_TRUE(contains(verified(folder, "", kNow + 398 * kDay), "expired"));

  const std::string tls = (folder.path() / "tls").string();
  const std::string authority =
      output_of("openssl x509 -noout -text -in " + tls + "/authority.pem");
  for (const char* each :
       {"CA:TRUE, pathlen:0", "Certificate Sign", "X509v3 Name Constraints: critical", "prime256v1",
        "ecdsa-with-SHA256", "Not After : Jan 13 08:00:00 2037 GMT"})
    EXPECT_TRUE(contains(authority, each)) << each << authority;
  const std::string server = output_of("openssl x509 -noout -text -in " + tls + "/server.pem");
  for (const char* each :
       {"CA:FALSE", "Digital Signature", "TLS Web Server Authentication", "DNS:tautmark.local",
        "IP Address:192.168.20.31", "Not Before: Jan 14 08:00:00 2027 GMT",
        "Not After : Feb 15 08:00:00 2028 GMT"})
    EXPECT_TRUE(contains(server, each)) << each << server;
  const std::string shown =
      output_of("openssl x509 -noout -fingerprint -sha256 -in " + tls + "/authority.pem");
  EXPECT_EQ(
      replaced(replaced(std::string(trimmed(shown.substr(shown.find('=') + 1))), ":", ""), " ", ""),
      replaced(first.authority_fingerprint, " ", ""));
  EXPECT_EQ(first.authority_fingerprint.size(), 16U * 4 + 15);
}

TEST(Certificate, KeysAreForTheOwnerAlone) {
  const TempFolder folder;
  made(folder);
  for (const auto& [name, mode] : {std::pair{"tls", 0700U}, std::pair{"tls/authority.pem", 0600U},
                                   std::pair{"tls/server.pem", 0600U}}) {
    struct stat found {};
    ASSERT_EQ(stat((folder.path() / name).c_str(), &found), 0);
    EXPECT_EQ(found.st_mode & 07777U, mode) << name;
  }
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path() / "tls"), {}), 2);
}

TEST(Certificate, TheServersIsRenewedTheAuthoritysStays) {
  const TempFolder folder;
  const ShopCertificate first = made(folder);
  const std::string before = bytes_of(first.server_file);
  const ShopCertificate again = made(folder, kNow + (kServerDays - 1 - kRenewDays) * kDay);
  EXPECT_FALSE(again.server_is_new || again.authority_is_new);
  EXPECT_EQ(bytes_of(first.server_file), before);
  // One day more: 29 days and some hours are left.
  const ShopCertificate later = made(folder, kNow + (kServerDays - kRenewDays) * kDay);
  EXPECT_TRUE(later.server_is_new);
  EXPECT_FALSE(later.authority_is_new);
  EXPECT_EQ(later.authority_der, first.authority_der);
  const ShopCertificate moved = made(folder, kNow, kNames, {"10.1.2.3"});
  EXPECT_TRUE(moved.server_is_new);
  EXPECT_FALSE(moved.authority_is_new);
  // Near its end there is a new authority, and no certificate outlives the one that signed it.
  const ShopCertificate old = made(folder, kNow + (kAuthorityDays - 100) * kDay);
  EXPECT_EQ(old.server_until, old.authority_until);
  const ShopCertificate over = made(folder, kNow + (kAuthorityDays - 20) * kDay);
  EXPECT_TRUE(over.authority_is_new && over.server_is_new);
  EXPECT_NE(over.authority_fingerprint, first.authority_fingerprint);
}

// Checked by hand with the library: a stolen key of the authority opens nothing else.
TEST(Certificate, TheAuthorityVouchesForTheShopAlone) {
  const TempFolder folder;
  made(folder);
  const ShopCertificate other = made(folder, kNow, {"bench.local"}, {"172.20.1.1"});
  EXPECT_FALSE(other.authority_is_new);
  const ShopCertificate foreign = made(folder, kNow, {"example.org"}, {"192.168.20.31"});
  EXPECT_TRUE(foreign.authority_is_new);
  const ShopCertificate open = made(folder, kNow, kNames, {"203.0.113.5"});
  EXPECT_TRUE(open.authority_is_new);
  EXPECT_FALSE(made(folder, kNow, kNames, {"203.0.113.5"}).authority_is_new);
  EXPECT_TRUE(made(folder, kNow, kNames, {"203.0.113.6"}).authority_is_new);
}

TEST(Certificate, ADamagedFileStaysAndIsNamed) {
  const TempFolder folder;
  made(folder);
  const fs::path authority = folder.path() / "tls/authority.pem";
  const std::string whole = bytes_of(authority);
  for (const std::string& text : {std::string(), whole.substr(0, whole.size() / 2),
                                  whole.substr(0, 100), std::string("nonsense")}) {
    std::ofstream(authority, std::ios::binary) << text;
    const auto result = shop_certificate(folder.path() / "tls", kNames, kAddresses, kNow);
    ASSERT_FALSE(result);
    EXPECT_TRUE(contains(result.error(), "authority.pem is damaged")) << result.error();
    EXPECT_EQ(bytes_of(authority), text);
  }
}

TEST(Certificate, RefusesNamesThatAreNone) {
  const TempFolder folder;
  for (const char* name : {"", "a,DNS:example.org", "a b", "..", "*", "x\ny", "ü"})
    EXPECT_FALSE(shop_certificate(folder.path() / "tls", {name}, {}, kNow)) << name;
  for (const char* address : {"", "1.2.3", "1.2.3.4/24", "fe80::1%eth0", "a"})
    EXPECT_FALSE(shop_certificate(folder.path() / "tls", {}, {address}, kNow)) << address;
  EXPECT_FALSE(fs::exists(folder.path() / "tls"));
}

TEST(Certificate, PrivateAddresses) {
  for (const char* each : {"10.0.0.1", "10.255.255.255", "172.16.0.1", "172.31.9.9", "192.168.0.1",
                           "100.64.0.1", "100.127.0.1", "127.0.0.1", "::1", "fd12::1", "fc00::"})
    EXPECT_TRUE(is_private_address(each)) << each;
  for (const char* each : {"9.255.255.255", "11.0.0.1", "172.15.0.1", "172.32.0.1", "192.169.0.1",
                           "100.63.0.1", "100.128.0.1", "2001:db8::1", "fe80::1", "", "x"})
    EXPECT_FALSE(is_private_address(each)) << each;
}

// `hostname -I`: all addresses of the machine but loopback and IPv6 link-local ones.
TEST(Certificate, LocalAddressesAreTheOnesTheSystemTells) {
  if (!test::has_program("hostname")) GTEST_SKIP() << "no hostname here";
  std::vector<std::string> told;
  for (const std::string& each : split(replaced(output_of("hostname -I"), "\n", ""), ' '))
    if (!each.empty() && !each.starts_with("169.254.")) told.push_back(each);
  std::vector<std::string> ours = local_addresses();
  std::sort(told.begin(), told.end());
  std::sort(ours.begin(), ours.end());
  EXPECT_EQ(ours, told);
}

}  // namespace
}  // namespace tautmark
