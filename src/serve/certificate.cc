// SPDX-License-Identifier: Apache-2.0
#include "serve/certificate.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <memory>
#include <set>
#include <stdexcept>

#include "base/hash.h"
#include "base/text.h"
#include "serve/whole_file.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

template <auto kFree>
struct Freed {
  template <class T>
  void operator()(T* object) const {
    kFree(object);
  }
};
using Key = std::unique_ptr<EVP_PKEY, Freed<EVP_PKEY_free>>;
using Certificate = std::unique_ptr<X509, Freed<X509_free>>;
using Memory = std::unique_ptr<BIO, Freed<BIO_free>>;

constexpr std::int64_t kDay = 86400;

// Thrown inside, caught in shop_certificate.
struct Failed : std::runtime_error {
  using runtime_error::runtime_error;
};
void must(bool done, std::string_view what) {
  if (!done) throw Failed(fmt::format("The certificate cannot be made: {} failed.", what));
}

struct Pair {
  Key key;
  Certificate certificate;
};

struct Wanted {
  std::set<std::string> names, addresses;
};

std::string canonical_address(const std::string& text) {
  std::array<unsigned char, 16> bytes{};
  std::array<char, INET6_ADDRSTRLEN> out{};
  for (const int family : {AF_INET, AF_INET6})
    if (inet_pton(family, text.c_str(), bytes.data()) == 1)
      return inet_ntop(family, bytes.data(), out.data(), out.size());
  throw Failed(fmt::format("\"{}\" is no address; write 192.0.2.1 or 2001:db8::1.", text));
}

// Names go into the text of an extension: nothing but a host name may pass.
std::string host_name(const std::string& text) {
  const std::string name = lower_ascii(text);
  const bool fits =
      !name.empty() && name.size() <= 253 && name.front() != '.' &&
      name.find("..") == std::string::npos &&
      name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789.-") == std::string::npos;
  if (!fits)
    throw Failed(fmt::format("\"{}\" is no name of a machine; write tautmark.local.", text));
  return name;
}

Wanted wanted(const std::vector<std::string>& names, const std::vector<std::string>& addresses) {
  Wanted all{{"localhost"}, {"127.0.0.1", "::1"}};
  for (const std::string& name : names) all.names.insert(host_name(name));
  for (const std::string& address : addresses) all.addresses.insert(canonical_address(address));
  return all;
}

Wanted held_by(X509* certificate) {
  Wanted held;
  const std::unique_ptr<GENERAL_NAMES, Freed<GENERAL_NAMES_free>> all(static_cast<GENERAL_NAMES*>(
      X509_get_ext_d2i(certificate, NID_subject_alt_name, nullptr, nullptr)));
  for (int i = 0; all && i < sk_GENERAL_NAME_num(all.get()); ++i) {
    const GENERAL_NAME* each = sk_GENERAL_NAME_value(all.get(), i);
    const ASN1_STRING* value = each->type == GEN_DNS ? each->d.dNSName : each->d.iPAddress;
    if (each->type != GEN_DNS && each->type != GEN_IPADD) continue;
    const unsigned char* data = ASN1_STRING_get0_data(value);
    const int length = ASN1_STRING_length(value);
    std::array<char, INET6_ADDRSTRLEN> out{};
    if (each->type == GEN_DNS)
      held.names.emplace(reinterpret_cast<const char*>(data), static_cast<std::size_t>(length));
    else if (inet_ntop(length == 4 ? AF_INET : AF_INET6, data, out.data(), out.size()) != nullptr)
      held.addresses.insert(out.data());
  }
  return held;
}

// What the authority may vouch for. Masks as OpenSSL writes them: address/mask.
std::string constraints(const Wanted& made_with) {
  std::set<std::string> permitted = {"IP:10.0.0.0/255.0.0.0",
                                     "IP:100.64.0.0/255.192.0.0",
                                     "IP:127.0.0.0/255.0.0.0",
                                     "IP:172.16.0.0/255.240.0.0",
                                     "IP:192.168.0.0/255.255.0.0",
                                     "IP:fc00::/fe00::",
                                     "DNS:local",
                                     "DNS:home.arpa",
                                     "DNS:internal",
                                     "DNS:lan"};
  for (const std::string& name : made_with.names) permitted.insert("DNS:" + name);
  for (const std::string& address : made_with.addresses)
    permitted.insert("IP:" + address + "/" +
                     (address.find(':') == std::string::npos
                          ? "255.255.255.255"
                          : "ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff"));
  std::string text = "critical";
  for (const std::string& each : permitted) text += ",permitted;" + each;
  return text;
}

void add_extension(X509* certificate, X509* issuer, int kind, const std::string& text) {
  X509V3_CTX context;
  X509V3_set_ctx_nodb(&context);
  X509V3_set_ctx(&context, issuer, certificate, nullptr, nullptr, 0);
  X509_EXTENSION* extension = X509V3_EXT_conf_nid(nullptr, &context, kind, text.c_str());
  must(extension != nullptr, OBJ_nid2ln(kind));
  const int added = X509_add_ext(certificate, extension, -1);
  X509_EXTENSION_free(extension);
  must(added == 1, OBJ_nid2ln(kind));
}

