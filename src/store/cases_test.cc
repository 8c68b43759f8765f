// SPDX-License-Identifier: Apache-2.0
#include "store/cases.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <set>
#include <thread>

#include "store/exchange.h"
#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
using testing::ElementsAre;
using testing::IsEmpty;

class Cases : public OnBothDatabases {};
TAUTMARK_ON_BOTH_DATABASES(Cases);

std::vector<std::string> names(const SearchPage& page) {
  std::vector<std::string> found;
  for (const CaseSummary& summary : page.cases) found.push_back(summary.name);
  return found;
}

template <class T>
StoreTrouble trouble_of(const Stored<T>& stored) {
  EXPECT_FALSE(stored);
  return stored ? StoreTrouble::unreachable : stored.error().trouble;
}

TEST_P(Cases, WhatWasStoredIsReadBack) {
  const CaseStore store(open_store(address()));
  const auto made =
      kept(store.create("bay 3",
                        {head_record("title: \"Öl: rattle\"\ndrive: vessgarth\ninvented: true\n"),
                         entry_record("e1", "one")},
                        "ann"));
  EXPECT_EQ(made.title, "Öl: rattle");
  EXPECT_EQ(made.drive, "vessgarth");
  EXPECT_TRUE(made.invented);
  EXPECT_EQ(made.entries, 1);
  EXPECT_EQ(made.head_seq, 2);
  EXPECT_EQ(made.uid.size(), 32U);

  const auto receipts =
      kept(store.append("bay 3", {note_record("two"), note_record("three")}, "bob"));
  ASSERT_EQ(receipts.size(), 2U);
  EXPECT_EQ(receipts[0].entry_id, "e2");
  EXPECT_EQ(receipts[1].entry_id, "e3");
  EXPECT_EQ(receipts[1].seq, 4);
  EXPECT_FALSE(receipts[0].was_there);

  const auto records = kept(store.records("bay 3"));
  ASSERT_EQ(records.size(), 4U);
  EXPECT_EQ(records[2].seat, "bob");
  EXPECT_EQ(records[2].body, entry_record("e2", "two").body);
  EXPECT_EQ(records[3].hash, receipts[1].hash);
  EXPECT_EQ(kept(store.records("bay 3", 2)).size(), 2U);
  const auto summary = kept(store.summary("bay 3"));
  EXPECT_EQ(summary.head_hash, receipts[1].hash);
  EXPECT_EQ(summary.entries, 3);
  EXPECT_THAT(kept(store.verify("bay 3", receipts[0].hash)), IsEmpty());
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
  EXPECT_EQ(trouble_of(store.summary("bay 4")), StoreTrouble::not_found);
  EXPECT_EQ(trouble_of(store.append("bay 4", {note_record("x")}, "ann")), StoreTrouble::not_found);
}

TEST_P(Cases, ALaterHeadTakesThePlaceOfTheFirst) {
  const CaseStore store(open_store(address()));
  kept(store.create("a", {head_record("title: old\n"), entry_record("e1", "one")}, "ann"));
  kept(store.append("a", {head_record("title: new\n")}, "ann"));
  EXPECT_EQ(kept(store.summary("a")).title, "new");
  EXPECT_EQ(joined_case(kept(store.records("a"))),
            head_record("title: new\n").body + entry_record("e1", "one").body);
}

TEST_P(Cases, SendingTwiceWritesOnce) {
  const CaseStore store(open_store(address()));
  kept(store.create("a", {head_record()}, "ann"));
  const auto first =
      kept(store.append("a", {note_record("one", "k1"), note_record("two", "k2")}, "ann"));
  const auto again =
      kept(store.append("a", {note_record("one", "k1"), note_record("two", "k2")}, "bob"));
  for (int i = 0; i < 2; ++i) {
    EXPECT_TRUE(again[i].was_there);
    EXPECT_EQ(again[i].hash, first[i].hash);
    EXPECT_EQ(again[i].entry_id, first[i].entry_id);
    EXPECT_EQ(again[i].at, first[i].at);
  }
  EXPECT_EQ(kept(store.records("a")).size(), 3U);
  EXPECT_EQ(
      trouble_of(store.append("a", {note_record("new", "k3"), note_record("other", "k1")}, "ann")),
      StoreTrouble::differs);
  EXPECT_EQ(trouble_of(store.append("a", {note_record("x", "k9"), note_record("y", "k9")}, "ann")),
            StoreTrouble::refused);
  EXPECT_EQ(kept(store.records("a")).size(), 3U);
  // The key belongs to one case.
  kept(store.create("b", {head_record()}, "ann"));
  EXPECT_FALSE(kept(store.append("b", {note_record("one", "k1")}, "ann"))[0].was_there);
}

