// SPDX-License-Identifier: Apache-2.0
// Packed cases from inside: limits, names and the manifest. tests/cli/test_pack.py makes and reads
// packs with another zip library.
#include "casework/pack.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <limits>
#include <sstream>

#include "base/hash.h"
#include "casework/load.h"
#include "casework/pack_manifest.h"
#include "casework/pack_names.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

std::string text_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

template <class T>
std::string why(const Parsed<T>& got) {
  return got ? "it was accepted" : diagnostics_text(got.error());
}

class Pack : public testing::Test {
 protected:
  Pack() {
    folder_.write("case/case.yaml",
                  "tautmark: case/1\nname: bay 3\nentries:\n"
                  "  - {kind: attachment, id: e1, file: photos/front.jpg}\n");
    folder_.write("case/photos/front.jpg", std::string(5000, 'x'));
  }
  fs::path zip() const { return folder_.path() / "case.zip"; }
  fs::path out() const { return folder_.path() / "out"; }
  Parsed<Packed> pack(const PackLimits& limits = {}) const {
    PackOptions options;
    options.limits = limits;
    options.program = "tautmark test";
    options.uid = "u1";
    options.head_hash = "h1";
    return pack_case((folder_.path() / "case").string(), zip(), options);
  }
  Parsed<PackManifest> unpack(const PackLimits& limits = {}) const {
    UnpackOptions options;
    options.limits = limits;
    return unpack_case(zip(), out(), options);
  }
  // Refused when packing and when unpacking what was packed without the limit.
  void check_limit(const PackLimits& limits, const std::string& words) {
    EXPECT_THAT(why(pack(limits)), HasSubstr(words));
    EXPECT_FALSE(fs::exists(zip()));
    ASSERT_TRUE(pack());
    EXPECT_THAT(why(unpack(limits)), HasSubstr(words));
    EXPECT_FALSE(fs::exists(out()));
    EXPECT_TRUE(unpack());
  }

  test::TempFolder folder_;
};

TEST_F(Pack, ComesBackAsItWas) {
  const auto packed = pack();
  ASSERT_TRUE(packed) << why(packed);
  EXPECT_TRUE(is_packed_case(zip()));
  const auto manifest = unpack();
  ASSERT_TRUE(manifest) << why(manifest);
  EXPECT_EQ(manifest->case_name, "bay 3");
  EXPECT_EQ(manifest->program, "tautmark test");
  EXPECT_EQ(manifest->uid, "u1");
  EXPECT_EQ(manifest->head_hash, "h1");
  ASSERT_EQ(manifest->files.size(), 2U);
  EXPECT_EQ(manifest->files[1].name, "photos/front.jpg");
  EXPECT_EQ(manifest->files[1].bytes, 5000U);
  EXPECT_EQ(text_of(out() / "photos/front.jpg"), std::string(5000, 'x'));
  EXPECT_TRUE(load_case(out().string(), {}));
  EXPECT_THAT(why(unpack()), HasSubstr("it is there already"));
}

TEST_F(Pack, LimitOfBytes) {
  PackLimits limits;
  limits.most_bytes = 5000;
  check_limit(limits, "more than 5000 bytes");
}

TEST_F(Pack, LimitOfEntries) {
  PackLimits limits;
  limits.most_entries = 2;  // the manifest is one of them
  EXPECT_THAT(why(pack(limits)), HasSubstr("fewer than 2 files"));
  ASSERT_TRUE(pack());
  EXPECT_THAT(why(unpack(limits)), HasSubstr("3 entries; at most 2"));
}

TEST_F(Pack, NeverFillsTheDisk) {
  ASSERT_TRUE(pack());
  PackLimits limits;
  limits.disk_reserve = std::numeric_limits<std::uint64_t>::max() / 2;
  EXPECT_THAT(why(unpack(limits)), HasSubstr("too little room"));
  EXPECT_FALSE(fs::exists(out()));
}

TEST_F(Pack, WhatWouldLookLikeABombIsStored) {
  folder_.write("case/silence.bin", std::string(std::size_t{4} << 20U, '\0'));
  ASSERT_TRUE(pack());
  EXPECT_GT(fs::file_size(zip()), std::uintmax_t{4} << 20U);
  PackLimits strict;
  strict.most_ratio = 2;
  strict.ratio_from = 1000;
  EXPECT_THAT(why(unpack(strict)), HasSubstr("\"photos/front.jpg\" claims to be 5000 bytes"));
  EXPECT_TRUE(unpack());
}

TEST_F(Pack, ACaseWithMistakesIsNotPacked) {
  fs::remove(folder_.path() / "case/photos/front.jpg");
  EXPECT_THAT(why(pack()), HasSubstr("is not in the case folder"));
  EXPECT_FALSE(fs::exists(zip()));
}

