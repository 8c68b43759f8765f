// SPDX-License-Identifier: Apache-2.0
// Changes made behind the store's back, each of which must be found and named.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// A case of 20 records: a head, 18 entries, a file.
class Verify : public OnBothDatabases {
 protected:
  void SetUp() override {
    OnBothDatabases::SetUp();
    if (IsSkipped()) return;
    database_ = open_store(address());
    store_ = std::make_unique<CaseStore>(database_);
    kept(store_->create("a", {head_record()}, "ann"));
    for (int i = 0; i < 18; ++i)
      kept(store_->append("a", {note_record(fmt::format("w{}", i))}, "ann"));
    file_ = stored_bytes(database_, std::string(1'500'000, 'x'), "r.csv");
    kept(attach(*store_, "a", file_, "ann"));
    head_ = kept(store_->summary("a")).head_hash;
    ASSERT_THAT(kept(store_->verify("a", head_)), IsEmpty());
    ASSERT_THAT(kept(store_->verify_all()), IsEmpty());
  }
  std::vector<std::string> after(const std::vector<std::string>& commands) {
    for (const std::string& sql : commands) change(*database_, sql);
    return kept(store_->verify("a"));
  }

  std::shared_ptr<Database> database_;
  std::unique_ptr<CaseStore> store_;
  StoredFile file_;
  std::string head_;
};
TAUTMARK_ON_BOTH_DATABASES(Verify);

TEST_P(Verify, EveryChangedColumnIsNamedWithItsRecord) {
  const std::vector<std::string> changes = {"body = replace(body, 'w15', 'w99')",
                                            "at = at + 1",
                                            "seat = 'bob'",
                                            "entry_id = 'e99'",
                                            "kind = 'tail'",
                                            "client_key = 'k'"};
  for (const std::string& what : changes) {
    change(*database_, "create table before_it as select * from record where seq = 17");
    EXPECT_THAT(after({"update record set " + what + " where seq = 17"}),
                Contains("record 17 was changed after it was stored"))
        << what;
    change(*database_, "delete from record where seq = 17");
    change(*database_, "insert into record select * from before_it");
    change(*database_, "drop table before_it");
    EXPECT_THAT(kept(store_->verify("a")), IsEmpty());
  }
}

TEST_P(Verify, AChangeWithItsOwnHashMadeNewIsFoundAtTheNext) {
  auto records = kept(store_->records("a"));
  CaseRecord record = records[16];
  record.seat = "bob";
  const std::string hash = record_hash(records[15].hash, kept(store_->summary("a")).uid, record);
  EXPECT_THAT(after({"update record set seat = 'bob', hash = '" + hash + "' where seq = 17"}),
              ElementsAre("record 18 was changed after it was stored"));
}

TEST_P(Verify, TwoThatChangedPlacesAreNamed) {
  EXPECT_THAT(
      after({"update record set seq = 100 where seq = 5", "update record set seq = 5 where seq = 6",
             "update record set seq = 6 where seq = 100"}),
      testing::IsSupersetOf({"record 5 was changed after it was stored",
                             "record 6 was changed after it was stored"}));
}

TEST_P(Verify, MissingRecordsAreNamed) {
  EXPECT_THAT(after({"delete from record where seq between 8 and 10"}),
              Contains("records 8 to 10 are missing"));
  EXPECT_THAT(after({"delete from record where seq = 1"}), Contains("record 1 is missing"));
}

TEST_P(Verify, AMissingEndIsNamed) {
  EXPECT_THAT(after({"delete from record where seq > 17"}),
              Contains("the end is missing: the case knows of 20 records, 17 are there"));
  EXPECT_THAT(after({"delete from record"}),
              Contains("the end is missing: the case knows of 20 records, 0 are there"));
}

TEST_P(Verify, ARecordTooManyIsNamed) {
  EXPECT_THAT(
      after({"insert into record select case_id, 21, 'tail', '', null, at, seat, '# x', hash"
             " from record where seq = 20"}),
      testing::IsSupersetOf({"record 21 was changed after it was stored",
                             "the case knows of 20 records, but 21 are there"}));
}

