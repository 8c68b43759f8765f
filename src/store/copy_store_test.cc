// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <set>
#include <thread>

#include "store/exchange.h"
#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::IsEmpty;

// From each database into each.
class CopyStore : public OnBothDatabases {
 protected:
  void SetUp() override {
    OnBothDatabases::SetUp();
    if (IsSkipped()) return;
    from_ = open_store(address());
    if (has_postgres()) server_.emplace();
  }
  std::vector<std::string> targets() {
    std::vector<std::string> found = {(folder().path() / "copy.store").string()};
    if (server_) found.push_back(server_->url());
    return found;
  }
  std::shared_ptr<Database> from_;
  std::optional<PostgresDatabase> server_;
};
TAUTMARK_ON_BOTH_DATABASES(CopyStore);

void fill(const std::shared_ptr<Database>& database, int cases) {
  const CaseStore store(database);
  for (int i = 0; i < cases; ++i) {
    const std::string name = fmt::format("case {}", i);
    kept(store.create(name, {head_record("title: \"Ölstand, it's {}\"\n"), entry_record("e1", "x")},
                      "ann"));
    kept(store.append(name, {note_record("with a key", "k1"), note_record("without")}, "bob"));
    kept(
        attach(store, name,
               stored_bytes(database, std::string(1'100'000, 'a') + std::to_string(i % 2), "r.csv"),
               "ann"));
  }
}

TEST_P(CopyStore, IsTheSameStore) {
  fill(from_, 5);
  change(
      *from_,
      "insert into account (name, folded, role, password_hash, pin_hash, disabled, created) values"
      " ('ann', 'ann', 'manage', 'h', '', 0, 5)");
  kept(note_audit(*from_, "ann", "account added", "ann", "may manage"));
  change(*from_, "insert into setting (name, value) values ('shop', 'Bay ''3''')");
  const CaseStore store(from_);
  for (const std::string& address : targets()) {
    const auto to = open_store(address);
    const CaseStore copy(to);
    std::int64_t rows = 0;
    kept(copy_store(*from_, *to, [&](std::int64_t done) {
      EXPECT_GT(done, rows);
      rows = done;
    }));
    EXPECT_GT(rows, 40);
    EXPECT_THAT(kept(copy.verify_all()), IsEmpty());
    for (const CaseSummary& summary : kept(store.search("", 100)).cases) {
      EXPECT_THAT(kept(copy.verify(summary.name, summary.head_hash)), IsEmpty());
      EXPECT_EQ(joined_case(kept(copy.records(summary.name))),
                joined_case(kept(store.records(summary.name))));
      EXPECT_EQ(kept(copy.summary(summary.name)).changed, summary.changed);
    }
    EXPECT_EQ(kept(copy.search("title:ölst", 10)).found,
              kept(store.search("title:ölst", 10)).found);
    EXPECT_EQ(kept(copy.search("with", 10)).found, 5);
    // The copy goes on by itself: keys, ids and numbers.
    EXPECT_TRUE(kept(copy.append("case 0", {note_record("with a key", "k1")}, "bob"))[0].was_there);
    EXPECT_EQ(kept(copy.append("case 0", {note_record("more")}, "bob"))[0].entry_id, "e4");
    kept(copy.create("new", {head_record()}, "ann"));
    change(*to,
           "insert into account (name, folded, role, password_hash, pin_hash, disabled, created) "
           "values"
           " ('bob', 'bob', 'read', 'h', '', 0, 5)");
    kept(note_audit(*to, "ann", "account added", "bob", "may read"));
    EXPECT_THAT(kept(copy.verify_all()), IsEmpty());
    const auto audit = kept(audit_entries(*to, 0, 100));
    EXPECT_EQ(audit[6].what, "store copied");
    const auto again = copy_store(*from_, *to);
    ASSERT_FALSE(again);
    EXPECT_EQ(again.error().trouble, StoreTrouble::exists);
  }
  EXPECT_EQ(kept(store.search("", 1)).found, 5);
}

TEST_P(CopyStore, IsOneStateWhileOthersWrite) {
  fill(from_, 3);
  for (const std::string& address : targets()) {
    std::atomic<bool> done = false;
    std::atomic<int> written = 0;
    std::thread writer([&] {
      const CaseStore store(from_);
      while (!done) {
        kept(store.append("case 1", {note_record("one"), note_record("two")}, "bob"));
        ++written;
      }
    });
    while (written < 3) std::this_thread::yield();
    const auto to = open_store(address);
    const auto copied = copy_store(*from_, *to);
    done = true;
    writer.join();
    ASSERT_TRUE(copied) << copied.error().message;
    const CaseStore copy(to);
    EXPECT_THAT(kept(copy.verify_all()), IsEmpty());
    const auto summary = kept(copy.summary("case 1"));
    EXPECT_EQ(summary.entries % 2, 1);  // never half of a call: 3 at first, two more each
    EXPECT_THAT(kept(CaseStore(from_).verify("case 1", summary.head_hash)), IsEmpty());
  }
}

