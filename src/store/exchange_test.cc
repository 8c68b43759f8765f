// SPDX-License-Identifier: Apache-2.0
#include "store/exchange.h"

#include <gmock/gmock.h>

#include <atomic>
#include <map>
#include <sstream>
#include <thread>

#include "casework/load.h"
#include "store/add_entry.h"
#include "store/readable_case.h"
#include "store/record_file.h"
#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
using testing::HasSubstr;
using testing::IsEmpty;
namespace fs = std::filesystem;

const DriveFolders kShop{{fs::path(TAUTMARK_SOURCE_DIR) / "drives"}};

std::string file_text(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

// Every file below a folder with its bytes.
std::map<std::string, std::string> contents(const fs::path& folder) {
  std::map<std::string, std::string> found;
  for (const auto& item : fs::recursive_directory_iterator(folder))
    if (item.is_regular_file())
      found[item.path().lexically_relative(folder).generic_string()] = file_text(item.path());
  return found;
}

std::string words_of(const CaseRefused& refused) {
  return refused.error ? refused.error->message : diagnostics_text(refused.mistakes);
}

class Exchange : public OnBothDatabases {
 protected:
  void SetUp() override {
    OnBothDatabases::SetUp();
    if (!IsSkipped()) database_ = open_store(address());
  }
  [[nodiscard]] CaseStore store() const { return CaseStore(database_); }
  // Another one, embedded.
  [[nodiscard]] CaseStore other_store() const {
    return CaseStore(open_store((folder().path() / "other.store").string()));
  }
  [[nodiscard]] fs::path made(const std::string& name, const std::string& text) const {
    return fs::path(folder().write(name + "/case.yaml", text)).parent_path();
  }
  static Imported in(const CaseStore& store, const fs::path& from,
                     const DriveFolders& drives = kShop) {
    auto imported = import_case(store, from, {{}, "ann", drives});
    if (!imported) throw std::runtime_error(words_of(imported.error()));
    return *imported;
  }
  static std::string refusal(const CaseStore& store, const fs::path& from) {
    const auto imported = import_case(store, from, {{}, "ann", kShop});
    return imported ? "" : words_of(imported.error());
  }
  std::shared_ptr<Database> database_;
};
TAUTMARK_ON_BOTH_DATABASES(Exchange);

const std::string kHead = "tautmark: case/1\nname: bay-4\ntitle: a\n";
const std::string kNote = "  - kind: note\n    id: e1\n    words: one\n";

// Folder, store, folder, another store, folder: the same bytes and the same chain.
TEST_P(Exchange, RoundTrip) {
  const std::map<std::string, std::string> texts = {
      {"plain", kHead + "entries:\n" + kNote},
      {"without an end", kHead + "entries:\n" + kNote.substr(0, kNote.size() - 1)},
      {"comments", "# a\n" + kHead + "# b\nentries:  # c\n\n  # d\n" + kNote + "    # e\n# f\n\n"},
      {"carriage returns",
       "tautmark: case/1\r\nname: bay-4\r\nentries:\r\n  - kind: note\r\n    id: "
       "e1\r\n    words: one\r\n# end\r\n"},
      {"no entries", kHead}};
  std::vector<std::pair<fs::path, std::string>> folders;
  for (const auto& [name, text] : texts) folders.emplace_back(made(name, text), name);
  for (const char* demo : {"vessgarth", "quellmere"})
    folders.emplace_back(fs::path(TAUTMARK_SOURCE_DIR) / "demo" / demo, demo);
  const CaseStore first = store(), second = other_store();
  for (const auto& [from, name] : folders) {
    const auto imported = import_case(first, from, {name, "ann", kShop});
    ASSERT_TRUE(imported) << words_of(imported.error());
    EXPECT_FALSE(imported->rewritten);
    const fs::path out = folder().path() / (name + " out"),
                   again = folder().path() / (name + " again");
    kept(export_case(first, name, out, {}, "ann"));
    auto found = contents(out);
    EXPECT_FALSE(found["record.jsonl"].empty());
    found.erase("record.jsonl");
    EXPECT_EQ(found, contents(from)) << name;
    const Imported there = in(second, out);
    EXPECT_EQ(there.summary.uid, imported->summary.uid);
    EXPECT_EQ(there.summary.head_hash, imported->summary.head_hash) << name;
    EXPECT_FALSE(there.rewritten);
    kept(export_case(second, name, again, {}, "ann"));
    EXPECT_EQ(contents(again), contents(out)) << name;
    // Once more changes nothing.
    EXPECT_EQ(in(first, again).records_added, 0);
    EXPECT_THAT(kept(second.verify(name, imported->summary.head_hash)), IsEmpty());
  }
  EXPECT_THAT(kept(first.verify_all()), IsEmpty());
  EXPECT_THAT(kept(second.verify_all()), IsEmpty());
}

TEST_P(Exchange, OtherWritingsComeOutAsYamlWithTheSameValues) {
  const std::map<std::string, std::string> texts = {
      {"json",
       R"({"tautmark": "case/1", "entries": [{"kind": "note", "id": "e1", "words": "one"}],)"
       R"( "name": "bay-4"})"},
      {"in the middle", "tautmark: case/1\nentries:\n" + kNote + "name: bay-4\n"}};
  for (const auto& [name, text] : texts) {
    const fs::path from = made(name, text);
    if (name == "json") fs::rename(from / "case.yaml", from / "case.json");
    const auto imported = import_case(store(), from, {name, "ann", kShop});
    ASSERT_TRUE(imported) << words_of(imported.error());
    EXPECT_TRUE(imported->rewritten);
    const fs::path out = folder().path() / (name + " out");
    kept(export_case(store(), name, out, {}, "ann"));
    const auto before = load_case(from.string(), kShop), after = load_case(out.string(), kShop);
    ASSERT_TRUE(before && after);
    EXPECT_EQ(before->value, after->value);
    EXPECT_EQ(in(other_store(), out).summary.head_hash, imported->summary.head_hash);
  }
}

TEST_P(Exchange, ACaseMadeForEntriesCanBeReadWithoutThem) {
  kept(store().create("bay-4", {head_record()}, "ann"));
  const fs::path out = folder().path() / "out";
  kept(export_case(store(), "bay-4", out, {}, "ann"));
  EXPECT_TRUE(load_case(out.string(), kShop));
  EXPECT_EQ(in(other_store(), out).summary.head_hash, kept(store().summary("bay-4")).head_hash);
  EXPECT_EQ(in(store(), out).records_added, 0);
}

TEST_P(Exchange, EntriesOfTheStoreComeOutInTheFile) {
  in(store(), made("a", kHead + "# no entries"));
  kept(store().append("bay-4", {note_record("new")}, "bob"));
  const fs::path out = folder().path() / "out";
  kept(export_case(store(), "bay-4", out, {}, "ann"));
  EXPECT_EQ(file_text(out / "case.yaml"),
            kHead + "# no entries\nentries:\n" + entry_record("e1", "new").body);
  EXPECT_TRUE(load_case(out.string(), kShop));
  EXPECT_EQ(kept(audit_entries(*database_, 0, 10)).back().what, "export");
}

TEST_P(Exchange, TheSameCaseGrowsAndOneGrownApartIsNamed) {
  const CaseStore first = store(), second = other_store();
  in(first, made("a", kHead + "entries:\n" + kNote));
  const auto out = [&](const CaseStore& store, const char* name) {
    kept(export_case(store, "bay-4", folder().path() / name, {}, "ann"));
    return folder().path() / name;
  };
  in(second, out(first, "out1"));
  kept(first.append("bay-4", {note_record("two"), note_record("three")}, "bob"));
  const Imported grown = in(second, out(first, "out2"));
  EXPECT_EQ(grown.records_added, 2);
  EXPECT_EQ(grown.summary.head_hash, kept(first.summary("bay-4")).head_hash);
  // The shorter one adds nothing to the longer.
  EXPECT_EQ(in(first, folder().path() / "out1").records_added, 0);
  kept(first.append("bay-4", {note_record("four")}, "bob"));
  kept(second.append("bay-4", {note_record("four")}, "eve"));
  const fs::path apart = out(first, "out3");
  EXPECT_THAT(refusal(second, apart), HasSubstr("grown apart: their record 5 differs"));
  EXPECT_EQ(kept(second.summary("bay-4")).entries, 4);
  EXPECT_THAT(kept(second.verify_all()), IsEmpty());
}

TEST_P(Exchange, WhatWasAddedToTheFolderByHandIsTakenInOnce) {
  in(store(), made("a", kHead + "entries:\n" + kNote));
  const fs::path out = folder().path() / "out";
  kept(export_case(store(), "bay-4", out, {}, "ann"));
  folder().write("out/case.yaml",
                 file_text(out / "case.yaml") + entry_record("e2", "by hand").body);
  folder().write("out/recordings/new.csv", "1,2\n");
  EXPECT_EQ(in(store(), out).records_added, 2);
  EXPECT_EQ(in(store(), out).records_added, 0);
  EXPECT_EQ(kept(store().summary("bay-4")).entries, 2);
  EXPECT_EQ(kept(store().files("bay-4")).size(), 1U);
  EXPECT_THAT(kept(store().verify_all()), IsEmpty());
}

TEST_P(Exchange, ARecordThatWasTamperedWithIsRefused) {
  const fs::path from = made("a", kHead + "entries:\n" + kNote);
  folder().write("a/r.csv", "1\n");
  in(store(), from);
  const auto out = [&](const std::string& name) {
    kept(export_case(store(), "bay-4", folder().path() / name, {}, "ann"));
    return folder().path() / name;
  };
  const auto edit = [&](const fs::path& file, const std::string& what, const std::string& by) {
    std::string text = file_text(file);
    const auto at = text.find(what);
    ASSERT_NE(at, std::string::npos);
    std::ofstream(file, std::ios::binary) << text.replace(at, what.size(), by);
  };
  const CaseStore other = other_store();
  fs::path bad = out("body");
  edit(bad / "record.jsonl", "words: one", "words: two");
  EXPECT_THAT(refusal(other, bad), HasSubstr("record 2 was changed after it was stored"));
  bad = out("text");
  edit(bad / "case.yaml", "words: one", "words: two");
  EXPECT_THAT(refusal(other, bad),
              HasSubstr("entry \"e1\" of the case file is not what its record"));
  bad = out("file");
  edit(bad / "r.csv", "1", "2");
  EXPECT_THAT(refusal(other, bad), HasSubstr("\"r.csv\" has other bytes than its record says"));
  bad = out("gone");
  fs::remove(bad / "r.csv");
  EXPECT_THAT(refusal(other, bad), HasSubstr("\"r.csv\" of the record is not in the folder"));
  bad = out("missing");
  std::string lines = file_text(bad / "record.jsonl");
  const auto second = lines.find('\n') + 1, third = lines.find('\n', second) + 1;
  std::ofstream(bad / "record.jsonl", std::ios::binary) << lines.erase(second, third - second);
  EXPECT_THAT(refusal(other, bad), HasSubstr("record 1 is missing"));
  for (const char* text :
       {"", "{}", "[1]", "{\"tautmark\": \"record/1\", \"uid\": \"../x\", \"name\": \"\"}"}) {
    std::ofstream(bad / "record.jsonl", std::ios::binary) << text;
    EXPECT_NE(refusal(other, bad), "") << text;
  }
  EXPECT_EQ(kept(other.search("", 10)).found, 0);
}

TEST_P(Exchange, LinksAndMistakesAreRefused) {
  const fs::path from = made("a", kHead);
  fs::create_symlink("/etc/hostname", from / "link.csv");
  EXPECT_THAT(refusal(store(), from), HasSubstr("\"link.csv\" is a symbolic link"));
  fs::remove(from / "link.csv");
  fs::create_directory_symlink("/etc", from / "folder");
  EXPECT_THAT(refusal(store(), from), HasSubstr("\"folder\" is a symbolic link"));
  EXPECT_THAT(refusal(store(), made("b", kHead + "colour: red\n")), HasSubstr("colour"));
  EXPECT_EQ(kept(store().search("", 10)).found, 0);
  in(store(), made("c", kHead));
  EXPECT_THAT(refusal(store(), made("d", kHead)), HasSubstr("is in the store already"));
}

TEST_P(Exchange, DrivesGoWithTheCaseAndAreNoRecordsWhereTheyAreKnown) {
  in(store(), made("a", kHead + "drive: vessgarth-v6-12-tall\n"));
  const fs::path out = folder().path() / "out";
  kept(export_case(store(), "bay-4", out, kShop, "ann"));
  EXPECT_TRUE(fs::exists(out / "vessgarth-v6-12-tall.drive.yaml"));
  EXPECT_TRUE(fs::exists(out / "vessgarth-v6-12.drive.yaml"));  // it is based on this one
  EXPECT_TRUE(load_case(out.string(), {}));
  EXPECT_EQ(in(store(), out).records_added, 0);
  // A shop that does not know them keeps them.
  const Imported there = in(other_store(), out, {});
  EXPECT_EQ(there.records_added, 3);
  EXPECT_EQ(kept(other_store().files("bay-4")).size(), 2U);
}

// Frozen at today's revision, it would go on judging the case when the shop has a newer one.
TEST_P(Exchange, ADriveThatTheShopHasJustSoIsNotTakenInFromAFolder) {
  const fs::path from = made("a", kHead + "drive: vessgarth-v6-12\n");
  const std::string name = "vessgarth-v6-12.drive.yaml";
  fs::copy_file(kShop.folders.front() / name, from / name);
  in(store(), from);
  EXPECT_THAT(kept(store().files("bay-4")), IsEmpty());
  // Another text is the case's own; and a shop that has no other folder than the case's keeps it.
  std::ofstream(from / name, std::ios::app) << "# by hand\n";
  for (const auto& [as, drives] : {std::pair("b", kShop), {"c", DriveFolders{{from}}}}) {
    ASSERT_TRUE(import_case(store(), from, {as, "ann", drives}));
    EXPECT_EQ(kept(store().files(as)).size(), 1U) << as;
  }
}

TEST_P(Exchange, AMarkOfTheByteOrderIsSaidToBeGone) {
  const Imported imported = in(store(), made("a", "\xEF\xBB\xBF" + kHead));
  EXPECT_TRUE(imported.rewritten);
  EXPECT_FALSE(in(other_store(), made("b", kHead)).rewritten);
}

TEST_P(Exchange, NothingIsHalfWrittenOrWrittenOver) {
  in(store(), made("a", kHead));
  const fs::path out = folder().path() / "out";
  fs::create_directory(out);
  EXPECT_EQ(export_case(store(), "bay-4", out, {}, "ann").error().trouble, StoreTrouble::exists);
  EXPECT_THAT(contents(out), IsEmpty());
  EXPECT_FALSE(export_case(store(), "bay-4", folder().path() / "no" / "folder", {}, "ann"));
  EXPECT_EQ(export_case(store(), "bay-5", folder().path() / "x", {}, "ann").error().trouble,
            StoreTrouble::not_found);
  kept(attach(store(), "bay-4", stored_bytes(database_, "bytes", "b.csv"), "ann"));
  change(*database_, "delete from blob_piece");
  EXPECT_FALSE(export_case(store(), "bay-4", folder().path() / "y", {}, "ann"));
  int folders = 0;
  for (const auto& item : fs::directory_iterator(folder().path()))
    folders += item.is_directory() ? 1 : 0;
  EXPECT_EQ(folders, 2);  // "a" and "out"
}

TEST_P(Exchange, AFolderForReadingHasTheBytesThatAreAskedFor) {
  const fs::path from = made("a", kHead + "entries:\n" + kNote);
  folder().write("a/recordings/r.csv", "1,2\n");
  folder().write("a/own.YAML", "tautmark: drive/1\n");
  in(store(), from);
  const fs::path all = folder().path() / "all", to_load = folder().path() / "to_load";
  kept(case_for_reading(store(), "bay-4", all, FilesWanted::all));
  EXPECT_EQ(contents(all), contents(from));
  const CaseForReading written =
      kept(case_for_reading(store(), "bay-4", to_load, FilesWanted::to_load));
  EXPECT_EQ(written.summary.head_hash, kept(store().summary("bay-4")).head_hash);
  EXPECT_EQ(written.files.size(), 2U);
  EXPECT_TRUE(load_case(to_load.string(), kShop));
  EXPECT_EQ(fs::file_size(to_load / "recordings/r.csv"), 0U);
  EXPECT_EQ(fs::file_size(to_load / "own.YAML"), 18U);
  EXPECT_EQ(case_for_reading(store(), "bay-4", all, FilesWanted::all).error().trouble,
            StoreTrouble::exists);
}

TEST_P(Exchange, TheAuditSaysWhoBroughtInWhichRecords) {
  const fs::path from = made("in", kHead + "entries:\n" + kNote), out = folder().path() / "out";
  const CaseStore first = store(), second = other_store();
  (void)in(first, from);
  EXPECT_THAT(kept(first.origins("bay-4")), IsEmpty());
  kept(export_case(first, "bay-4", out, {}, "ann"));
  // A record of somebody else's, long ago, with a hash of its own made as the definition says.
  RecordFile chain = kept(read_record_file(out / kRecordFile));
  CaseRecord forged;
  forged.seq = static_cast<std::int64_t>(chain.records.size()) + 1;
  forged.kind = RecordKind::entry;
  forged.entry_id = "e2";
  forged.seat = "THE BOSS";
  forged.body = "  - kind: note\n    id: e2\n    words: forged\n";
  forged.hash = record_hash(chain.records.back().hash, chain.uid, forged);
  chain.records.push_back(forged);
  std::ofstream(out / kRecordFile, std::ios::binary) << record_file_text(chain);
  std::ofstream(out / "case.yaml", std::ios::binary) << joined_case(chain.records);
  const auto imported = import_case(first, out, {{}, "mallory", kShop});
  ASSERT_TRUE(imported) << words_of(imported.error());
  EXPECT_THAT(kept(first.verify_all()), IsEmpty());
  EXPECT_THAT(kept(first.origins("bay-4")),
              testing::ElementsAre(HasSubstr("records 3 to 3 came in by import: mallory"),
                                   HasSubstr("record 3 has an earlier time (1970-01-01T00:00:00) "
                                             "than the one before it: it came in by import")));
  (void)in(second, out);
  EXPECT_THAT(kept(second.origins("bay-4")).front(),
              HasSubstr("records 1 to 3 came in by import: ann"));
}

TEST_P(Exchange, OneThatHasGrownApartIsKeptUnderAnotherName) {
  const fs::path from = made("in", kHead + "entries:\n" + kNote), out = folder().path() / "out";
  const CaseStore first = store(), second = other_store();
  const std::string uid = in(first, from).summary.uid;
  kept(export_case(first, "bay-4", out, {}, "ann"));
  (void)in(second, out);
  kept(first.append("bay-4", {note_record("here")}, "ann"));
  kept(second.append("bay-4", {note_record("there")}, "bob"));
  const fs::path apart = folder().path() / "apart";
  kept(export_case(second, "bay-4", apart, {}, "bob"));
  EXPECT_THAT(refusal(first, apart), HasSubstr("have grown apart"));
  const auto own = import_case(first, apart, {"bay-4 b", "ann", kShop});
  ASSERT_TRUE(own) << words_of(own.error());
  EXPECT_NE(own->summary.uid, uid);
  EXPECT_EQ(own->summary.name, "bay-4 b");
  EXPECT_EQ(joined_case(kept(first.records("bay-4 b"))), file_text(apart / "case.yaml"));
  EXPECT_EQ(kept(first.records("bay-4")).size(), 3U);
  EXPECT_THAT(kept(audit_entries(*database_, 0, 100)).back().detail,
              HasSubstr("grown apart from the case with uid " + uid));
  EXPECT_THAT(kept(first.verify_all()), IsEmpty());
}

TEST_P(Exchange, ADriveFileIsOne) {
  const fs::path from = made("in", kHead + "entries:\n" + kNote);
  std::ofstream(from / "x.drive.yaml") << "junk";
  EXPECT_THAT(refusal(store(), from), testing::Not(IsEmpty()));
  fs::remove(from / "x.drive.yaml");
  std::ofstream(from / ".hidden") << "x";
  EXPECT_THAT(refusal(store(), from), HasSubstr("hidden"));
}

// Older damage: the second correction of one entry came in unchecked.
TEST_P(Exchange, ACaseThatDoesNotLoadTakesEntriesAndLeavesAndArrives) {
  const CaseStore first = store(), second = other_store();
  (void)in(first, made("in", kHead + "entries:\n" + kNote));
  for (const char* id : {"e2", "e3"}) {
    NewRecord record = entry_record(id, "again");
    record.body += "    replaces: e1\n";
    kept(first.append("bay-4", {record}, "ann"));
  }
  const fs::path scratch = folder().path() / "scratch";
  const auto add = [&](const std::string& replaces) {
    Entry entry;
    entry.body = Note{"fresh"};
    if (!replaces.empty()) entry.replaces = replaces;
    return add_checked_entry(first, "bay-4", scratch, {entry, {}, "ann"}, kShop);
  };
  EXPECT_TRUE(add("")) << words_of(add("").error());
  const auto third = add("e9");
  ASSERT_FALSE(third);
  EXPECT_THAT(words_of(third.error()), HasSubstr("no earlier entry"));
  const Case value = readable_case("bay-4", kept(first.records("bay-4")));
  EXPECT_GE(value.entries.size(), 4U);
  const fs::path out = folder().path() / "out";
  kept(export_case(first, "bay-4", out, {}, "ann"));
  EXPECT_EQ(in(second, out).summary.head_hash, kept(first.summary("bay-4")).head_hash);
}

// Each is right alone; of all of them one can be.
TEST_P(Exchange, OfTwoCorrectionsAtOnceOneIsStored) {
  const CaseStore first = store();
  (void)in(first, made("in", kHead + "entries:\n" + kNote));
  const fs::path scratch = folder().path() / "scratch";
  std::atomic<int> stored{0};
  std::vector<std::thread> seats;
  for (int i = 0; i < 4; ++i)
    seats.emplace_back([&] {
      Entry entry;
      entry.body = Note{"corrected"};
      entry.replaces = "e1";
      if (add_checked_entry(first, "bay-4", scratch, {entry, {}, "ann"}, kShop)) ++stored;
    });
  for (std::thread& seat : seats) seat.join();
  EXPECT_EQ(stored, 1);
  EXPECT_EQ(kept(first.records("bay-4")).size(), 3U);
}

}  // namespace
}  // namespace tautmark