TEST_P(Verify, AnEndCutOffWithItsNoteIsFoundByAHashThatWasGivenOut) {
  const auto records = kept(store_->records("a"));
  EXPECT_THAT(after({"delete from record where seq > 16", "delete from case_file",
                     "delete from entry_id where id in ('e16', 'e17', 'e18')",
                     "delete from word where word in ('r', 'csv') or word like '%e16' or word like "
                     "'%e17' or word like '%e18' or word like '%w15' or word like '%w16' or word "
                     "like '%w17'",
                     fmt::format("update cases set entries = 15, next_entry = 16, changed = {}, "
                                 "head_seq = 16, head_hash = '{}'",
                                 records[15].at, records[15].hash)}),
              IsEmpty());
  EXPECT_THAT(kept(store_->verify("a", records[15].hash)), IsEmpty());
  EXPECT_THAT(kept(store_->verify("a", head_)),
              ElementsAre(HasSubstr("no record has the hash " + head_)));
}

TEST_P(Verify, TheNotesOfTheCaseMustFitItsRecords) {
  EXPECT_THAT(after({"update cases set head_hash = '" + std::string(64, 'a') + "'"}),
              ElementsAre(HasSubstr("another one than that record")));
  EXPECT_THAT(after({"update cases set head_hash = '" + head_ + "', entries = 5"}),
              ElementsAre("the case knows of 5 entries, 18 are there"));
  EXPECT_THAT(after({"update cases set entries = 18", "delete from entry_id where id = 'e3'"}),
              ElementsAre("the list of entry ids is not that of the records"));
}

TEST_P(Verify, FilesMustHaveTheBytesOfTheirRecord) {
  const std::string changed = !on_server()
                                  ? "update blob_piece set data = x'79' where number = 1"
                                  : "update blob_piece set data = '\\x79' where number = 1";
  EXPECT_THAT(after({changed}),
              ElementsAre("the file \"r.csv\" has other bytes than its record says"));
  const auto read =
      read_blob(*database_, file_.sha256, 0, -1, [](std::string_view) { return true; });
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().trouble, StoreTrouble::differs);
  EXPECT_THAT(after({"delete from blob_piece where number = 1"}),
              ElementsAre("the file \"r.csv\" has lost some of its bytes"));
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("case \"a\": the file \"r.csv\" has lost some of its bytes"));
  EXPECT_THAT(after({"update case_file set name = 'other.csv'"}),
              testing::IsSupersetOf({"the file \"other.csv\" has no record",
                                     "the file \"r.csv\" has a record but is not listed"}));
}

TEST_P(Verify, ACaseThatIsGoneIsMissed) {
  for (const char* table : {"word", "entry_id", "case_file", "record"})
    change(*database_, std::string("delete from ") + table);
  change(*database_, "delete from cases");
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("case \"a\" is gone without an act of deletion"));
}

TEST_P(Verify, TheAuditIsAChainToo) {
  kept(note_audit(*database_, "ann", "log-in", "ann", ""));
  kept(note_audit(*database_, "ann", "export", "a", "somewhere"));
  kept(note_audit(*database_, "ann", "log-out", "ann", ""));
  change(*database_, "update audit set who = 'bob' where number = 3");
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("audit: record 3 was changed after it was stored"));
  change(*database_, "delete from audit where number = 3");
  EXPECT_THAT(kept(store_->verify_all()), ElementsAre("audit: record 3 is missing"));
  change(*database_, "delete from audit where number = 4");
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("audit: the end is missing: it knows of 4 records, 2 are there"));
  change(*database_, "delete from audit");
  EXPECT_THAT(kept(store_->verify_all()),
              Contains("case \"a\": the audit does not know that it was made"));
}

}  // namespace
}  // namespace tautmark
