// SPDX-License-Identifier: Apache-2.0
// The pool of sessions, and the transaction around every piece of work.
#include "store/database.h"

#include <fmt/format.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <thread>

#include "base/text.h"
#include "store/database_errors.h"
#include "store/database_open.h"

namespace tautmark {

struct Database::Inside {
  StoreAddress address;
  bool is_read_only = false;

  std::mutex mutex;
  std::condition_variable freed;
  std::vector<std::unique_ptr<soci::session>> free;

  // One writer of a file at a time in this program: waiting here is quicker than asking the file
  // again and again whether it is free.
  bool is_writing = false;
  std::condition_variable written;
};

namespace {

constexpr auto kLongestWait = std::chrono::seconds(10);
constexpr auto kTurnOfOthers = std::chrono::milliseconds(2);  // between two long writes

// One session, given back at the end.
class Borrowed {
 public:
  explicit Borrowed(std::mutex& mutex, std::condition_variable& freed,
                    std::vector<std::unique_ptr<soci::session>>& free)
      : mutex_(mutex), freed_(freed), free_(free) {
    std::unique_lock lock(mutex_);
    if (!freed_.wait_for(lock, kLongestWait, [&] { return !free_.empty(); }))
      abandon(StoreTrouble::busy, "the store has too much to do; try again");
    session_ = std::move(free_.back());
    free_.pop_back();
  }
  Borrowed(const Borrowed&) = delete;
  Borrowed& operator=(const Borrowed&) = delete;
  ~Borrowed() {
    {
      const std::lock_guard lock(mutex_);
      free_.push_back(std::move(session_));
    }
    freed_.notify_one();
  }
  soci::session& operator*() { return *session_; }

 private:
  std::mutex& mutex_;
  std::condition_variable& freed_;
  std::vector<std::unique_ptr<soci::session>>& free_;
  std::unique_ptr<soci::session> session_;
};

// The only writer, until it is destroyed.
class Alone {
 public:
  Alone(std::mutex& mutex, std::condition_variable& written, bool& is_writing)
      : mutex_(mutex), written_(written), is_writing_(is_writing) {
    std::unique_lock lock(mutex_);
    if (!written_.wait_for(lock, kLongestWait, [&] { return !is_writing_; }))
      abandon(StoreTrouble::busy, "the store has too much to do; try again");
    is_writing_ = true;
  }
  Alone(const Alone&) = delete;
  Alone& operator=(const Alone&) = delete;
  ~Alone() {
    {
      const std::lock_guard lock(mutex_);
      is_writing_ = false;
    }
    written_.notify_one();
  }

