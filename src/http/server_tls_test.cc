// SPDX-License-Identifier: Apache-2.0
// The same over TLS, with a certificate made here.
#include <gtest/gtest.h>
#include <openssl/err.h>
#include <openssl/pem.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>

#include <cstdio>
#include <memory>

#include "http/test_client.h"
#include "support/temp_folder.h"

using namespace tautmark;
using namespace tautmark::test;

namespace {

using KeyPtr = std::unique_ptr<EVP_PKEY, decltype(&EVP_PKEY_free)>;
using FilePtr = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

// Self-signed, P-256, valid for a day.
TlsFiles make_certificate(const std::string& folder, const std::string& name) {
  const KeyPtr key(EVP_EC_gen("P-256"), EVP_PKEY_free);
  const std::unique_ptr<X509, decltype(&X509_free)> certificate(X509_new(), X509_free);
  X509_set_version(certificate.get(), 2);
  ASN1_INTEGER_set(X509_get_serialNumber(certificate.get()), 1);
  X509_gmtime_adj(X509_getm_notBefore(certificate.get()), -60);
  X509_gmtime_adj(X509_getm_notAfter(certificate.get()), 86400);
  X509_set_pubkey(certificate.get(), key.get());
  X509_NAME* subject = X509_get_subject_name(certificate.get());
  X509_NAME_add_entry_by_txt(subject, "CN", MBSTRING_ASC,
                             reinterpret_cast<const unsigned char*>("localhost"), -1, -1, 0);
  X509_set_issuer_name(certificate.get(), subject);
  X509_sign(certificate.get(), key.get(), EVP_sha256());
  TlsFiles files{folder + "/" + name + ".pem", folder + "/" + name + ".key"};
  const FilePtr to(std::fopen(files.certificate.c_str(), "w"), std::fclose);
  PEM_write_X509(to.get(), certificate.get());
  const FilePtr key_to(std::fopen(files.key.c_str(), "w"), std::fclose);
  PEM_write_PrivateKey(key_to.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr);
  return files;
}

class TlsClient {
 public:
  explicit TlsClient(int port, int newest = TLS1_3_VERSION, const char* ciphers = nullptr)
      : socket_(port), context_(SSL_CTX_new(TLS_client_method()), SSL_CTX_free) {
    SSL_CTX_set_security_level(context_.get(), 0);  // the server is to refuse, not we
    SSL_CTX_set_min_proto_version(context_.get(), TLS1_VERSION);
    SSL_CTX_set_max_proto_version(context_.get(), newest);
    if (ciphers) SSL_CTX_set_cipher_list(context_.get(), ciphers);
    ssl_.reset(SSL_new(context_.get()));
    SSL_set_fd(ssl_.get(), socket_.descriptor());
    is_open_ = SSL_connect(ssl_.get()) == 1;
    ERR_clear_error();
  }
  [[nodiscard]] bool is_open() const { return is_open_; }
  // Of the key that was shown, to tell certificates apart.
  [[nodiscard]] std::string shown_key() const {
    const std::unique_ptr<X509, decltype(&X509_free)> shown(SSL_get1_peer_certificate(ssl_.get()),
                                                            X509_free);
    const ASN1_BIT_STRING* key = X509_get0_pubkey_bitstr(shown.get());
    return {reinterpret_cast<const char*>(ASN1_STRING_get0_data(key)),
            static_cast<std::size_t>(ASN1_STRING_length(key))};
  }
  [[nodiscard]] std::string version() const { return SSL_get_version(ssl_.get()); }
  void send(std::string_view bytes) {
    SSL_write(ssl_.get(), bytes.data(), static_cast<int>(bytes.size()));
  }
  // Until the text has come or the connection ended; whether it ended with a proper close.
  bool read_until(std::string_view text) {
    char bytes[16384];
    while (text.empty() || received.find(text) == std::string::npos) {
      const int got = SSL_read(ssl_.get(), bytes, sizeof bytes);
      if (got <= 0) return SSL_get_error(ssl_.get(), got) == SSL_ERROR_ZERO_RETURN;
      received.append(bytes, static_cast<std::size_t>(got));
    }
    return true;
  }
  std::string received;