// A key and a certificate without extensions and signature. It begins a day early, since the clocks
// of tablets are not ours.
Pair begun(const std::string& common_name, std::int64_t now, int days) {
  Pair pair{Key(EVP_EC_gen("P-256")), Certificate(X509_new())};
  must(pair.key && pair.certificate, "making a key");
  X509* certificate = pair.certificate.get();
  std::array<unsigned char, 16> number{};
  must(RAND_bytes(number.data(), static_cast<int>(number.size())) == 1, "making a number");
  number[0] = static_cast<unsigned char>((number[0] & 0x3fU) | 0x40U);  // positive, never short
  BIGNUM* big = BN_bin2bn(number.data(), static_cast<int>(number.size()), nullptr);
  must(big != nullptr, "making a number");
  BN_to_ASN1_INTEGER(big, X509_get_serialNumber(certificate));
  BN_free(big);
  X509_set_version(certificate, X509_VERSION_3);
  X509_set_pubkey(certificate, pair.key.get());
  ASN1_TIME_set(X509_getm_notBefore(certificate), now - kDay);
  ASN1_TIME_set(X509_getm_notAfter(certificate), now + (days - 1) * kDay);
  const auto* text = reinterpret_cast<const unsigned char*>(common_name.c_str());
  must(X509_NAME_add_entry_by_txt(X509_get_subject_name(certificate), "CN", MBSTRING_UTF8, text, -1,
                                  -1, 0) == 1,
       "naming");
  return pair;
}

Pair new_authority(const Wanted& made_with, std::int64_t now) {
  // Two authorities must differ in name, or a tablet that knows the old one takes it for the new.
  std::array<unsigned char, 2> tag{};
  must(RAND_bytes(tag.data(), 2) == 1, "making a number");
  Pair made = begun(fmt::format("Tautmark shop {:02X}{:02X}", tag[0], tag[1]), now, kAuthorityDays);
  X509* certificate = made.certificate.get();
  X509_set_issuer_name(certificate, X509_get_subject_name(certificate));
  add_extension(certificate, certificate, NID_basic_constraints, "critical,CA:TRUE,pathlen:0");
  add_extension(certificate, certificate, NID_key_usage, "critical,keyCertSign");
  add_extension(certificate, certificate, NID_subject_key_identifier, "hash");
  add_extension(certificate, certificate, NID_name_constraints, constraints(made_with));
  must(X509_sign(certificate, made.key.get(), EVP_sha256()) > 0, "signing");
  return made;
}

std::int64_t end_of(const X509* certificate) {
  tm end{};
  must(ASN1_TIME_to_tm(X509_get0_notAfter(certificate), &end) == 1, "reading a date");
  return timegm(&end);
}

Pair new_server(const Pair& authority, const Wanted& names, std::int64_t now) {
  Pair made = begun("Tautmark", now, kServerDays);
  X509* certificate = made.certificate.get();
  X509* issuer = authority.certificate.get();
  ASN1_TIME_set(X509_getm_notAfter(certificate), std::min(end_of(certificate), end_of(issuer)));
  X509_set_issuer_name(certificate, X509_get_subject_name(issuer));
  std::vector<std::string> held;
  for (const std::string& name : names.names) held.push_back("DNS:" + name);
  for (const std::string& address : names.addresses) held.push_back("IP:" + address);
  add_extension(certificate, issuer, NID_basic_constraints, "critical,CA:FALSE");
  add_extension(certificate, issuer, NID_key_usage, "critical,digitalSignature");
  add_extension(certificate, issuer, NID_ext_key_usage, "serverAuth");
  add_extension(certificate, issuer, NID_subject_key_identifier, "hash");
  add_extension(certificate, issuer, NID_authority_key_identifier, "keyid:always");
  add_extension(certificate, issuer, NID_subject_alt_name, joined(held, ","));
  must(X509_sign(certificate, authority.key.get(), EVP_sha256()) > 0, "signing");
  return made;
}

// Date, signature and name constraints, as a browser looks at them.
bool vouches(X509* authority, X509* server, std::int64_t now) {
  const std::unique_ptr<X509_STORE, Freed<X509_STORE_free>> trusted(X509_STORE_new());
  const std::unique_ptr<X509_STORE_CTX, Freed<X509_STORE_CTX_free>> context(X509_STORE_CTX_new());
  must(trusted && context && X509_STORE_add_cert(trusted.get(), authority) == 1 &&
           X509_STORE_CTX_init(context.get(), trusted.get(), server, nullptr) == 1,
       "looking at it");
  X509_VERIFY_PARAM_set_time(X509_STORE_CTX_get0_param(context.get()), now);
  X509_STORE_CTX_set_purpose(context.get(), X509_PURPOSE_SSL_SERVER);
  return X509_verify_cert(context.get()) == 1;
}

