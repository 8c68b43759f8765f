// SPDX-License-Identifier: Apache-2.0
// Appending to a case: nothing that is there changes, and nothing is lost.
#include <fcntl.h>
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <set>
#include <sstream>
#include <thread>

#include "casework/case_fields.h"
#include "casework/load.h"
#include "support/random_record.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

Entry note(std::string words) {
  Entry entry;
  entry.at = Date{"2026-03-02T10:15"};
  entry.body = Note{std::move(words)};
  return entry;
}

class Append : public testing::Test {
 protected:
  std::string text(const std::string& name = "case.yaml") const {
    std::ifstream in(folder_.path() / name, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
  }
  std::vector<std::string> files() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder_.path()))
      names.push_back(entry.path().filename().string());
    return names;
  }
  Parsed<std::string> append(Entry entry) { return append_entry(folder_.path().string(), entry); }
  Parsed<LoadedCase> load() const { return load_case(folder_.path().string(), {}); }

  // Appends and checks that all that was there is there still, byte for byte.
  void check_appends(const std::string& before, const std::string& id) {
    folder_.write("case.yaml", before);
    const auto got = append(note("appended: \"so\""));
    ASSERT_TRUE(got) << diagnostics_text(got.error());
    EXPECT_EQ(*got, id);
    EXPECT_TRUE(text().starts_with(before)) << text();
    const auto loaded = load();
    ASSERT_TRUE(loaded) << text() << diagnostics_text(loaded.error());
    const Entry& last = loaded->value.entries.back();
    EXPECT_EQ(last.id, id);
    EXPECT_EQ(std::get<Note>(last.body).words, "appended: \"so\"");
  }
  // Entries "writer number", each once, each writer's in order.
  void check_all_there(int writers, int each) {
    const auto loaded = load();
    ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
    std::set<std::string> words, ids;
    for (const Entry& entry : loaded->value.entries) {
      words.insert(std::get<Note>(entry.body).words);
      ids.insert(entry.id);
    }
    const auto count = static_cast<std::size_t>(writers) * static_cast<std::size_t>(each);
    EXPECT_EQ(loaded->value.entries.size(), count);
    EXPECT_EQ(words.size(), count);
    EXPECT_EQ(ids.size(), count);
    EXPECT_THAT(files(), ElementsAre("case.yaml"));
  }
  void check_refuses(const std::string& before) {
    folder_.write("case.yaml", before);
    const auto got = append(note("words"));
    EXPECT_FALSE(got);
    EXPECT_EQ(text(), before);
    EXPECT_THAT(files(), ElementsAre("case.yaml"));
  }

  test::TempFolder folder_;
};

constexpr const char* kHead = "tautmark: case/1\nname: a\n";

TEST_F(Append, KeepsEveryByteBefore) {
  check_appends(std::string(kHead) + "entries:\n  - {kind: note, id: e1, words: w}\n", "e2");
  check_appends(
      "# a remark at the top\ntautmark: case/1\nname:   \"a\"   # odd blanks\n\nentries:   # "
      "below\n"
      "  # before the first\n  - kind: note\n    id: e7\n    words: 'it''s'\n\n  # after the "
      "last\n",
      "e8");
}

// SHA-256 of "abc": FIPS 180-2, appendix B.1.
TEST_F(Append, ARecordingIsEnteredWithTheSumOfItsFile) {
  folder_.write("case.yaml", kHead);
  folder_.write("a.csv", "abc");
  Entry entry;
  SensorRecording recording;
  recording.file = "a.csv";
  entry.body = recording;
  ASSERT_TRUE(append(entry));
  EXPECT_THAT(text(),
              HasSubstr("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"));
}

TEST_F(Append, StartsTheListWhereThereIsNone) {
  check_appends(kHead, "e1");
  check_appends("tautmark: case/1\nname: a\nengine:\n  serial: V6-1\n", "e1");
}

TEST_F(Append, EndsALineThatHasNoEnd) {
  folder_.write("case.yaml", "tautmark: case/1\nname: a");
  ASSERT_TRUE(append(note("w")));
  EXPECT_TRUE(text().starts_with("tautmark: case/1\nname: a\nentries:\n"));
  EXPECT_EQ(load()->value.entries.size(), 1U);
}

TEST_F(Append, FollowsTheIndentationOfTheList) {
  check_appends(std::string(kHead) + "entries:\n- kind: note\n  id: e1\n  words: w\n", "e2");
  check_appends(
      std::string(kHead) + "entries:\n      - kind: note\n        id: e1\n        words: w\n",
      "e2");
  check_appends(
      std::string(kHead) + "entries:\n    -   kind: note\n        id: e1\n        words: w\n",
      "e2");
}

TEST_F(Append, KeepsWindowsLineEndsReadable) {
  check_appends("tautmark: case/1\r\nname: a\r\nentries:\r\n  - {kind: note, id: e1, words: w}\r\n",
                "e2");
}

TEST_F(Append, GivesTheNextFreeId) {
  check_appends(std::string(kHead) +
                    "entries:\n  - {kind: note, id: e9, words: w}\n"
                    "  - {kind: note, id: e3, words: w}\n"
                    "  - {kind: note, id: first, words: w}\n"
                    "  - {kind: note, id: e99999999999, words: w}\n",
                "e10");
}