 private:
  RawClient socket_;
  std::unique_ptr<SSL_CTX, decltype(&SSL_CTX_free)> context_;
  std::unique_ptr<SSL, decltype(&SSL_free)> ssl_{nullptr, SSL_free};
  bool is_open_ = false;
};

class ServerTls : public ::testing::Test {
 protected:
  ServerOptions options() {
    ServerOptions chosen;
    chosen.tls = make_certificate(folder_.path().string(), "own");
    chosen.header_seconds = 1;
    return chosen;
  }
  TempFolder folder_;
};

TEST_F(ServerTls, SpeaksTls) {
  Route secret = ping();
  secret.pattern = "/api/secret";
  secret.handle = [](Request& request) { return json_response(request.over_tls ? "1" : "0"); };
  RunningServer running(options(), {ping(), secret, echo(8 << 20)});
  TlsClient client(running.server.port());
  ASSERT_TRUE(client.is_open());
  EXPECT_EQ(client.version(), "TLSv1.3");
  client.send(get("/api/secret"));
  EXPECT_TRUE(client.read_until("\r\n\r\n1"));
  EXPECT_EQ(client.received.find("Strict-Transport-Security"), std::string::npos);
  const std::string large(4 << 20, 'a');
  client.received.clear();
  client.send(post("/api/echo", large, "Origin: https://localhost\r\n"));
  EXPECT_TRUE(client.read_until(large));
  client.received.clear();
  client.send(post("/api/echo", "1", "Origin: http://localhost\r\n"));
  EXPECT_TRUE(client.read_until("HTTP/1.1 403"));
  client.send(get("/api/ping", "Connection: close\r\n"));
  EXPECT_TRUE(client.read_until(""));  // to the end, which is proper
  EXPECT_TRUE(client.received.ends_with("\"pong\""));
}

TEST_F(ServerTls, ARefusedUploadIsStillAnswered) {
  RunningServer running(options(), {echo(1000)});
  TlsClient client(running.server.port());
  ASSERT_TRUE(client.is_open());
  client.send(post("/api/echo", std::string(300'000, 'a')));
  EXPECT_TRUE(client.read_until("HTTP/1.1 413"));
  EXPECT_NE(client.received.find("HTTP/1.1 413"), std::string::npos);
}

TEST_F(ServerTls, SlowHeadersAreStillAnswered) {
  RunningServer running(options(), {ping()});
  TlsClient client(running.server.port());
  client.send("GET /api/ping HTTP/1.1\r\nHost: lo");
  EXPECT_TRUE(client.read_until(""));
  EXPECT_TRUE(client.received.starts_with("HTTP/1.1 408"));
}

TEST_F(ServerTls, EventsGoOutWhileTheClientIsHeard) {
  Route events = ping(Work::on_pool);
  events.handle = [](Request&) {
    Response response;
    response.body = EventStream{};
    return response;
  };
  RunningServer running(options(), {events});
  TlsClient client(running.server.port());
  client.send(get("/api/ping"));
  EXPECT_TRUE(client.read_until("retry: 2000\n\n"));
  for (int i = 1; i <= 200; ++i) {
    running.server.publish("a", std::string(2000, 'x'), i);
    if (i % 10 == 0) client.send("noise");
    ASSERT_TRUE(client.read_until("id: " + std::to_string(i) + "\n"));
  }
  client.received.clear();
  running.server.stop();
  EXPECT_TRUE(client.read_until(""));  // a proper end
  EXPECT_TRUE(client.received.ends_with("0\r\n\r\n"));
}

TEST_F(ServerTls, OldTlsAndWeakCiphersAreRefused) {
  RunningServer running(options(), {ping()});
  EXPECT_FALSE(TlsClient(running.server.port(), TLS1_1_VERSION).is_open());
  EXPECT_FALSE(
      TlsClient(running.server.port(), TLS1_2_VERSION, "ECDHE-ECDSA-AES128-SHA").is_open());
  EXPECT_FALSE(TlsClient(running.server.port(), TLS1_2_VERSION, "aNULL").is_open());
  EXPECT_TRUE(TlsClient(running.server.port(), TLS1_2_VERSION).is_open());
}

TEST_F(ServerTls, PlainAndSilentClientsAreClosed) {
  RunningServer running(options(), {ping()});
  auto silent = running.client();
  auto plain = running.client();
  plain.send(get("/api/ping"));
  EXPECT_TRUE(plain.is_closed());
  EXPECT_EQ(plain.received.find("HTTP/1.1 200"), std::string::npos);
  EXPECT_TRUE(silent.is_closed(3000));
  EXPECT_TRUE(TlsClient(running.server.port()).is_open());
}

TEST_F(ServerTls, HalfAFileHasNoProperEnd) {
  Route half = ping();
  half.pattern = "/half";
  half.handle = [](Request&) {
    Response response;
    response.body =
        BodySource{.next = [left = std::make_shared<int>(3)]() -> std::optional<std::string> {
          if (--*left == 0) return std::nullopt;
          return "abc";
        }};
    return response;
  };
  RunningServer running(options(), {half});
  TlsClient client(running.server.port());
  client.send(get("/half"));
  EXPECT_FALSE(client.read_until(""));
  EXPECT_NE(client.received.find("abc"), std::string::npos);
}

TEST_F(ServerTls, ARenewedCertificateIsForNewConnections) {
  RunningServer running(options(), {ping()});
  TlsClient before(running.server.port());
  const TlsFiles renewed = make_certificate(folder_.path().string(), "renewed");
  EXPECT_THROW(running.server.renew_tls({renewed.certificate, options().tls->key}),
               std::runtime_error);
  EXPECT_EQ(TlsClient(running.server.port()).shown_key(), before.shown_key());
  running.server.renew_tls(renewed);
  TlsClient after(running.server.port());
  ASSERT_TRUE(after.is_open());
  EXPECT_NE(after.shown_key(), before.shown_key());
  for (TlsClient* client : {&before, &after}) {
    client->send(get("/api/ping"));
    EXPECT_TRUE(client->read_until("\"pong\""));
  }
}

TEST_F(ServerTls, AKeyOfAnotherCertificateIsNamed) {
  ServerOptions wrong = options();
  wrong.tls->key = make_certificate(folder_.path().string(), "other").key;
  try {
    Server server(wrong, {});
    FAIL();
  } catch (const std::runtime_error& error) {
    EXPECT_NE(std::string(error.what()).find("other.key"), std::string::npos) << error.what();
  }
}

}  // namespace