std::string der(X509* certificate) {
  unsigned char* bytes = nullptr;
  const int length = i2d_X509(certificate, &bytes);
  must(length > 0, "writing");
  std::string text(reinterpret_cast<char*>(bytes), static_cast<std::size_t>(length));
  OPENSSL_free(bytes);
  return text;
}

// Key and certificates in one file: they change together or not at all.
void write_pair(const fs::path& file, const Pair& pair, X509* issuer) {
  const Memory out(BIO_new(BIO_s_secmem()));
  must(out &&
           PEM_write_bio_PrivateKey(out.get(), pair.key.get(), nullptr, nullptr, 0, nullptr,
                                    nullptr) == 1 &&
           PEM_write_bio_X509(out.get(), pair.certificate.get()) == 1 &&
           (issuer == nullptr || PEM_write_bio_X509(out.get(), issuer) == 1),
       "writing");
  char* data = nullptr;
  const auto length = BIO_get_mem_data(out.get(), &data);
  const auto wrong = write_whole_file(file, {data, static_cast<std::size_t>(length)}, 0600);
  if (wrong) throw Failed(*wrong);
}

// Nothing in it: there is no such file.
Pair read_pair(const fs::path& file) {
  if (!fs::exists(file)) return {};
  std::ifstream in(file, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const auto memory = [&] {
    return Memory(BIO_new_mem_buf(text.data(), static_cast<int>(text.size())));
  };
  // An empty password instead of a question on the terminal.
  char none[] = "";
  Pair pair{Key(PEM_read_bio_PrivateKey(memory().get(), nullptr, nullptr, none)),
            Certificate(PEM_read_bio_X509(memory().get(), nullptr, nullptr, nullptr))};
  if (!pair.key || !pair.certificate ||
      X509_check_private_key(pair.certificate.get(), pair.key.get()) != 1)
    throw Failed(fmt::format(
        "{} is damaged. Bring it back from a copy, or move it away and start again: a new one is "
        "made, and when it was the authority, every tablet has to trust the new one.",
        file.filename().string()));
  return pair;
}

void make_folder(const fs::path& folder) {
  if (fs::exists(folder)) return;
  std::error_code code;
  if (folder.has_parent_path()) fs::create_directories(folder.parent_path(), code);
  fs::create_directory(folder, code);
  fs::permissions(folder, fs::perms::owner_all, code);
  if (code)
    throw Failed(
        fmt::format("The folder for the certificates cannot be made: {}.", code.message()));
}

ShopCertificate in_folder(const fs::path& folder, const Wanted& names, std::int64_t now) {
  make_folder(folder);
  const fs::path authority_file = folder / "authority.pem", server_file = folder / "server.pem";
  Pair authority = read_pair(authority_file);
  Pair server = read_pair(server_file);
  ShopCertificate result;
  const auto runs_out = [&](const Pair& pair) {
    return !pair.certificate || end_of(pair.certificate.get()) - now < kRenewDays * kDay;
  };
  const auto signed_by_authority = [&] {
    return vouches(authority.certificate.get(), server.certificate.get(), now);
  };
  const auto renew_server = [&] {
    server = new_server(authority, names, now);
    result.server_is_new = true;
  };
  if (runs_out(authority)) {
    authority = new_authority(names, now);
    result.authority_is_new = true;
  }
  const auto holds_names = [&] {
    const Wanted held = held_by(server.certificate.get());
    return held.names == names.names && held.addresses == names.addresses;
  };
  if (runs_out(server) || !holds_names() || !signed_by_authority()) renew_server();
  if (!signed_by_authority()) {  // a name or an address that the authority may not vouch for
    authority = new_authority(names, now);
    result.authority_is_new = true;
    renew_server();
    must(signed_by_authority(), "checking it");
  }
  if (result.authority_is_new) write_pair(authority_file, authority, nullptr);
  if (result.server_is_new) write_pair(server_file, server, authority.certificate.get());
  result.server_file = server_file.string();
  result.authority_der = der(authority.certificate.get());
  result.authority_fingerprint = fingerprint_text(result.authority_der);
  result.server_fingerprint = fingerprint_text(der(server.certificate.get()));
  result.server_until = end_of(server.certificate.get());
  result.authority_until = end_of(authority.certificate.get());
  return result;
}

}  // namespace

tl::expected<ShopCertificate, std::string> shop_certificate(
    const fs::path& folder, const std::vector<std::string>& names,
    const std::vector<std::string>& addresses, std::int64_t now_seconds) {
  try {
    return in_folder(folder, wanted(names, addresses), now_seconds);
  } catch (const Failed& failed) {
    return tl::make_unexpected(std::string(failed.what()));
  }
}

std::string fingerprint_text(std::string_view der) {
  std::string text;
  for (const char digit : sha256_hex(der)) {
    if (text.size() % 5 == 4) text += ' ';
    text += static_cast<char>(digit >= 'a' ? digit - 'a' + 'A' : digit);
  }
  return text;
}

}  // namespace tautmark
