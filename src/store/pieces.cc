// SPDX-License-Identifier: Apache-2.0
// SOCI's binary objects work on SQLite only; PostgreSQL takes and gives the bytes as hexadecimal
// text.
#include <fmt/format.h>
#include <soci/soci.h>
#include <sodium.h>

#include "store/database.h"

namespace tautmark {
namespace {

std::string hex_of(std::string_view bytes) {
  std::string hex(2 * bytes.size() + 1, '\0');
  sodium_bin2hex(hex.data(), hex.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                 bytes.size());
  hex.pop_back();
  return hex;
}

std::string bytes_of(const std::string& hex) {
  std::string bytes(hex.size() / 2, '\0');
  std::size_t length = 0;
  if (sodium_hex2bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), hex.data(),
                     hex.size(), nullptr, &length, nullptr) != 0 ||
      length != bytes.size())
    abandon(StoreTrouble::damaged, "bytes of a file cannot be read");
  return bytes;
}

}  // namespace

void insert_piece(const Database& database, soci::session& session, std::string_view blob_key,
                  std::int64_t number, std::string_view bytes) {
  const std::string key(blob_key);
  const auto index = static_cast<long long>(number);
  if (database.kind() == DatabaseKind::embedded) {
    soci::blob data(session);
    data.write(0, bytes.data(), bytes.size());
    session << "insert into blob_piece (blob_key, number, data) values (:s, :n, :d)",
        soci::use(key), soci::use(index), soci::use(data);
    return;
  }
  const std::string hex = hex_of(bytes);
  session << "insert into blob_piece (blob_key, number, data) values (:s, :n, decode(:d, 'hex'))",
      soci::use(key), soci::use(index), soci::use(hex);
}

std::string select_piece(const Database& database, soci::session& session,
                         std::string_view blob_key, std::int64_t number) {
  const std::string key(blob_key);
  const auto index = static_cast<long long>(number);
  if (database.kind() == DatabaseKind::embedded) {
    soci::blob data(session);
    soci::indicator is_there = soci::i_null;
    session << "select data from blob_piece where blob_key = :s and number = :n",
        soci::into(data, is_there), soci::use(key), soci::use(index);
    if (!session.got_data() || is_there != soci::i_ok) return {};
    std::string bytes(data.get_len(), '\0');
    if (!bytes.empty()) data.read(0, bytes.data(), bytes.size());
    return bytes;
  }
  std::string hex;
  session << "select encode(data, 'hex') from blob_piece where blob_key = :s and number = :n",
      soci::into(hex), soci::use(key), soci::use(index);
  return session.got_data() ? bytes_of(hex) : std::string();
}

}  // namespace tautmark