TEST_F(Append, TakesEveryKindOfEntryWithNastyTexts) {
  folder_.write("case.yaml", kHead);
  std::vector<Entry> appended;
  for (unsigned seed = 0; seed < 60; ++seed) {
    Entry entry = test::RandomRecord(seed).make<Entry>();
    const auto id = append(entry);
    ASSERT_TRUE(id) << diagnostics_text(id.error());
    entry.id = *id;
    appended.push_back(entry);
  }
  // Not load_case: random entries contradict each other.
  const auto node = parse_tree(make_text_file("case.yaml", text()));
  ASSERT_TRUE(node) << diagnostics_text(node.error());
  Case read;
  Diagnostics diagnostics;
  ReadContext context;
  context.diagnostics = &diagnostics;
  ASSERT_TRUE(read_record(*node, read, context)) << diagnostics_text(diagnostics);
  EXPECT_EQ(read.entries, appended);
}

TEST_F(Append, WritesJsonAsJson) {
  folder_.write("case.json",
                "{\"tautmark\": \"case/1\", \"name\": \"a\", \"entries\": "
                "[{\"kind\": \"note\", \"id\": \"e1\", \"words\": \"w\"}]}");
  EXPECT_EQ(append(note("v")).value(), "e2");
  EXPECT_TRUE(text("case.json").starts_with("{"));
  const auto loaded = load();
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  EXPECT_EQ(loaded->value.entries.size(), 2U);
  EXPECT_THAT(files(), ElementsAre("case.json"));
}

TEST_F(Append, StartsTheListOfAJsonCase) {
  folder_.write("case.json", "{\"tautmark\": \"case/1\", \"name\": \"a\"}");
  EXPECT_EQ(append(note("v")).value(), "e1");
  EXPECT_EQ(load()->value.entries.size(), 1U);
}

TEST_F(Append, LeavesAFileAloneThatItCannotAppendTo) {
  check_refuses(std::string(kHead) + "entries: []\n");
  check_refuses(std::string(kHead) + "entries: [{kind: note, id: e1, words: w}]\n");
  check_refuses(std::string(kHead) + "entries:\n  [{kind: note, id: e1, words: w}]\n");
  check_refuses("tautmark: case/1\nentries:\n  - {kind: note, id: e1, words: w}\nname: a\n");
  check_refuses(std::string(kHead) + "entries: none\n");
  check_refuses("tautmark: drive/1\nname: a\n");
  check_refuses("name: a\n");
  check_refuses("");
  check_refuses("not: [readable\n");
  check_refuses(std::string(kHead) + "entries:\n  - kind: note\n    id: e1\n    words: \"open\n");
  check_refuses(std::string(kHead) + "entries:\n  - {kind: note, id: e1, words: w}\n...\n");
  check_refuses("\xFF\xD8\xFF");
}

TEST_F(Append, GoesUnderAnEmptyListOfEntries) {
  folder_.write("case.yaml", std::string(kHead) + "entries:\n");
  ASSERT_TRUE(append(note("w")));
  EXPECT_TRUE(text().starts_with(std::string(kHead) + "entries:\n  - "));
  EXPECT_TRUE(append(note("w")));
}

TEST_F(Append, SaysWhyItRefuses) {
  folder_.write("case.yaml", std::string(kHead) + "entries: []\n");
  EXPECT_THAT(diagnostics_text(append(note("w")).error()),
              HasSubstr("entries can be added only where they are the last part of the file"));
  const auto none = append_entry((folder_.path() / "none").string(), note("w"));
  ASSERT_FALSE(none);
  EXPECT_FALSE(std::filesystem::exists(folder_.path() / "none"));
}

TEST_F(Append, RefusesAnEntryThatWouldNotReadBack) {
  folder_.write("case.yaml", kHead);
  EXPECT_FALSE(append(note("a terminal's \x1b[31m red")));
  EXPECT_FALSE(append(note("not UTF-8 \xff")));
  EXPECT_EQ(text(), kHead);
}

// The entry after a text in many lines must not become a part of it.
TEST_F(Append, DoesNotJoinAFoldedTextAtTheEnd) {
  check_appends(std::string(kHead) +
                    "entries:\n  - kind: note\n    id: e1\n    words: |\n      two\n      lines\n",
                "e2");
}

TEST_F(Append, LosesNothingWhenSeveralThreadsAppend) {
  folder_.write("case.yaml", std::string(kHead) + "# a remark\n");
  constexpr int kThreads = 4;
  constexpr int kEach = 10;
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t)
    threads.emplace_back([&, t] {
      for (int i = 0; i < kEach; ++i) EXPECT_TRUE(append(note(fmt::format("{} {}", t, i))));
    });
  for (std::thread& thread : threads) thread.join();
  check_all_there(kThreads, kEach);
}

TEST_F(Append, LosesNothingWhenSeveralProcessesAppend) {
  folder_.write("case.yaml", kHead);
  constexpr int kProcesses = 4;
  constexpr int kEach = 10;
  std::vector<pid_t> children;
  for (int p = 0; p < kProcesses; ++p) {
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      int lost = 0;
      for (int i = 0; i < kEach; ++i) lost += append(note(fmt::format("{} {}", p, i))) ? 0 : 1;
      _exit(lost);
    }
    children.push_back(child);
  }
  for (const pid_t child : children) {
    int status = 0;
    waitpid(child, &status, 0);
    EXPECT_EQ(status, 0);
  }
  check_all_there(kProcesses, kEach);
}

}  // namespace
}  // namespace tautmark
