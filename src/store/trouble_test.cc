// SPDX-License-Identifier: Apache-2.0
// A full disk, a store that can only be read, a database that is gone and comes back: said in
// words, nothing half written, and the work goes on afterwards.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <pwd.h>
#include <soci/postgresql/soci-postgresql.h>
#include <soci/sqlite3/soci-sqlite3.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "store/store_for_tests.h"

namespace tautmark {
namespace {

using namespace test;
using testing::IsEmpty;

template <class T>
StoreTrouble trouble_of(const Stored<T>& stored) {
  EXPECT_FALSE(stored);
  return stored ? StoreTrouble::damaged : stored.error().trouble;
}

// A small disk of its own; only an administrator can have one.
class SmallDisk {
 public:
  explicit SmallDisk(const std::string& options) {
    chmod(folder_.path().c_str(), 0711);
    std::filesystem::create_directory(path());
    mounted_ = geteuid() == 0 && mount("tmpfs", path().c_str(), "tmpfs", 0, options.c_str()) == 0;
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  ~SmallDisk() {
    if (mounted_) umount2(path().c_str(), MNT_DETACH);
  }
  [[nodiscard]] bool is_there() const { return mounted_; }
  [[nodiscard]] std::filesystem::path path() const { return folder_.path() / "disk"; }
  // For more room.
  void resize(const std::string& options) const {
    mount("tmpfs", path().c_str(), "tmpfs", MS_REMOUNT, options.c_str());
  }

 private:
  TempFolder folder_;
  bool mounted_ = false;
};

// Fills the store until it is full, makes room, and goes on.
void expect_full_and_back(const std::shared_ptr<Database>& database,
                          const std::function<void()>& make_room) {
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  std::int64_t written = 0;
  std::string last_hash;
  StoreError error{};
  for (int i = 0; i < 2000 && error.message.empty(); ++i) {
    // Two at a time: never one of them alone.
    auto done =
        store.append("a", {note_record(std::string(30'000, 'x')), note_record("pair")}, "ann");
    if (done) {
      written += 2;
      last_hash = done->back().hash;
    } else {
      error = done.error();
    }
  }
  EXPECT_EQ(error.trouble, StoreTrouble::full) << error.message;
  EXPECT_GT(written, 0);
  EXPECT_EQ(kept(store.summary("a")).entries, written);
  EXPECT_THAT(kept(store.verify("a", last_hash)), IsEmpty());
  {
    BlobWriter writer(database);
    EXPECT_EQ(trouble_of(writer.add(std::string(8'000'000, 'y'))), StoreTrouble::full);
    EXPECT_EQ(trouble_of(writer.finish()), StoreTrouble::refused);
  }
  EXPECT_EQ(kept(store.search("pair", 5)).found, 1);
  make_room();
  kept(store.append("a", {note_record(std::string(30'000, 'z'))}, "ann"));
  stored_bytes(database, std::string(3'000'000, 'y'), "y.csv");
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
}

TEST(FullDisk, EmbeddedByItsOwnLimit) {
  const TempFolder folder;
  const auto database =
      open_store((folder.path() / "a.store").string(), OpenFor::writing_or_create, 1);
  change(*database, "pragma max_page_count=500");
  expect_full_and_back(database, [&] { change(*database, "pragma max_page_count=100000"); });
}

TEST(FullDisk, EmbeddedOnASmallDisk) {
  const SmallDisk disk("size=6m");
  if (!disk.is_there()) GTEST_SKIP() << "needs the right to mount";
  const auto database = open_store((disk.path() / "a.store").string());
  expect_full_and_back(database, [&] { disk.resize("size=60m"); });
}

TEST(FullDisk, ServerOnASmallDisk) {
  const passwd* owner = getpwnam("postgres");
  if (!has_postgres() || owner == nullptr) GTEST_SKIP() << "no PostgreSQL 15 here";
  const SmallDisk disk(fmt::format("size=6m,mode=700,uid={},gid={}", owner->pw_uid, owner->pw_gid));
  if (!disk.is_there()) GTEST_SKIP() << "needs the right to mount";
  const PostgresServer server;
  {
    soci::session session(soci::postgresql, server.url());
    session << "create tablespace small location '" + disk.path().string() + "'";
    session << "alter role postgres set default_tablespace = 'small'";
  }
  // A text of one letter is stored packed: no matter here, only the room counts.
  const auto database = open_store(server.url());
  change(*database, "alter table record alter column body set storage external");
  expect_full_and_back(database, [&] { disk.resize("size=60m"); });
}

TEST(ReadOnly, AFileOfSomebodyElse) {
  if (geteuid() != 0) GTEST_SKIP() << "needs another user";
  const TempFolder folder;
  const std::string file = (folder.path() / "a.store").string();
  kept(CaseStore(open_store(file)).create("a", {head_record()}, "ann"));
  chmod(folder.path().c_str(), 0755);
  chmod(file.c_str(), 0644);
  const pid_t child = fork();
  if (child == 0) {
    constexpr uid_t kNobody = 65534;
    if (setgid(kNobody) != 0 || setuid(kNobody) != 0) _exit(9);
    const auto database = Database::open(store_address(file), OpenFor::writing);
    if (!database || !(*database)->is_read_only()) _exit(1);
    const CaseStore store(*database);
    if (!store.summary("a") || !store.verify_all() || store.search("", 1)->found != 1) _exit(2);
    const auto done = store.append("a", {note_record("x")}, "eve");
    if (done || done.error().trouble != StoreTrouble::read_only) _exit(3);
    BlobWriter writer(*database);
    if (writer.add("bytes") && writer.finish()) _exit(4);
    _exit(0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  EXPECT_EQ(WEXITSTATUS(status), 0);
}

TEST(ReadOnly, AServerThatOnlyGivesOut) {
  if (!has_postgres()) GTEST_SKIP() << "no PostgreSQL 15 here";
  const PostgresDatabase server;
  kept(CaseStore(open_store(server.url())).create("a", {head_record()}, "ann"));
  const std::string name = server.url().substr(server.url().find("test_"));
  const std::string plain = name.substr(0, name.find('?'));
  change(*open_store(server.url()),
         "alter database " + plain + " set default_transaction_read_only = on");
  const auto database = open_store(server.url(), OpenFor::writing);
  EXPECT_TRUE(database->is_read_only());
  const CaseStore store(database);
  EXPECT_EQ(kept(store.summary("a")).head_seq, 1);
  EXPECT_EQ(trouble_of(store.append("a", {note_record("x")}, "eve")), StoreTrouble::read_only);
}

TEST(GoneAndBack, AServerThatStops) {
  if (!has_postgres()) GTEST_SKIP() << "no PostgreSQL 15 here";
  PostgresServer server;
  const auto database = open_store(server.url());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  for (const bool killed : {false, true}) {
    kept(store.append("a", {note_record("before")}, "ann"));
    if (killed)
      server.kill();
    else
      server.stop();
    EXPECT_EQ(trouble_of(store.append("a", {note_record("lost")}, "ann")),
              StoreTrouble::unreachable);
    EXPECT_EQ(trouble_of(store.summary("a")), StoreTrouble::unreachable);
    server.start();
    kept(store.append("a", {note_record("after")}, "ann"));
    EXPECT_EQ(kept(store.search("before", 5)).found, 1);
  }
  EXPECT_EQ(kept(store.summary("a")).entries, 4);
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
}

TEST(GoneAndBack, ConnectionsThatAreCut) {
  if (!has_postgres()) GTEST_SKIP() << "no PostgreSQL 15 here";
  const PostgresDatabase server;
  const auto database = open_store(server.url());
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  for (int i = 0; i < 5; ++i) {
    server.cut_connections();
    kept(store.append("a", {note_record("again")}, "ann"));
  }
  EXPECT_EQ(kept(store.summary("a")).entries, 5);
}

TEST(GoneAndBack, AFileThatAnotherProgramHolds) {
  const TempFolder folder;
  const std::string file = (folder.path() / "a.store").string();
  const auto database = open_store(file);
  const CaseStore store(database);
  kept(store.create("a", {head_record()}, "ann"));
  {
    soci::session other(soci::sqlite3, "dbname=" + file);
    other << "begin immediate";
    EXPECT_EQ(trouble_of(store.append("a", {note_record("x")}, "ann")), StoreTrouble::busy);
    EXPECT_EQ(kept(store.summary("a")).head_seq, 1);  // reading goes on
    other << "rollback";
  }
  kept(store.append("a", {note_record("x")}, "ann"));
  EXPECT_THAT(kept(store.verify_all()), IsEmpty());
}

}  // namespace
}  // namespace tautmark
