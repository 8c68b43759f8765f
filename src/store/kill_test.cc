// SPDX-License-Identifier: Apache-2.0
// A program that writes is killed at any moment, or the database server is: whatever was
// acknowledged is there, and what is there holds.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <set>
#include <thread>

#include "store/blobs.h"
#include "store/exchange.h"
#include "store/store_for_tests.h"
#include "support/long_tests.h"

namespace tautmark {
namespace {

using namespace test;
using testing::IsEmpty;

constexpr std::size_t kHashBytes = 64;

// Writes bursts until it is killed or the database is gone; gives the hash of every acknowledged
// record to `out`.
[[noreturn]] void write_bursts(const std::string& address, unsigned seed, int out) {
  std::mt19937 random(seed);
  try {
    const auto database = open_store(address, OpenFor::writing, 1);
    const CaseStore store(database);
    for (int burst = 0;; ++burst) {
      std::vector<NewRecord> records;
      for (auto n = 1 + random() % 12; n > 0; --n)
        records.push_back(note_record(std::string(1 + random() % 3000, 'x'),
                                      fmt::format("{}-{}-{}", seed, burst, n)));
      auto receipts = store.append("a", std::move(records), "seat");
      if (!receipts) _exit(0);
      if (random() % 6 == 0) {
        BlobWriter writer(database);
        if (!writer.add(fmt::format("{:>200000}", random()))) _exit(0);
        auto file = writer.finish();
        if (!file) _exit(0);
        file->name = fmt::format("{}-{}.csv", seed, burst);
        auto receipt = attach(store, "a", *file, "seat");
        if (!receipt) _exit(0);
        receipts->push_back(*receipt);
      }
      std::string hashes;
      for (const Receipt& receipt : *receipts) hashes += receipt.hash;
      if (write(out, hashes.data(), hashes.size()) != static_cast<ssize_t>(hashes.size())) _exit(0);
    }
  } catch (const std::exception&) {
    _exit(0);
  }
}

// No connection may be open in this process while it forks.
class Writer {
 public:
  Writer(const std::string& address, unsigned seed) {
    int ends[2];
    if (pipe(ends) != 0) throw std::runtime_error("no pipe");
    child_ = fork();
    if (child_ == 0) {
      close(ends[0]);
      write_bursts(address, seed, ends[1]);
    }
    close(ends[1]);
    in_ = ends[0];
  }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;
  ~Writer() { close(in_); }
  // Until something was acknowledged, however slow the machine.
  void wait_for_one() const {
    pollfd ready{in_, POLLIN, 0};
    ASSERT_EQ(poll(&ready, 1, 60'000), 1) << "nothing was acknowledged within a minute";
  }
  // Everything that was acknowledged before the end.
  std::set<std::string> killed() {
    kill(child_, SIGKILL);
    waitpid(child_, nullptr, 0);
    std::string all;
    char buffer[4096];
    for (ssize_t n = 0; (n = read(in_, buffer, sizeof buffer)) > 0;)
      all.append(buffer, static_cast<std::size_t>(n));
    std::set<std::string> hashes;
    for (std::size_t at = 0; at + kHashBytes <= all.size(); at += kHashBytes)
      hashes.insert(all.substr(at, kHashBytes));
    return hashes;
  }

 private:
  pid_t child_ = 0;
  int in_ = -1;
};

// Returns the records that are there; each round has a case of its own.
std::size_t expect_kept(const std::string& address, const std::set<std::string>& acknowledged) {
  const auto database = open_store(address, OpenFor::writing, 1);
  const CaseStore store(database);
  EXPECT_THAT(kept(store.verify("a")), IsEmpty());
  std::set<std::string> there;
  for (const CaseRecord& record : kept(store.records("a"))) there.insert(record.hash);
  for (const std::string& hash : acknowledged) EXPECT_TRUE(there.contains(hash)) << hash;
  return there.size();
}

void new_case(const std::string& address) {
  const auto database = open_store(address, OpenFor::writing_or_create, 1);
  const CaseStore store(database);
  if (store.summary("a")) kept(store.remove("a", "ann", "the next round"));
  kept(store.create("a", {head_record()}, "ann"));
}

void wait_a_moment(std::mt19937& random, unsigned most_microseconds) {
  std::this_thread::sleep_for(std::chrono::microseconds(random() % most_microseconds));
}

class Kill : public OnBothDatabases {};
TAUTMARK_ON_BOTH_DATABASES(Kill);

TEST_P(Kill, OfTheWriterLosesNothingThatWasAcknowledged) {
  constexpr int kRoundsOfACase = 20;
  const int rounds = test::are_long() ? 200 : 40;
  std::mt19937 random(5);
  std::size_t acknowledged = 0, there = 0;
  for (int round = 0; round < rounds && !HasFailure(); ++round) {
    if (round % kRoundsOfACase == 0) new_case(address());
    Writer writer(address(), static_cast<unsigned>(round));
    if (round % 2 == 1) writer.wait_for_one();
    wait_a_moment(random, 90'000);
    const auto hashes = writer.killed();
    acknowledged += hashes.size();
    there = expect_kept(address(), hashes);
  }
  EXPECT_GE(acknowledged, static_cast<std::size_t>(rounds) / 2);
  EXPECT_GT(there, 1U);
  const auto database = open_store(address());
  EXPECT_THAT(kept(CaseStore(database).verify_all()), IsEmpty());
  // Uploads of the killed go when somebody sweeps.
  kept(sweep_blobs(*database));
  kept(database->read([](soci::session& session) {
    long long left = 0;
    session << "select count(*) from upload", soci::into(left);
    EXPECT_EQ(left, 0);
  }));
}

// What a copy that was killed leaves is whole, or refused, or not there.
class KillCopy : public OnBothDatabases {};
TAUTMARK_ON_BOTH_DATABASES(KillCopy);

constexpr int kCasesToCopy = 6;

void fill(const std::string& address) {
  const auto database = open_store(address, OpenFor::writing_or_create, 1);
  const CaseStore store(database);
  for (int i = 0; i < kCasesToCopy; ++i) {
    const std::string name = fmt::format("case {}", i);
    kept(store.create(name, {head_record()}, "ann"));
    kept(
        attach(store, name, stored_bytes(database, fmt::format("{:>1500000}", i), "r.csv"), "ann"));
  }
}

// True: it is there and whole.
bool expect_whole_or_refused(const std::string& address) {
  const auto opened = Database::open(store_address(address), OpenFor::reading, 1);
  if (!opened) {
    EXPECT_TRUE(opened.error().trouble == StoreTrouble::not_found ||
                opened.error().message.find("was not finished") != std::string::npos)
        << opened.error().message;
    return false;
  }
  EXPECT_EQ(kept(CaseStore(*opened).search("", 100)).found, kCasesToCopy);
  EXPECT_THAT(kept(CaseStore(*opened).verify_all()), IsEmpty());
  return true;
}

TEST_P(KillCopy, LeavesNothingThatPassesForAGoodOne) {
  const std::string source = (folder().path() / "source.store").string();
  fill(source);
  const auto copy = [&] {
    const auto from = open_store(source, OpenFor::reading, 1);
    return copy_store(*from, store_address(address()), {});
  };
  std::mt19937 random(7);
  const std::int64_t begun = now_microseconds();
  kept(copy_store(*open_store(source, OpenFor::reading, 1),
                  store_address((folder().path() / "timing.store").string()), {}));
  const auto longest = static_cast<unsigned>(now_microseconds() - begun);
  int whole = 0, cut_off = 0;
  const int rounds = test::are_long() ? 40 : 10;
  for (int round = 0; round < rounds && !HasFailure(); ++round) {
    const pid_t child = fork();
    if (child == 0) _exit(copy() ? 0 : 1);
    wait_a_moment(random, longest);
    kill(child, SIGKILL);
    waitpid(child, nullptr, 0);
    if (!expect_whole_or_refused(address())) {
      ++cut_off;
      continue;
    }
    ++whole;
    if (on_server()) break;  // cannot be emptied here
    std::filesystem::remove(address());
  }
  EXPECT_GT(cut_off, 0);
  if (whole == 0 || !on_server()) kept(copy());
  EXPECT_TRUE(expect_whole_or_refused(address()));
  for (const auto& item : std::filesystem::directory_iterator(folder().path()))
    EXPECT_EQ(item.path().string().find(".part"), std::string::npos) << item.path();
}

TEST(KillServer, LosesNothingThatWasAcknowledged) {
  if (!has_postgres()) GTEST_SKIP() << "no PostgreSQL 15 here";
  const int rounds = std::getenv("TAUTMARK_LONG") != nullptr ? 40 : 3;
  PostgresServer server;
  std::mt19937 random(6);
  std::size_t acknowledged = 0;
  new_case(server.url());
  for (int round = 0; round < rounds && !testing::Test::HasFailure(); ++round) {
    Writer writer(server.url(), 1000U + static_cast<unsigned>(round));
    writer.wait_for_one();
    wait_a_moment(random, 400'000);
    server.kill();
    const auto hashes = writer.killed();
    server.start();
    acknowledged += hashes.size();
    expect_kept(server.url(), hashes);
  }
  EXPECT_GE(acknowledged, static_cast<std::size_t>(rounds));
  EXPECT_THAT(kept(CaseStore(open_store(server.url())).verify_all()), IsEmpty());
}

}  // namespace
}  // namespace tautmark