TEST_P(Cases, WhatCannotStandInACaseIsRefusedAndNothingIsWritten) {
  const CaseStore store(open_store(address()));
  kept(store.create("a", {head_record(), entry_record("e1", "one")}, "ann"));
  const auto with_body = [](RecordKind kind, const std::string& id, const std::string& body) {
    NewRecord record;
    record.kind = kind;
    record.entry_id = id;
    record.body = body;
    return record;
  };
  const std::vector<NewRecord> bad = {
      entry_record("e1", "the id is taken"),
      entry_record("e\n2", "x"),
      with_body(RecordKind::entry, "e2", "  - id: e3\n"),
      with_body(RecordKind::entry, "e2", "  - id: e2\n  - id: e3\n"),
      with_body(RecordKind::entry, "e2", "words: none\n"),
      with_body(RecordKind::entry, "e2", "  - id: e2\n    words: \"open\n"),
      with_body(RecordKind::entry, "e2", "  - id: e2\n    words: \xff\n"),
      with_body(RecordKind::entry, "e2", std::string("  - id: e2\n    words: a\0b\n", 26)),
      with_body(RecordKind::entry, "", "  - words: x\n"),
      with_body(RecordKind::head, "", "- a\n"),
      with_body(RecordKind::head, "", "name: a\nentries:\n  - id: e9\n"),
      with_body(RecordKind::tail, "", "drive: x\n"),
      with_body(RecordKind::file, "", "a.csv\nabc\n1\n"),
      with_body(RecordKind::file, "", "a.csv\n" + std::string(64, 'a') + "\n1\n"),
  };
  for (const NewRecord& record : bad) {
    EXPECT_FALSE(store.append("a", {note_record("good"), record}, "ann")) << record.body;
    EXPECT_FALSE(store.create("b", {head_record(), entry_record("e1", "x"), record}, "ann"))
        << record.body;
  }
  EXPECT_FALSE(store.append("a", {note_record("good")}, "ann\nbob"));
  EXPECT_FALSE(store.append("a", {note_record("good", std::string(81, 'k'))}, "ann"));
  EXPECT_FALSE(store.create("b", {entry_record("e1", "no head")}, "ann"));
  EXPECT_FALSE(store.create("b", {}, "ann"));
  for (const std::string& name :
       {std::string(), std::string("a/b"), std::string(".a"), std::string("a\nb"),
        std::string(" a"), std::string("a\\b"), std::string(121, 'n'), std::string("\xff"),
        std::string("import")})
    EXPECT_EQ(trouble_of(store.create(name, {head_record()}, "ann")), StoreTrouble::refused)
        << name;
  EXPECT_EQ(trouble_of(store.create("a", {head_record()}, "ann")), StoreTrouble::exists);
  EXPECT_EQ(kept(store.records("a")).size(), 2U);
  EXPECT_EQ(kept(store.search("", 10)).found, 1);
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
  std::string long_name;
  for (int i = 0; i < 120; ++i) long_name += i % 2 == 0 ? "ö" : "n";
  EXPECT_TRUE(store.create(long_name, {head_record()}, "ann"));
}

TEST_P(Cases, IdsAreNeverGivenTwice) {
  const CaseStore store(open_store(address()));
  kept(store.create("a", {head_record(), entry_record("e7", "x"), entry_record("before", "y")},
                    "ann"));
  EXPECT_EQ(kept(store.append("a", {note_record("z")}, "ann"))[0].entry_id, "e8");
  kept(store.append("a", {entry_record("e3", "a gap is free")}, "ann"));
  EXPECT_EQ(trouble_of(store.append("a", {entry_record("e3", "taken")}, "ann")),
            StoreTrouble::exists);
  EXPECT_EQ(trouble_of(store.append("a", {entry_record("before", "taken")}, "ann")),
            StoreTrouble::exists);
  const auto mixed =
      kept(store.append("a", {entry_record("e9", "own"), entry_record("e20", "far")}, "ann"));
  EXPECT_EQ(mixed[1].entry_id, "e20");
  EXPECT_EQ(kept(store.append("a", {note_record("z")}, "ann"))[0].entry_id, "e21");
}

