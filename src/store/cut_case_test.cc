// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <random>
#include <sstream>

#include "base/text.h"
#include "store/case_text.h"
#include "store/exchange.h"

namespace tautmark {
namespace {

std::vector<CaseRecord> as_records(const std::vector<NewRecord>& wanted) {
  std::vector<CaseRecord> records;
  for (const NewRecord& record : wanted) {
    CaseRecord& made = records.emplace_back();
    made.kind = record.kind;
    made.entry_id = record.entry_id;
    made.body = record.body;
  }
  return records;
}

CutCase cut(const std::string& text) {
  auto made = cut_case("case.yaml", text);
  EXPECT_TRUE(made) << text << (made ? "" : diagnostics_text(made.error()));
  return made ? *made : CutCase{};
}

std::size_t entries_of(const CutCase& made) {
  return static_cast<std::size_t>(
      std::count_if(made.records.begin(), made.records.end(),
                    [](const NewRecord& record) { return record.kind == RecordKind::entry; }));
}

// Cut as it stands, and the pieces make the text again.
void expect_exact(const std::string& text, std::size_t entries) {
  const CutCase made = cut(text);
  EXPECT_FALSE(made.rewritten) << text;
  EXPECT_EQ(entries_of(made), entries) << text;
  EXPECT_EQ(joined_case(as_records(made.records)), text);
}

std::string file_text(const std::string& name) {
  std::ifstream in(std::string(TAUTMARK_SOURCE_DIR) + "/" + name, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

const std::string kHead = "tautmark: case/1\nname: a\n";

TEST(CutCase, TheDemoCasesAreCutAsTheyStand) {
  for (const char* name : {"demo/vessgarth/case.yaml", "demo/quellmere/case.yaml"}) {
    const std::string text = file_text(name);
    const auto tree = parse_yaml(make_text_file(name, text));
    ASSERT_TRUE(tree);
    expect_exact(text, tree->find("entries")->items.size());
  }
}

TEST(CutCase, EveryWayToWriteAListIsKept) {
  expect_exact(kHead, 0);
  expect_exact("tautmark: case/1\nname: a", 0);
  expect_exact(kHead + "entries:\n  - id: e1\n    kind: note\n", 1);
  expect_exact(kHead + "entries:\n- id: e1\n  kind: note\n- id: e2", 2);
  expect_exact(
      kHead + "entries: # so far\n\n    # first\n    - id: e1\n    - {id: e2, kind: note}\n", 2);
  expect_exact(kHead + "entries:\n  -\n    # odd\n    id: e1\n  -   id: e2\n", 2);
  expect_exact(
      "# above\r\n" + std::string("tautmark: case/1\r\nentries:\r\n  - id: e1\r\n    words: "
                                  "a\r\n  # below\r\n"),
      1);
  expect_exact(kHead + "entries:\n  - id: e1\n    words: |\n      one\n      # two\n  - id: e2\n",
               2);
  expect_exact(kHead +
                   "entries:\n  - id: e1\n    words: |\n      # one\n      - two\n\n  # c\n"
                   "  - id: e2\n# end\n\n# really\n",
               2);
}

TEST(CutCase, CommentsAboveAnEntryBelongToIt) {
  const CutCase made =
      cut(kHead + "entries:\n  - id: e1\n\n  # of the second\n  - id: e2\n# last\n");
  ASSERT_EQ(made.records.size(), 4U);
  EXPECT_EQ(made.records[0].body, kHead + "entries:\n");
  EXPECT_EQ(made.records[1].body, "  - id: e1\n");
  EXPECT_EQ(made.records[2].body, "\n  # of the second\n  - id: e2\n");
  EXPECT_EQ(made.records[2].entry_id, "e2");
  EXPECT_EQ(made.records[3].kind, RecordKind::tail);
}

TEST(CutCase, OtherWaysAreWrittenAnewWithTheSameValues) {
  for (const std::string& text :
       {std::string("{\"tautmark\": \"case/1\", \"name\": \"a\", \"entries\": [{\"id\": \"e1\", "
                    "\"words\": \"yes\", \"n\": 1.50}], \"title\": \"t: u\"}"),
        "entries:\n  # first\n  - id: e1\n    words: \"yes\"\n    n: 1.50\n" + kHead +
            "title: 't: u'\n",
        kHead + "title: 't: u'\nentries: [{id: e1, words: \"yes\", n: 1.50}]\n",
        kHead + "title: 't: u'\nentries:\n  - id: e1\n    words: \"yes\"\n    n: 1.50\n...\n"}) {
    const CutCase made = cut(text);
    EXPECT_TRUE(made.rewritten) << text;
    ASSERT_EQ(entries_of(made), 1U) << text;
    const auto again = parse_yaml(make_text_file("again", joined_case(as_records(made.records))));
    ASSERT_TRUE(again);
    EXPECT_EQ(again->find("title")->text, "t: u");
    EXPECT_EQ(again->find("entries")->items[0].find("words")->text, "yes");
    EXPECT_EQ(again->find("entries")->items[0].find("n")->text, "1.50");
    EXPECT_EQ(again->members.back().key.text, "entries");
    expect_exact(joined_case(as_records(made.records)), 1);
  }
}

// Programs for Windows write one, or one more each time.
TEST(CutCase, AByteOrderMarkIsLeftOutAndItIsSaid) {
  for (const std::string mark : {"\xEF\xBB\xBF", "\xEF\xBB\xBF\xEF\xBB\xBF"}) {
    const CutCase made = cut(mark + kHead + "entries:\n  - id: e1\n");
    EXPECT_TRUE(made.rewritten);
    EXPECT_EQ(joined_case(as_records(made.records)), kHead + "entries:\n  - id: e1\n");
  }
}

TEST(CutCase, EntriesInTheMiddleKeepTheirComments) {
  const CutCase made =
      cut("tautmark: case/1\nentries:\n  # heard it\n  - id: e1\nname: a  # mine\n");
  EXPECT_EQ(joined_case(as_records(made.records)),
            "tautmark: case/1\nname: a  # mine\nentries:\n  # heard it\n  - id: e1\n");
}

TEST(CutCase, AnEmptyListGivesWay) {
  for (const char* empty : {"entries: []\n", "entries:\n", "entries:\n# none yet\n"}) {
    const CutCase made = cut(kHead + empty);
    EXPECT_TRUE(made.rewritten);
    EXPECT_EQ(joined_case(as_records(made.records)), kHead);
  }
  // A head made for entries that do not come.
  CaseRecord head;
  head.body = kHead + "entries:  # soon\n";
  EXPECT_EQ(joined_case({head}), kHead);
}

TEST(CutCase, WhatIsNoCaseIsRefused) {
  for (const char* text : {"", "- a\n", "entries: 3\n", "name: a\nentries:\n  - words: no id\n",
                           "name: a\nentries:\n  - just text\n", "a: b\n\tc: d\n"})
    EXPECT_FALSE(cut_case("case.yaml", text)) << text;
}

TEST(CutCase, JoinedGrowsByTheLineEntriesAndByLineEnds) {
  const auto joined = [](const std::string& text, const std::string& more) {
    CutCase made = cut(text);
    NewRecord& record = made.records.emplace_back();
    record.body = more;
    return joined_case(as_records(made.records));
  };
  EXPECT_EQ(joined("tautmark: case/1\nname: a", "  - id: e1\n"), kHead + "entries:\n  - id: e1\n");
  EXPECT_EQ(joined(kHead + "entries:\n  - id: e1", "  - id: e2\n"),
            kHead + "entries:\n  - id: e1\n  - id: e2\n");
  EXPECT_EQ(joined(kHead + "entries:\n  - id: e1\n# end", "  - id: e2\n"),
            kHead + "entries:\n  - id: e1\n  - id: e2\n# end");
}

// Whatever is put together from these lines and is a case at all is cut without loss, or written
// anew so that it can be cut without loss from then on.
TEST(CutCase, RandomTexts) {
  const std::vector<std::string> lines = {"tautmark: case/1",
                                          "name: a",
                                          "title: |",
                                          "  # inside",
                                          "  text",
                                          "entries:",
                                          "entries: []",
                                          "  - id: e1",
                                          "  - id: e2",
                                          "- id: e3",
                                          "    words: |",
                                          "      # in a block",
                                          "      - dash",
                                          "    words: >-",
                                          "    # comment",
                                          "# comment",
                                          "",
                                          "  ",
                                          "    kind: note",
                                          "    - x",
                                          "    list:",
                                          "      - y",
                                          "...",
                                          "---",
                                          "    words: \"a",
                                          "      b\"",
                                          "drive: x"};
  std::mt19937 random(7);
  int cases = 0;
  for (int i = 0; i < 60'000; ++i) {
    std::string text = "a: b\n";
    const char* end = random() % 8 == 0 ? "\r\n" : "\n";
    for (auto n = 1 + random() % 9; n > 0; --n) text += lines[random() % lines.size()] + end;
    if (random() % 4 == 0 && text.ends_with('\n')) text.pop_back();
    const auto made = cut_case("case.yaml", text);
    if (!made) continue;
    ++cases;
    const std::string joined = joined_case(as_records(made->records));
    if (!made->rewritten) {
      ASSERT_EQ(joined, text);
      continue;
    }
    const auto again = cut_case("case.yaml", joined);
    ASSERT_TRUE(again) << text;
    EXPECT_FALSE(again->rewritten) << text;
    EXPECT_EQ(entries_of(*again), entries_of(*made)) << text;
  }
  EXPECT_GT(cases, 300);
}

TEST(CaseText, AnEntryMovesUnderAnotherDash) {
  const std::string body = "  # note\n  - id: e1\n    words: |\n      a\n\n        b\n";
  EXPECT_EQ(entry_indent(body), 2);
  const std::string moved = indented_entry(body, 0);
  EXPECT_EQ(moved, "# note\n- id: e1\n  words: |\n    a\n\n      b\n");
  EXPECT_EQ(indented_entry(moved, 2), body);
  EXPECT_EQ(indented_entry("# at the margin\n    - id: e1\n", 2), "# at the margin\n  - id: e1\n");
}

TEST(CaseText, AFileRecordIsReadBackOnlyAsItWasWritten) {
  const StoredFile file{"recordings/a.csv", std::string(64, 'a'), 12};
  const auto again = file_of_record(file_record_body(file));
  ASSERT_TRUE(again);
  EXPECT_EQ(again->name, file.name);
  EXPECT_EQ(again->bytes, 12);
  for (const char* body :
       {"", "a\nb\n", "a\nb\n012\n", "a\nb\n12", "a\nb\n12\nmore\n", "a\nb\n-1\n"})
    EXPECT_FALSE(file_of_record(body)) << body;
}

TEST(RecordHash, IsTheOneOfTheDocument) {
  CaseRecord record;
  record.seq = 1;
  record.kind = RecordKind::head;
  record.at = 1'775'000'000'000'000;
  record.seat = "ann, bay 3";
  record.body = "tautmark: case/1\nname: example\n";
  EXPECT_EQ(record_hash(std::string(64, '0'), "00112233445566778899aabbccddeeff", record),
            "29a4547bf7d272b7b12a5607d8dadb2c9721fb7ebd449299558e9eb68be2cf2e");
}

}  // namespace
}  // namespace tautmark
