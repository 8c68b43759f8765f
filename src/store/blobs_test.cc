// SPDX-License-Identifier: Apache-2.0
#include "store/blobs.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <thread>

#include "base/hash.h"
#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
namespace fs = std::filesystem;

class Blobs : public OnBothDatabases {};
TAUTMARK_ON_BOTH_DATABASES(Blobs);

std::string random_bytes(std::size_t count) {
  std::mt19937 random(static_cast<unsigned>(count));
  std::string bytes(count, '\0');
  for (char& c : bytes) c = static_cast<char>(random());
  return bytes;
}

long long rows(const Database& database, const std::string& table) {
  return kept(database.read_value<long long>([&](soci::session& session) {
    long long count = 0;
    session << "select count(*) from " + table, soci::into(count);
    return count;
  }));
}

TEST_P(Blobs, ComeBackWhateverTheirSizeAndHoweverTheyCome) {
  const auto database = open_store(address());
  for (const std::size_t size : {std::size_t{0}, std::size_t{1}, kMostPieceBytes - 1,
                                 kMostPieceBytes, kMostPieceBytes + 1, 3 * kMostPieceBytes + 17}) {
    const std::string bytes = random_bytes(size);
    BlobWriter writer(database);
    for (std::size_t at = 0; at < size;) {
      const std::size_t part = std::min<std::size_t>(size - at, at % 3 == 0 ? 700'001 : 1'900'000);
      kept(writer.add(std::string_view(bytes).substr(at, part)));
      at += part;
    }
    const StoredFile file = kept(writer.finish());
    EXPECT_EQ(file.sha256, sha256_hex(bytes));
    EXPECT_EQ(file.bytes, static_cast<std::int64_t>(size));
    EXPECT_EQ(read_bytes(*database, file.sha256), bytes);
    if (size < kMostPieceBytes) continue;
    for (const std::size_t from : {std::size_t{5}, kMostPieceBytes - 2, size - 1, size})
      EXPECT_EQ(read_bytes(*database, file.sha256, static_cast<std::int64_t>(from), 9),
                bytes.substr(from, 9));
  }
  EXPECT_EQ(rows(*database, "upload"), 0);
}

TEST_P(Blobs, TheSameBytesAreKeptOnce) {
  const auto database = open_store(address());
  const std::string bytes = random_bytes(2'500'000);
  for (int i = 0; i < 2; ++i) stored_bytes(database, bytes, "a");
  std::thread other([&] { stored_bytes(database, bytes, "a"); });
  stored_bytes(database, bytes, "a");
  other.join();
  kept(sweep_blobs(*database));
  EXPECT_EQ(rows(*database, "blob"), 1);
  EXPECT_EQ(rows(*database, "blob_piece"), 3);
  EXPECT_EQ(rows(*database, "upload"), 0);
}

TEST_P(Blobs, WhatWasNotFinishedIsSweptAway) {
  const auto database = open_store(address());
  {
    BlobWriter writer(database);
    kept(writer.add(random_bytes(2 * kMostPieceBytes)));
    EXPECT_EQ(rows(*database, "blob_piece"), 2);
  }
  EXPECT_EQ(rows(*database, "blob_piece"), 0);
  // Another program's: left alone while it may be alive, gone after a day.
  change(*database, "insert into upload (blob_key, owner, touched) values ('k', '1 elsewhere', 0)");
  const long long now = now_microseconds();
  change(*database, "update upload set touched = " + std::to_string(now - 3'600'000'000));
  kept(database->write([&](soci::session& s) { insert_piece(*database, s, "k", 0, "bytes"); }));
  kept(sweep_blobs(*database));
  EXPECT_EQ(rows(*database, "blob_piece"), 1);
  change(*database, "update upload set touched = " + std::to_string(now - 90'000'000'000));
  stored_bytes(database, "one more", "x");  // sweeps first
  EXPECT_EQ(rows(*database, "blob_piece"), 1);
  EXPECT_EQ(rows(*database, "upload"), 0);
  // A file that no case took goes after a day, one that a case has never.
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  kept(attach(store, "a", stored_bytes(database, "taken", "t.csv"), "ann"));
  change(*database, "update blob set stored = 0");
  kept(sweep_blobs(*database));
  EXPECT_EQ(rows(*database, "blob"), 1);
  EXPECT_EQ(rows(*database, "blob_piece"), 1);
}

TEST_P(Blobs, AreAttachedOnceUnderOneName) {
  const auto database = open_store(address());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  StoredFile file = stored_bytes(database, "bytes", "recordings/a.csv");
  const Receipt first = kept(attach(store, "a", file, "ann"));
  const Receipt again = kept(attach(store, "a", file, "bob"));
  EXPECT_TRUE(again.was_there);
  EXPECT_EQ(again.hash, first.hash);
  StoredFile other = stored_bytes(database, "other bytes", "recordings/a.csv");
  EXPECT_EQ(attach(store, "a", other, "ann").error().trouble, StoreTrouble::exists);
  for (const char* name : {"", "/etc/a", "../a", "a/../../b", "a\\b", "recordings", "case.yaml",
                           "record.jsonl", "a//b", "./a", "recordings/a.csv/b", "a\nb", "c:a"}) {
    other.name = name;
    EXPECT_FALSE(attach(store, "a", other, "ann")) << name;
  }
  other.name = "b.csv";
  kept(attach(store, "a", other, "ann"));
  const auto files = kept(store.files("a"));
  ASSERT_EQ(files.size(), 2U);
  EXPECT_EQ(files[0].name, "b.csv");
  EXPECT_EQ(files[1].bytes, 5);
  file.sha256 = std::string(64, '0');
  file.name = "c.csv";
  EXPECT_EQ(attach(store, "a", file, "ann").error().trouble, StoreTrouble::not_found);
}

TEST(BlobsEmbedded, WhatIsDeletedLeavesTheFileAndItsLog) {
  const TempFolder folder;
  const std::string file = (folder.path() / "shop.store").string();
  const auto database = open_store(file);
  const CaseStore store(database);
  kept(store.create("stays", {head_record()}, "ann"));
  const std::string secret = "the customer is Magda Kowalczyk";
  kept(store.create("goes", {head_record("title: " + secret + "\n"), entry_record("e1", secret)},
                    "ann"));
  std::string bytes;
  for (int i = 0; i < 300'000; ++i) bytes += "bytes of a deleted file ";
  kept(attach(store, "goes", stored_bytes(database, bytes, "r.csv"), "ann"));
  const auto holds = [&](const std::string& words) {
    bool found = false;
    for (const char* beside : {"", "-wal"}) {
      std::ifstream in(file + beside, std::ios::binary);
      const std::string text((std::istreambuf_iterator<char>(in)), {});
      found = found || text.find(words) != std::string::npos;
    }
    return found;
  };
  const auto size = [&] {
    std::error_code code;
    const auto log = fs::file_size(file + "-wal", code);
    return fs::file_size(file) + (code ? 0 : log);
  };
  EXPECT_TRUE(holds(secret));
  EXPECT_TRUE(holds("of a deleted file"));
  EXPECT_GT(size(), 7'000'000U);
  kept(store.remove("goes", "ann", "asked for", CaseStore::Sweep::later));
  EXPECT_TRUE(holds("of a deleted file"));
  sweep_deleted(*database);
  EXPECT_FALSE(holds(secret));
  EXPECT_FALSE(holds("of a deleted file"));
  EXPECT_LT(size(), 400'000U);
  EXPECT_TRUE(kept(store.verify_all()).empty());
}

TEST_P(Blobs, AreKnownToBelongToNoCase) {
  const auto database = open_store(address());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  const StoredFile held = stored_bytes(database, "held", "held");
  const StoredFile loose = stored_bytes(database, "loose", "loose");
  kept(attach(store, "a", held, "ann"));
  EXPECT_EQ(kept(files_without_case(*database, {held.sha256, loose.sha256})),
            std::vector{loose.sha256});
}

}  // namespace
}  // namespace tautmark