TEST_P(Cases, AnEntryStandsUnderTheDashesThatAreThere) {
  const CaseStore store(open_store(address()));
  NewRecord first;
  first.entry_id = "e1";
  first.body = "- id: e1\n  words: at the margin";
  kept(store.create("a", {head_record(), first}, "ann"));
  kept(store.append("a", {note_record("two", "k")}, "ann"));
  EXPECT_TRUE(kept(store.append("a", {note_record("two", "k")}, "ann"))[0].was_there);
  const std::string text = joined_case(kept(store.records("a")));
  EXPECT_EQ(text, head_record().body +
                      "- id: e1\n  words: at the margin\n- kind: note\n  id: e2\n  words: two\n");
  EXPECT_TRUE(parse_yaml(make_text_file("case.yaml", text)));
}

TEST_P(Cases, SearchFindsWordsFieldsNumbersAndBeginnings) {
  const CaseStore store(open_store(address()));
  kept(store.create("first",
                    {head_record("title: Rattle at hot idle\ndrive: vessgarth-v6-12\n"),
                     entry_record("e1", "27.98 on bank 2  # heard by Ann")},
                    "ann"));
  kept(store.create(
      "second",
      {head_record("drive: quellmere-i4-16\n"), entry_record("e1", "no rattling, bank 1, Ärger")},
      "ann"));
  kept(store.append("first", {note_record("later")}, "ann"));
  const auto found = [&](std::string_view query) { return names(kept(store.search(query, 50))); };
  EXPECT_THAT(found(""), ElementsAre("first", "second"));
  EXPECT_THAT(found("rattl"), ElementsAre("first", "second"));
  EXPECT_THAT(found("RATTLE"), ElementsAre("first"));
  EXPECT_THAT(found("rattl bank"), ElementsAre("first", "second"));
  EXPECT_THAT(found("\"bank 1\""), ElementsAre("second"));
  EXPECT_THAT(found("27.9"), ElementsAre("first"));
  EXPECT_THAT(found("drive:vess"), ElementsAre("first"));
  EXPECT_THAT(found("words:vess"), IsEmpty());
  EXPECT_THAT(found("drive:quellmere-i4-16"), ElementsAre("second"));
  EXPECT_THAT(found("Ärger"), ElementsAre("second"));
  EXPECT_THAT(found("ann"), ElementsAre("first"));
  EXPECT_THAT(found("second"), ElementsAre("second"));
  EXPECT_THAT(found("kind:note"), ElementsAre("first", "second"));
  EXPECT_THAT(found("absent"), IsEmpty());
  EXPECT_THAT(found("rattl absent"), IsEmpty());
  EXPECT_THAT(found("???"), IsEmpty());
  EXPECT_THAT(found("% _ ' ; \" --"), IsEmpty());
  const auto page = kept(store.search("rattl", 1, 1));
  EXPECT_EQ(page.found, 2);
  EXPECT_THAT(names(page), ElementsAre("second"));
  EXPECT_FALSE(store.search("", -1));
  EXPECT_FALSE(store.search("", 100'000));
}

TEST_P(Cases, DeletingIsAnActThatStaysInTheAudit) {
  const auto database = open_store(address());
  const CaseStore store(database);
  const auto shared = stored_bytes(database, "shared", "s.csv");
  const auto own = stored_bytes(database, std::string(3'000'000, 'x'), "own.csv");
  const auto made = kept(store.create("a", {head_record(), entry_record("e1", "x")}, "ann"));
  kept(store.create("b", {head_record()}, "ann"));
  kept(attach(store, "a", shared, "ann"));
  kept(attach(store, "a", own, "ann"));
  kept(attach(store, "b", shared, "ann"));
  EXPECT_EQ(trouble_of(store.remove("a", "ann", "  ")), StoreTrouble::refused);
  kept(store.set_keep_until("a", now_microseconds() + 60'000'000, "ann", "by law"));
  EXPECT_EQ(trouble_of(store.remove("a", "ann", "customer asked")), StoreTrouble::refused);
  kept(store.set_keep_until("a", 0, "ann", "mistake"));
  const std::string head = kept(store.summary("a")).head_hash;
  kept(store.remove("a", "ann", "customer asked"));
  EXPECT_EQ(trouble_of(store.summary("a")), StoreTrouble::not_found);
  EXPECT_EQ(kept(store.search("", 10)).found, 1);
  EXPECT_FALSE(read_blob(*database, own.sha256, 0, -1, [](std::string_view) { return true; }));
  EXPECT_EQ(read_bytes(*database, shared.sha256), "shared");
  long long pieces = 0, uploads = 0;
  kept(database->read([&](soci::session& session) {
    session << "select count(*) from blob_piece", soci::into(pieces);
    session << "select count(*) from upload", soci::into(uploads);
  }));
  EXPECT_EQ(pieces, 1);
  EXPECT_EQ(uploads, 0);
  const auto audit = kept(audit_entries(*database, 0, 100));
  ASSERT_FALSE(audit.empty());
  const AuditEntry& last = audit.back();
  EXPECT_EQ(last.what, "case deleted");
  EXPECT_EQ(last.who, "ann");
  EXPECT_EQ(last.subject, "a");
  EXPECT_EQ(last.detail, "uid " + made.uid + ", entries 1, head " + head + ": customer asked");
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
  kept(store.create("a", {head_record()}, "ann"));
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
}

// Two seats, each with connections of its own, as two programs have them.
TEST_P(Cases, TwoSeatsWriteOneOrder) {
  constexpr int kEach = 1000;
  const auto first = open_store(address());
  const auto second = open_store(address(), OpenFor::writing);
  const CaseStore store(first);
  kept(store.create("a", {head_record()}, "ann"));
  std::vector<std::vector<Receipt>> receipts(2);
  const auto seat = [&](const std::shared_ptr<Database>& database, int number) {
    const CaseStore own(database);
    for (int i = 0; i < kEach; ++i) {
      const auto append = [&] {
        return own.append("a", {note_record(fmt::format("{} of {}", i, number))},
                          fmt::format("seat {}", number));
      };
      auto done = append();
      // SQLite's waiting is not fair: on a slow machine one seat may hear "try again", and does.
      for (int again = 0; !done && done.error().trouble == StoreTrouble::busy && again < 20;
           ++again)
        done = append();
      ASSERT_TRUE(done) << done.error().message;
      receipts[static_cast<std::size_t>(number)].push_back(done->front());
    }
  };
  std::thread other(seat, second, 1);
  seat(first, 0);
  other.join();
  const auto records = kept(store.records("a"));
  ASSERT_EQ(records.size(), 2U * kEach + 1);
  std::set<std::string> ids;
  for (std::size_t i = 1; i < records.size(); ++i) {
    EXPECT_EQ(records[i].seq, static_cast<std::int64_t>(i) + 1);
    EXPECT_EQ(records[i].entry_id, fmt::format("e{}", i));
    ids.insert(records[i].entry_id);
  }
  EXPECT_EQ(ids.size(), 2U * kEach);
  for (const auto& own : receipts) {
    ASSERT_EQ(own.size(), static_cast<std::size_t>(kEach));
    for (std::size_t i = 0; i < own.size(); ++i) {
      EXPECT_EQ(records[static_cast<std::size_t>(own[i].seq - 1)].hash, own[i].hash);
      EXPECT_TRUE(i == 0 || own[i].seq > own[i - 1].seq);
    }
  }
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
}

TEST_P(Cases, AppendingOnlyToTheStateThatWasChecked) {
  const auto database = open_store(address());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  const auto first = kept(store.append("a", {note_record("one", "k1")}, "ann", 1));
  const auto late = store.append("a", {note_record("two")}, "bob", 1);
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().trouble, StoreTrouble::moved_on);
  EXPECT_EQ(kept(store.summary("a")).head_seq, 2);
  // What is there already is found, whatever the state.
  const auto again = kept(store.append("a", {note_record("one", "k1")}, "ann", 1));
  EXPECT_TRUE(again.front().was_there);
  EXPECT_EQ(again.front().hash, first.front().hash);
}

TEST_P(Cases, NamesOfFilesThatNoPackCanHoldAreRefused) {
  const auto database = open_store(address());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  kept(attach(store, "a", stored_bytes(database, "x", "runs/idle.csv"), "ann"));
  for (const std::string& name :
       {std::string("CASE.YAML"), std::string("case.yaml/x"), std::string("record.jsonl/x"),
        std::string("Manifest.json"), std::string(".hidden"), std::string("x/.y"),
        std::string("..."), std::string(255, 'n'), std::string("gpj\u202Eexe"), std::string("runs"),
        std::string("runs/idle.csv/x"), std::string("Runs/b.csv"), std::string("runs/IDLE.csv"),
        std::string("x.DRIVE.yaml"), std::string("a//b"), std::string("../x"),
        std::string("a/b/c/d/e/f/g/h/i/j/k/l/m/n/o/p/q/r")}) {
    const auto receipt = attach(store, "a", stored_bytes(database, "y", name), "ann");
    EXPECT_FALSE(receipt) << name;
  }
  EXPECT_EQ(kept(store.files("a")).size(), 1U);
}

}  // namespace
}  // namespace tautmark
