// SPDX-License-Identifier: Apache-2.0
// One way to both databases: an embedded one in a file (SQLite) and a server (PostgreSQL).
//
// SQL is written once. It may use what both understand; what differs is written as a token and
// replaced by sql(): {identity} (primary key that counts itself), {bytes} (binary column),
// {clustered} (behind a table whose primary key should be its order on disk), {bytewise} (a column
// compared byte by byte), {for_update} (rows read are locked until the end of the transaction).
// Times are microseconds since 1970 in UTC. Numbers that are not finite never reach the database.
//
// Work runs inside read() or write(). It gets a session whose transaction is open; a thrown
// Abandon, or any error of the database, rolls everything back. Sessions are not shared between
// threads; read() and write() may be called from any thread and wait for a free session.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace soci {
class session;
}

namespace tautmark {

enum class StoreTrouble {
  unreachable,  // the database does not answer; try again later
  busy,         // somebody else holds it for longer than we wait
  read_only,    // the store may be read, not written
  full,         // no room on the disk
  damaged,      // the file is no store of ours, or broken
  not_found,    // no such case, file, account
  exists,       // there already
  refused,      // a rule of the store forbids it
  differs,      // what is there is not what was said to be there
  moved_on,     // another seat wrote meanwhile; look at it again
};

struct StoreError {
  StoreTrouble trouble{};
  std::string message;   // one sentence for a person, without the text of a command
  int wait_seconds = 0;  // before the next try of a PIN; 0: it is not about that
};

template <class T>
using Stored = tl::expected<T, StoreError>;

inline tl::unexpected<StoreError> store_error(StoreTrouble trouble, std::string message) {
  return tl::make_unexpected(StoreError{trouble, std::move(message)});
}

// Thrown inside read() or write() to leave with an error of one's own; nothing is kept.
struct Abandon {
  StoreError error;
};
[[noreturn]] inline void abandon(StoreTrouble trouble, std::string message) {
  throw Abandon{{trouble, std::move(message)}};
}

enum class DatabaseKind { embedded, server };

// A file name, or "postgresql://user@host/name" (also "postgres://"; a password belongs into
// PGPASSFILE, one in the URL works and is never printed).
struct StoreAddress {
  DatabaseKind kind = DatabaseKind::embedded;
  std::string text;                         // as given
  [[nodiscard]] std::string shown() const;  // without the password
};
StoreAddress store_address(std::string_view text);

enum class OpenFor {
  reading,            // must exist; is never changed
  writing,            // must exist
  writing_or_create,  // an embedded file or the tables of a server database are made if missing
  copying_into,       // the same, and a copy that was not finished may have begun there
};

class Database {
 public:
  // Opens `sessions` connections and brings the tables up to date (not when only reading). A store
  // of a newer program is refused.
  static Stored<std::shared_ptr<Database>> open(const StoreAddress& address, OpenFor mode,
                                                int sessions = 4);
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  ~Database();

  [[nodiscard]] DatabaseKind kind() const;
  [[nodiscard]] bool is_read_only() const;  // opened for reading, or found not to be writable
  [[nodiscard]] const StoreAddress& address() const;

  // `work` may be run a second time when the connection was lost before it was done: it must not
  // keep what it counted. A write is run again only if nothing of it can have been committed.
  // Reading sees one state throughout.
  Stored<void> read(const std::function<void(soci::session&)>& work) const;
  Stored<void> write(const std::function<void(soci::session&)>& work) const;

  template <class T>
  Stored<T> read_value(const std::function<T(soci::session&)>& work) const {
    T value{};
    auto done = read([&](soci::session& session) { value = work(session); });
    if (!done) return tl::make_unexpected(std::move(done.error()));
    return value;
  }
  template <class T>
  Stored<T> write_value(const std::function<T(soci::session&)>& work) const {
    T value{};
    auto done = write([&](soci::session& session) { value = work(session); });
    if (!done) return tl::make_unexpected(std::move(done.error()));
    return value;
  }

  // Gives the room of what was deleted back to the disk, in short steps: the file shrinks and its
  // log is emptied, unless somebody reads just then. A server sees to that itself (autovacuum).
  // Stops early when `goes_on` says so.
  [[nodiscard]] Stored<void> give_back(const std::function<bool()>& goes_on = {}) const;

  // The text of a command for this database: the tokens above replaced.
  [[nodiscard]] std::string sql(std::string_view text) const;

  // The database's own test of itself; what is wrong, in its words. Empty: nothing.
  [[nodiscard]] Stored<std::vector<std::string>> check() const;

 private:
  struct Inside;
  explicit Database(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

// A binary column, the same for both databases. Pieces of at most kMostPieceBytes.
inline constexpr std::size_t kMostPieceBytes = std::size_t{1} << 20U;
void insert_piece(const Database& database, soci::session& session, std::string_view blob_key,
                  std::int64_t number, std::string_view bytes);
// Empty when there is none.
std::string select_piece(const Database& database, soci::session& session,
                         std::string_view blob_key, std::int64_t number);

std::int64_t now_microseconds();
// "2026-11-03T14:05:09.250000Z" (RFC 3339).
std::string time_text(std::int64_t microseconds);
// The same back, or a date alone, which is its first moment in UTC. Empty: neither.
std::optional<std::int64_t> time_of(std::string_view text);

}  // namespace tautmark
