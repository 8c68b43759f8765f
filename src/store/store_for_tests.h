// SPDX-License-Identifier: Apache-2.0
// What the tests of the store write with.
#pragma once

#include <gtest/gtest.h>
#include <soci/soci.h>

#include <memory>
#include <string>
#include <vector>

#include "store/cases.h"
#include "support/both_databases.h"

namespace tautmark::test {

inline std::shared_ptr<Database> open_store(const std::string& address,
                                            OpenFor mode = OpenFor::writing_or_create,
                                            int sessions = 4) {
  auto database = Database::open(store_address(address), mode, sessions);
  if (!database) throw std::runtime_error(database.error().message);
  return *database;
}

inline NewRecord head_record(const std::string& more = {}) {
  NewRecord record;
  record.kind = RecordKind::head;
  record.body = "tautmark: case/1\nname: a\n" + more + "entries:\n";
  return record;
}

inline NewRecord entry_record(const std::string& id, const std::string& words) {
  NewRecord record;
  record.entry_id = id;
  record.body = "  - kind: note\n    id: " + id + "\n    words: " + words + "\n";
  return record;
}

// The store chooses the id.
inline NewRecord note_record(const std::string& words, const std::string& key = {}) {
  NewRecord record;
  record.wants_id = true;
  record.client_key = key;
  record.body_with_id = [words](const std::string& id) { return entry_record(id, words).body; };
  return record;
}

template <class T>
T kept(Stored<T> stored) {
  if (!stored) throw std::runtime_error(stored.error().message);
  return std::move(*stored);
}
inline void kept(const Stored<void>& stored) {
  if (!stored) throw std::runtime_error(stored.error().message);
}

// Behind the store's back.
inline void change(const Database& database, const std::string& sql) {
  kept(database.write([&](soci::session& session) { session << sql; }));
}

inline StoredFile stored_bytes(const std::shared_ptr<Database>& database, std::string_view bytes,
                               const std::string& name) {
  BlobWriter writer(database);
  kept(writer.add(bytes));
  StoredFile file = kept(writer.finish());
  file.name = name;
  return file;
}

inline std::string read_bytes(const Database& database, const std::string& sha256,
                              std::int64_t from = 0, std::int64_t length = -1) {
  std::string bytes;
  kept(read_blob(database, sha256, from, length, [&](std::string_view part) {
    bytes += part;
    return true;
  }));
  return bytes;
}

}  // namespace tautmark::test