TEST_F(Pack, NoFolderAroundIt) {
  ASSERT_TRUE(pack());
  EXPECT_FALSE(unpack_case(zip(), folder_.path() / "none" / "out"));
  EXPECT_FALSE(fs::exists(folder_.path() / "none"));
}

TEST_F(Pack, VerifyNamesWhatDoesNotHold) {
  ASSERT_TRUE(pack());
  const auto good = verify_pack(zip());
  ASSERT_TRUE(good) << why(good);
  EXPECT_THAT(good->problems, ElementsAre());
  EXPECT_FALSE(verify_pack(folder_.path() / "case" / "case.yaml"));
  EXPECT_FALSE(verify_pack(folder_.path()));
}

TEST(PackNames, OnlyWhatEveryMachineCanHold) {
  for (const char* good : {"case.yaml", "recordings/idle 2.csv", "Kettenrad Ölspur.jpg", "a..b"})
    EXPECT_EQ(pack_name_problem(good), std::nullopt) << good;
  for (const char* bad :
       {"", "/a", "a/", "a//b", "..", "a/../b", "./a", "a/.", ".hidden", "a/.hidden", "a\\b", "C:a",
        "a\nb", "a\x7f", "\xC2\x85", "\xE2\x80\xAE", "\xFF", "\xC3", "a\x1b[0m"})
    EXPECT_NE(pack_name_problem(bad), std::nullopt) << bad;
  EXPECT_EQ(pack_name_problem(std::string(200, 'x')), std::nullopt);
  EXPECT_NE(pack_name_problem(std::string(201, 'x')), std::nullopt);
}

TEST(PackNames, ReadableInAMessage) {
  EXPECT_EQ(readable_name("Ölspur\n\xFFx"), "Ölspur\\x0A\\xFFx");
  EXPECT_LT(readable_name(std::string(100'000, 'x')).size(), 200U);
}

TEST(PackNames, OneNameOnce) {
  NamesTaken taken;
  EXPECT_EQ(taken.problem_of_next("a/b"), std::nullopt);
  EXPECT_EQ(taken.problem_of_next("a/c"), std::nullopt);
  EXPECT_THAT(*taken.problem_of_next("a/b"), HasSubstr("twice"));
  EXPECT_THAT(*taken.problem_of_next("A/d"), HasSubstr("upper and lower case"));
  EXPECT_THAT(*taken.problem_of_next("a"), HasSubstr("a file and a folder"));
  EXPECT_THAT(*taken.problem_of_next("a/b/c"), HasSubstr("a file and a folder"));
  EXPECT_EQ(taken.problem_of_next("Öl"), std::nullopt);
  EXPECT_THAT(*taken.problem_of_next("öl"), HasSubstr("upper and lower case"));
}

TEST(PackManifestText, ReadsBackAndPassesOverKeysOfLaterPrograms) {
  PackManifest manifest;
  manifest.case_name = "\"bay\" 3\n";
  manifest.case_file = "case.json";
  manifest.files = {{"case.json", 0xFFFFFFFFFFFFFFFF, std::string(64, 'a'), false},
                    {"x.drive.yaml", 7, std::string(64, 'b'), true}};
  const std::string text = manifest_text(manifest);
  const auto read = read_manifest("m", text);
  ASSERT_TRUE(read) << why(read);
  EXPECT_EQ(read->case_name, manifest.case_name);
  ASSERT_EQ(read->files.size(), 2U);
  EXPECT_EQ(read->files[0].bytes, 0xFFFFFFFFFFFFFFFF);
  EXPECT_FALSE(read->files[0].added);
  EXPECT_TRUE(read->files[1].added);
  EXPECT_EQ(manifest_text(*read), text);
  EXPECT_TRUE(read_manifest("m", "{\"later\": [1]," + text.substr(text.find('{') + 1)));
}

// Sums of the examples in FIPS 180-2, appendix B: "abc", two blocks, a million times "a".
TEST(Sha256Pieces, AnyPiecesGiveThePublishedSum) {
  const std::string two_blocks = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
  for (std::size_t cut = 0; cut <= two_blocks.size(); ++cut) {
    Sha256 sum;
    sum.add(std::string_view(two_blocks).substr(0, cut));
    sum.add(std::string_view(two_blocks).substr(cut));
    EXPECT_EQ(sum.hex(), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  }
  EXPECT_EQ(sha256_hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  Sha256 million;
  for (int i = 0; i < 1000; ++i) million.add(std::string(1000, 'a'));
  EXPECT_EQ(million.hex(), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

}  // namespace
}  // namespace tautmark
