// SPDX-License-Identifier: Apache-2.0
#include "cli/share_dialog.h"

#include <gtest/gtest.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>

#include <ctime>
#include <memory>

#include "http/test_client.h"
#include "support/temp_folder.h"

namespace tautmark::cli {
namespace {

constexpr std::int64_t kDay = 86'400;

// What a client is shown: the certificate itself (DER), by OpenSSL as a client.
std::string shown_fingerprint(int port) {
  const std::unique_ptr<SSL_CTX, decltype(&SSL_CTX_free)> context(SSL_CTX_new(TLS_client_method()),
                                                                  SSL_CTX_free);
  test::RawClient socket(port);
  const std::unique_ptr<SSL, decltype(&SSL_free)> ssl(SSL_new(context.get()), SSL_free);
  SSL_set_fd(ssl.get(), socket.descriptor());
  if (SSL_connect(ssl.get()) != 1) return {};
  const std::unique_ptr<X509, decltype(&X509_free)> shown(SSL_get1_peer_certificate(ssl.get()),
                                                          X509_free);
  unsigned char* bytes = nullptr;
  const int size = i2d_X509(shown.get(), &bytes);
  if (size <= 0) return {};
  const std::string der(reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size));
  OPENSSL_free(bytes);
  return fingerprint_text(der);
}

// Made so long ago that fewer than kRenewDays are left.
TEST(ShareDialog, TheCertificateOfARunningServerIsRenewed) {
  const test::TempFolder folder;
  Sharing sharing{folder.path() / "certificates", {"tautmark.home.arpa"}, {"192.168.20.31"}, {}};
  const std::int64_t made = std::time(nullptr) - (kServerDays - kRenewDays + 1) * kDay;
  const auto old = shop_certificate(sharing.folder, sharing.names, sharing.addresses, made);
  ASSERT_TRUE(old) << old.error();
  sharing.certificate = *old;
  ServerOptions options;
  options.tls = TlsFiles{old->server_file, old->server_file};
  test::RunningServer running(options, {});
  EXPECT_EQ(shown_fingerprint(running.server.port()), old->server_fingerprint);
  renew_certificate(sharing, running.server);
  const std::string renewed = sharing.certificate.server_fingerprint;
  EXPECT_NE(renewed, old->server_fingerprint);
  EXPECT_EQ(sharing.certificate.authority_fingerprint, old->authority_fingerprint);
  EXPECT_EQ(shown_fingerprint(running.server.port()), renewed);
  renew_certificate(sharing, running.server);  // nothing to do
  EXPECT_EQ(sharing.certificate.server_fingerprint, renewed);
}

}  // namespace
}  // namespace tautmark::cli