TEST_P(CopyStore, ANewFileHasItsNameOnlyWhenItIsWhole) {
  fill(from_, 2);
  const std::string file = (folder().path() / "copy.store").string();
  const std::string left = file + ".999999999.part";  // no program has this number
  folder().write("copy.store.999999999.part", "x");
  folder().write("copy.store.999999999.part-wal", "x");
  folder().write("copy.store.1.part", "of a program that runs");
  bool was_there = false;
  CopyOptions options;
  options.progress = [&](std::int64_t) { was_there = was_there || fs::exists(file); };
  options.note = [&] {
    was_there = was_there || fs::exists(file);
    return note_audit(*from_, "ann", "store copied to", "copy.store", "");
  };
  kept(copy_store(*from_, store_address(file), options));
  EXPECT_FALSE(was_there);
  EXPECT_FALSE(fs::exists(left));
  EXPECT_FALSE(fs::exists(left + "-wal"));
  EXPECT_TRUE(fs::exists(file + ".1.part"));
  for (const auto& item : fs::directory_iterator(folder().path())) {
    const std::string name = item.path().filename().string();
    EXPECT_FALSE(name.find(std::to_string(getpid())) != std::string::npos) << name;
  }
  EXPECT_THAT(kept(CaseStore(open_store(file)).verify_all()), IsEmpty());
  EXPECT_EQ(kept(audit_entries(*from_, 0, 100)).back().what, "store copied to");
  EXPECT_EQ(copy_store(*from_, store_address(file), options).error().trouble, StoreTrouble::exists);
}

TEST_P(CopyStore, AStoreWithTheMarkOfACopyIsOpenedForACopyOnly) {
  fill(from_, 1);
  for (const std::string& address : targets()) {
    change(*open_store(address), "insert into setting (name, value) values ('copying', '')");
    for (const OpenFor mode : {OpenFor::reading, OpenFor::writing, OpenFor::writing_or_create}) {
      const auto opened = Database::open(store_address(address), mode);
      ASSERT_FALSE(opened);
      EXPECT_EQ(opened.error().trouble, StoreTrouble::damaged);
      EXPECT_THAT(opened.error().message, HasSubstr("was not finished; make it again"));
    }
    kept(copy_store(*from_, store_address(address), {}));
    EXPECT_EQ(kept(CaseStore(open_store(address)).search("", 1)).found, 1);
  }
}

// A table that is added later must be copied, or be left behind on purpose.
TEST_P(CopyStore, EveryTableIsThoughtOf) {
  const std::set<std::string> copied = {
      "account", "audit",    "audit_end", "blob",   "blob_piece", "case_file", "cases",
      "device",  "entry_id", "pin_try",   "record", "setting",    "word"};
  const std::set<std::string> left = {"login_session", "pairing", "schema_version", "upload"};
  std::set<std::string> tables;
  kept(from_->read([&](soci::session& session) {
    const soci::rowset<std::string> rows =
        session.prepare << (on_server()
                                ? "select tablename::text from pg_tables where schemaname = "
                                  "current_schema()"
                                : "select name from sqlite_master where type = 'table' and name "
                                  "not like 'sqlite_%'");
    tables.insert(rows.begin(), rows.end());
  }));
  for (const std::string& table : copied) EXPECT_EQ(tables.erase(table), 1U) << table;
  for (const std::string& table : left) EXPECT_EQ(tables.erase(table), 1U) << table;
  EXPECT_THAT(tables, IsEmpty());
}

TEST_P(CopyStore, AStoreThatDoesNotHoldIsNotCopied) {
  fill(from_, 2);
  change(*from_, "update record set seat = 'eve' where seq = 2");
  for (const std::string& address : targets()) {
    const auto to = open_store(address);
    const auto copied = copy_store(*from_, *to);
    ASSERT_FALSE(copied);
    EXPECT_EQ(copied.error().trouble, StoreTrouble::differs);
    EXPECT_THAT(copied.error().message, HasSubstr("record 2 was changed after it was stored"));
    EXPECT_EQ(kept(CaseStore(open_store(address)).search("", 1)).found, 0);  // no mark is left
    EXPECT_THAT(kept(CaseStore(to).verify_all()), IsEmpty());
  }
}

}  // namespace
}  // namespace tautmark
