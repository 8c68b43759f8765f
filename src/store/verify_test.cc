// SPDX-License-Identifier: Apache-2.0
// Changes made behind the store's back, each of which must be found and named.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <array>

#include "store/accounts.h"
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

// One change behind the store's back, undone again, and what is said of it.
TEST_P(Verify, EverythingThatFollowsFromRecordsAndAuditIsCompared) {
  kept(store_->create("b", {head_record("title: other\n")}, "ann"));
  kept(store_->set_keep_until("a", time_of("2099-01-01").value(), "ann", "contract"));
  ASSERT_THAT(kept(store_->verify_all()), IsEmpty());
  const CaseSummary before = kept(store_->summary("a"));
  const auto row = [](const std::string& change) {
    return "update cases set " + change + " where name = 'a'";
  };
  const std::vector<std::array<std::string, 3>> changes = {
      {row("title = 'x'"), row("title = ''"), "title: \"x\", but its records say \"\""},
      {row("drive = 'x'"), row("drive = ''"), "drive: \"x\""},
      {row("invented = 1"), row("invented = 0"), "invented: \"true\""},
      {row("next_entry = 3"), row("next_entry = 19"), "next entry: \"3\""},
      {row("indent = 4"), row("indent = 2"), "indent: \"4\""},
      {row("changed = changed + 1"), row("changed = changed - 1"), "last change: "},
      {row("keep_until = 0"), row(fmt::format("keep_until = {}", before.keep_until)),
       "keep until: no date, but the audit says: 2099-01-01"},
      {row("created = created - 86400000000"), row("created = created + 86400000000"), ""},
      {"delete from word where word = 'w3'",
       "insert into word (word, case_id) select 'w3', id from cases where name = 'a'",
       "the words by which it is found"},
      {"insert into word (word, case_id) select 'zzz', id from cases where name = 'a'",
       "delete from word where word = 'zzz'", "the words by which it is found"},
      {"update cases set name = 'c' where name = 'b'",
       "update cases set name = 'b' where name = 'c'", "the audit knows it as \"b\""}};
  for (const auto& [sql, undo, sentence] : changes) {
    change(*database_, sql);
    EXPECT_THAT(kept(store_->verify_all()), Contains(HasSubstr(sentence))) << sql;
    EXPECT_EQ(kept(store_->verify("a")).empty(), sql.ends_with("'b'")) << sql;
    change(*database_, undo);
    ASSERT_THAT(kept(store_->verify_all()), IsEmpty()) << undo;
  }
}

TEST_P(Verify, ARecordOfAnUnknownKindKeepsNobodyFromLookingFurther) {
  kept(store_->create("b", {head_record()}, "ann"));
  change(*database_, "update record set kind = 'bogus' where seq = 5");
  change(*database_, "update cases set title = 'x' where name = 'b'");
  EXPECT_THAT(kept(store_->verify_all()),
              testing::IsSupersetOf({"case \"a\": record 5 is of a kind \"bogus\" that is none",
                                     "case \"b\": title: \"x\", but its records say \"\""}));
}

TEST_P(Verify, AccountsAreWhatTheAuditSays) {
  kept(add_account(*database_, "Ann", Role::manage, "a long password", "Ann"));
  kept(add_account(*database_, "Bert", Role::read, "a long password", "Ann"));
  kept(set_role(*database_, "Bert", Role::write, "Ann"));
  kept(set_disabled(*database_, "Bert", true, "Ann"));
  ASSERT_THAT(kept(store_->verify_all()), IsEmpty());
  change(*database_, "update account set role = 'manage', disabled = 0 where name = 'Bert'");
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("account \"Bert\": may manage, but the audit says: may write",
                          "account \"Bert\": is not disabled, as the audit says"));
  change(*database_, "delete from account where name = 'Bert'");
  change(*database_,
         "insert into account (name, folded, role, password_hash, pin_hash, disabled, created)"
         " values ('Mallory', 'mallory', 'manage', '', '', 0, 0)");
  EXPECT_THAT(kept(store_->verify_all()),
              ElementsAre("account \"Mallory\": the audit does not know that it was made",
                          "account \"Bert\" is gone"));
}

TEST_P(Verify, TablesAreAsTheStepsMakeThem) {
  change(*database_, "drop index cases_changed");
  EXPECT_THAT(kept(store_->verify_all()), ElementsAre("the index \"cases_changed\" is gone"));
  change(*database_, "create index cases_changed on cases (changed, id)");
  ASSERT_THAT(kept(store_->verify_all()), IsEmpty());
  if (on_server())
    change(*database_, "create rule quiet as on delete to audit do instead nothing");
  else
    change(*database_, "create trigger quiet after insert on record begin select 1; end");
  EXPECT_THAT(kept(store_->verify_all()), ElementsAre(HasSubstr("\"quiet\" is in the store")));
}

TEST_P(Verify, PiecesTooManyAreNamed) {
  change(*database_,
         "insert into blob_piece (blob_key, number, data) select blob_key, 7, data from"
         " blob_piece where number = 1");
  EXPECT_THAT(kept(store_->verify_all()), ElementsAre("1 pieces of bytes belong to no file"));
}

TEST_P(Verify, AnAuditCutOffIsFoundByAHeadThatWasWrittenDown) {
  kept(note_audit(*database_, "ann", "log-in", "ann", ""));
  const AuditEntry before = kept(audit_end(*database_));
  EXPECT_EQ(before.number, 2);
  kept(note_audit(*database_, "ann", "log-out", "ann", ""));
  EXPECT_THAT(kept(store_->verify_all(before.hash)), IsEmpty());
  const std::string first = kept(audit_entries(*database_, 0, 1)).front().hash;
  change(*database_, "delete from audit where number > 1");
  change(*database_, "update audit_end set number = 1, hash = '" + first + "'");
  EXPECT_THAT(kept(store_->verify_all()), IsEmpty());
  EXPECT_THAT(kept(store_->verify_all(before.hash)),
              ElementsAre(HasSubstr("audit: no record has the hash " + before.hash)));
}

}  // namespace
}  // namespace tautmark