 private:
  std::mutex& mutex_;
  std::condition_variable& written_;
  bool& is_writing_;
};

void roll_back(soci::session& session) noexcept {
  try {
    if (session.is_connected()) session << "rollback";
  } catch (const soci::soci_error&) {
    // Gone with the connection, or rolled back by the database itself.
  }
}

enum class Reached { begin, work, commit };

// Begin, work, commit on one session. `reached` tells how far it came when something is thrown.
void transact(soci::session& session, const char* begin,
              const std::function<void(soci::session&)>& work, Reached& reached) {
  reached = Reached::begin;
  session << begin;
  try {
    reached = Reached::work;
    work(session);
    reached = Reached::commit;
    session << "commit";
  } catch (...) {
    roll_back(session);
    throw;
  }
}

Stored<void> run(soci::session& session, const StoreAddress& address, bool is_read_only,
                 const char* begin, const std::function<void(soci::session&)>& work) {
  constexpr int kMostTries = 2;
  for (int tries = 1;; ++tries) {
    Reached reached = Reached::begin;
    try {
      if (!session.is_connected()) reconnect(session, address, is_read_only);
      transact(session, begin, work, reached);
      return {};
    } catch (const Abandon& abandoned) {
      return tl::make_unexpected(abandoned.error);
    } catch (const soci::soci_error& error) {
      const bool lost = is_connection_lost(error, session);
      if (lost && reached == Reached::commit)
        return store_error(StoreTrouble::unreachable,
                           "the database went away while it was storing: whether it was stored "
                           "is not known; sending it again does no harm");
      if (!lost || tries == kMostTries) return tl::make_unexpected(store_error_of(error, session));
    }
    // Nothing was committed: a fresh connection, and once more.
    try {
      reconnect(session, address, is_read_only);
    } catch (const soci::soci_error& error) {
      return tl::make_unexpected(store_error_of(error, session));
    }
  }
}

}  // namespace

Database::Database(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Database::~Database() = default;

Stored<std::shared_ptr<Database>> Database::open(const StoreAddress& address, OpenFor mode,
                                                 int sessions) {
  auto opened = open_sessions(address, mode, sessions);
  if (!opened) return tl::make_unexpected(std::move(opened.error()));
  auto inside = std::make_unique<Inside>();
  inside->address = address;
  inside->is_read_only = opened->is_read_only;
  inside->free = std::move(opened->sessions);
  return std::shared_ptr<Database>(new Database(std::move(inside)));
}

DatabaseKind Database::kind() const { return inside_->address.kind; }
bool Database::is_read_only() const { return inside_->is_read_only; }
const StoreAddress& Database::address() const { return inside_->address; }

Stored<void> Database::read(const std::function<void(soci::session&)>& work) const {
  try {
    Borrowed session(inside_->mutex, inside_->freed, inside_->free);
    return run(*session, inside_->address, inside_->is_read_only,
               kind() == DatabaseKind::embedded
                   ? "begin"
                   : "begin transaction isolation level repeatable read read only",
               work);
  } catch (const Abandon& abandoned) {
    return tl::make_unexpected(abandoned.error);
  }
}

Stored<void> Database::write(const std::function<void(soci::session&)>& work) const {
  if (inside_->is_read_only)
    return store_error(StoreTrouble::read_only, "the store can be read but not written");
  try {
    std::optional<Alone> alone;
    if (kind() == DatabaseKind::embedded)
      alone.emplace(inside_->mutex, inside_->written, inside_->is_writing);
    Borrowed session(inside_->mutex, inside_->freed, inside_->free);
    // A plain begin that writes later loses against others whatever it is told to wait.
    return run(*session, inside_->address, false,
               kind() == DatabaseKind::embedded ? "begin immediate" : "begin", work);
  } catch (const Abandon& abandoned) {
    return tl::make_unexpected(abandoned.error);
  }
}

namespace {

sqlite_api::sqlite3* file_of(soci::session& session) {
  return static_cast<soci::sqlite3_session_backend*>(session.get_backend())->conn_;
}

long long free_pages(soci::session& session) {
  long long count = 0;
  session << "pragma freelist_count", soci::into(count);
  return count;
}

// False: there is nothing more to give.
bool give_back_step(soci::session& session) {
  constexpr const char* kStep = "pragma incremental_vacuum(2000)";  // 8 MB
  const long long before = free_pages(session);
  return before > 0 &&
         sqlite_api::sqlite3_exec(file_of(session), kStep, nullptr, nullptr, nullptr) ==
             SQLITE_OK &&
         free_pages(session) < before;
}

// A reader of an older state keeps the log as it is: waiting for that one would hold up every
// writer.
void empty_log(soci::session& session) {
  constexpr int kWait = 50, kWaitAsBefore = 5000;  // milliseconds
  sqlite_api::sqlite3_busy_timeout(file_of(session), kWait);
  sqlite_api::sqlite3_exec(file_of(session), "pragma wal_checkpoint(truncate)", nullptr, nullptr,
                           nullptr);
  sqlite_api::sqlite3_busy_timeout(file_of(session), kWaitAsBefore);
}

}  // namespace

Stored<void> Database::give_back(const std::function<bool()>& goes_on) const {
  if (kind() != DatabaseKind::embedded || inside_->is_read_only) return {};
  try {
    Borrowed session(inside_->mutex, inside_->freed, inside_->free);
    if (!(*session).is_connected()) return {};
    for (bool more = true; more && (!goes_on || goes_on());) {
      {
        const Alone alone(inside_->mutex, inside_->written, inside_->is_writing);
        more = give_back_step(*session);
      }
      std::this_thread::sleep_for(kTurnOfOthers);
    }
    empty_log(*session);
    return {};
  } catch (const Abandon& abandoned) {
    return tl::make_unexpected(abandoned.error);
  } catch (const soci::soci_error&) {
    return store_error(StoreTrouble::busy, "the room of what was deleted is given back later");
  }
}

std::string Database::sql(std::string_view text) const { return sql_for(kind(), text); }

Stored<std::vector<std::string>> Database::check() const {
  // PostgreSQL has none without an extension; its pages carry sums of their own.
  if (kind() == DatabaseKind::server) return std::vector<std::string>{};
  return read_value<std::vector<std::string>>([](soci::session& session) {
    std::vector<std::string> found;
    const soci::rowset<std::string> rows = session.prepare << "pragma integrity_check(100)";
    for (const std::string& row : rows)
      if (row != "ok") found.push_back(row);
    return found;
  });
}

}  // namespace tautmark
