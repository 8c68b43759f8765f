// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <signal.h>
#include <soci/soci.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <thread>
#include <utility>
#include <vector>

#include "base/text.h"
#include "store/blob_owner.h"
#include "store/blobs.h"

namespace tautmark {
namespace {

constexpr std::int64_t kDay = std::int64_t{24} * 3600 * 1'000'000;
constexpr int kPiecesAtOnce = 16;

std::string host_name() {
  std::array<char, 256> name{};
  gethostname(name.data(), name.size() - 1);
  return name.data();
}

std::vector<std::string> left_behind(soci::session& session) {
  std::vector<std::string> keys;
  std::string key, owner;
  long long touched = 0;
  const long long now = now_microseconds();
  soci::statement statement = (session.prepare << "select blob_key, owner, touched from upload",
                               soci::into(key), soci::into(owner), soci::into(touched));
  statement.execute();
  while (statement.fetch())
    if (now - touched > kDay || owner.empty() || is_owner_gone(owner)) keys.push_back(key);
  return keys;
}

std::vector<std::string> unused_files(soci::session& session) {
  std::vector<std::string> sums;
  std::string sum;
  const long long before = now_microseconds() - kDay;
  soci::statement statement =
      (session.prepare << "select sha256 from blob where stored < :t and not exists"
                          " (select 1 from case_file f where f.sha256 = blob.sha256) limit 100",
       soci::into(sum), soci::use(before));
  statement.execute();
  while (statement.fetch()) sums.push_back(sum);
  return sums;
}

Stored<void> sweep_unused(const Database& database, const std::vector<std::string>& sums) {
  return database.write([&](soci::session& session) {
    const long long before = now_microseconds() - kDay;
    for (const std::string& sum : sums) {
      std::string key;
      long long holders = 0;
      session << database.sql(
          "select blob_key from blob where sha256 = :s and stored < :t {for_update}"),
          soci::into(key), soci::use(sum), soci::use(before);
      if (!session.got_data()) continue;
      session << "select count(*) from case_file where sha256 = :s", soci::into(holders),
          soci::use(sum);
      if (holders == 0) forget_blob(session, sum, key);
    }
  });
}

// The key goes last, with the last pieces.
Stored<void> sweep_pieces(const Database& database, const std::string& key,
                          const std::function<bool()>& goes_on) {
  for (bool more = true; more && (!goes_on || goes_on());) {
    auto done = database.write([&](soci::session& session) {
      long long left = 0;
      session << fmt::format(
          "delete from blob_piece where blob_key = :k and number in (select number from blob_piece "
          "where blob_key = :j order by number limit {})",
          kPiecesAtOnce),
          soci::use(key), soci::use(key);
      session << "select count(*) from blob_piece where blob_key = :k", soci::into(left),
          soci::use(key);
      more = left > 0;
      if (!more) session << "delete from upload where blob_key = :k", soci::use(key);
    });
    if (!done) return done;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));  // for those who wait to write
  }
  return {};
}

}  // namespace

std::string this_owner() {
  const std::string host = host_name();
  return fmt::format("{} {}", getpid(), host.substr(0, 180));
}

bool is_owner_gone(const std::string& owner) {
  const auto blank = owner.find(' ');
  if (blank == std::string::npos || owner.substr(blank + 1) != host_name().substr(0, 180))
    return false;
  const auto pid = static_cast<pid_t>(std::atoi(owner.c_str()));
  return pid > 0 && kill(pid, 0) != 0 && errno == ESRCH;
}

void forget_blob(soci::session& session, const std::string& sha256, const std::string& blob_key) {
  session << "delete from blob where sha256 = :s", soci::use(sha256);
  session << "insert into upload (blob_key, owner, touched) values (:k, '', 0)",
      soci::use(blob_key);
}

Stored<void> sweep_blobs(const Database& database, const std::function<bool()>& goes_on) {
  std::vector<std::string> keys, unused;
  const auto look = [&](soci::session& session) {
    keys = left_behind(session);
    unused = unused_files(session);
  };
  auto done = database.read(look);
  if (done && !unused.empty()) {
    done = sweep_unused(database, unused);
    if (done) done = database.read(look);
  }
  for (const std::string& key : keys) {
    if (done) done = sweep_pieces(database, key, goes_on);
  }
  return done;
}

void sweep_deleted(const Database& database, const std::function<bool()>& goes_on) {
  if (database.is_read_only()) return;
  (void)sweep_blobs(database, goes_on);
  (void)database.give_back(goes_on);
}

Stored<std::vector<std::string>> files_without_case(const Database& database,
                                                    const std::vector<std::string>& sums) {
  return database.read_value<std::vector<std::string>>([&](soci::session& session) {
    std::vector<std::string> without;
    for (const std::string& sum : sums) {
      long long holders = 0;
      session << "select count(*) from case_file where sha256 = :s", soci::into(holders),
          soci::use(sum);
      if (holders == 0) without.push_back(sum);
    }
    return without;
  });
}

}  // namespace tautmark
