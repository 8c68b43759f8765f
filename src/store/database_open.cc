// SPDX-License-Identifier: Apache-2.0
#include "store/database_open.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>
#include <sodium.h>
#include <unistd.h>

#include <array>
#include <filesystem>

#include "base/text.h"
#include "store/database_errors.h"
#include "store/migrations.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr int kApplicationId = 0x544d5331;      // "TMS1" in the header of the file
constexpr int kBusySeconds = 5;                 // waiting for another program
constexpr long long kMigrationLock = 0x544d53;  // advisory lock of PostgreSQL, any fixed number

std::string without_password(const std::string& text) {
  std::string shown = text;
  const auto host = shown.find("://");
  const auto at = host == std::string::npos ? host : shown.find('@', host);
  if (at != std::string::npos) {
    const auto colon = shown.find(':', host + 3);
    if (colon < at) shown.replace(colon, at - colon, ":***");
  }
  if (const auto key = shown.find("password="); key != std::string::npos) {
    const auto from = key + std::string_view("password=").size();
    shown.replace(from, std::min(shown.find('&', from), shown.size()) - from, "***");
  }
  return shown;
}

// Nobody can write here, not even the files that SQLite puts beside.
bool is_unwritable(const fs::path& file) {
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  return access(file.c_str(), W_OK) != 0 || access(folder.c_str(), W_OK) != 0;
}

std::string sqlite_parameters(const std::string& file, bool is_read_only) {
  std::string name = file;
  if (is_read_only) {
    std::error_code code;
    name = "file:";
    for (const char c : file) {
      if (c == '?' || c == '#' || c == '%')
        name += fmt::format("%{:02x}", static_cast<unsigned char>(c));
      else
        name += c;
    }
    name += "?mode=ro";
    // Without a log beside it nobody is writing, and the log cannot be made in such a folder.
    if (is_unwritable(file) && !fs::exists(file + "-wal", code)) name += "&immutable=1";
  }
  return fmt::format("dbname=\"{}\" timeout={}", name, kBusySeconds);
}

std::string postgresql_parameters(std::string text) {
  if (text.find("connect_timeout=") == std::string::npos)
    text += text.find('?') == std::string::npos ? "?connect_timeout=5" : "&connect_timeout=5";
  if (text.find("tcp_user_timeout=") == std::string::npos) text += "&tcp_user_timeout=15000";
  return text;
}

// What holds for one connection only and is gone after a reconnect.
void set_up(soci::session& session, DatabaseKind kind) {
  if (kind == DatabaseKind::embedded) {
    session << "pragma foreign_keys=on";
    session << "pragma synchronous=full";  // what was acknowledged outlives a pulled plug
    session << "pragma cache_size=-32000";
    session << "pragma secure_delete=on";  // what was deleted is overwritten, not only let go
  } else {
    session << "set client_min_messages=warning";
    session << "set lock_timeout='5s'";
    session << "set timezone='UTC'";
  }
}

void connect(soci::session& session, const StoreAddress& address, bool is_read_only) {
  if (address.kind == DatabaseKind::embedded)
    session.open(soci::sqlite3, sqlite_parameters(address.text, is_read_only));
  else
    session.open(soci::postgresql, postgresql_parameters(address.text));
  set_up(session, address.kind);
}

long long number_of(soci::session& session, const std::string& query) {
  long long number = 0;
  soci::indicator is_there = soci::i_null;
  session << query, soci::into(number, is_there);
  return is_there == soci::i_ok && session.got_data() ? number : 0;
}

bool has_table(soci::session& session, DatabaseKind kind, const std::string& name) {
  return number_of(
             session,
             kind == DatabaseKind::embedded
                 ? "select count(*) from sqlite_master where type='table' and name='" + name + "'"
                 : "select count(*) from pg_tables where schemaname=current_schema() and "
                   "tablename='" +
                       name + "'") > 0;
}

std::string new_store_id() {
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  std::string text;
  for (const unsigned char byte : bytes) text += fmt::format("{:02x}", byte);
  return text;
}

void apply(soci::session& session, DatabaseKind kind, long long version) {
  const auto all = migrations();
  for (std::size_t i = static_cast<std::size_t>(version); i < all.size(); ++i) {
    for (const std::string_view command : all[i].commands) session << sql_for(kind, command);
    const auto number = static_cast<long long>(i + 1);
    const std::string name(all[i].name);
    const long long at = now_microseconds();
    session << "insert into schema_version (version, name, applied) values (:v, :n, :a)",
        soci::use(number), soci::use(name), soci::use(at);
  }
  if (version > 0) return;
  const std::string id = new_store_id();
  session << "insert into setting (name, value) values ('store_id', :id)", soci::use(id);
}

// In one transaction: two programs that open a new store at once take turns.
void migrate(soci::session& session, DatabaseKind kind) {
  if (kind == DatabaseKind::embedded) {
    session << "pragma auto_vacuum=incremental";  // heeded only before the first table
    session << "pragma journal_mode=wal";
    session << "begin immediate";
  } else {
    session << "begin";
    const long long lock = kMigrationLock;
    session << "select pg_advisory_xact_lock(:lock)", soci::use(lock);
  }
  try {
    if (!has_table(session, kind, "schema_version")) session << std::string(kSchemaVersionTable);
    apply(session, kind, number_of(session, "select max(version) from schema_version"));
    if (kind == DatabaseKind::embedded)
      session << fmt::format("pragma application_id={}", kApplicationId);
    session << "commit";
  } catch (...) {
    try {
      session << "rollback";
    } catch (const soci::soci_error&) {
    }
    throw;
  }
}

// Nothing of ours is in it, something of another program is.
bool is_somebody_elses(soci::session& session, DatabaseKind kind) {
  if (has_table(session, kind, "schema_version")) return !has_table(session, kind, "record");
  if (kind == DatabaseKind::server) return false;
  return number_of(session, "select count(*) from sqlite_master") > 0;
}

bool may_create(OpenFor mode) {
  return mode == OpenFor::writing_or_create || mode == OpenFor::copying_into;
}

// Checks the version, and brings it up to date where that is asked for.
void check_tables(soci::session& session, const StoreAddress& address, OpenFor mode,
                  bool is_read_only) {
  if (is_somebody_elses(session, address.kind))
    abandon(StoreTrouble::damaged,
            fmt::format("{}: this is a database of another program", address.shown()));
  const bool is_ours = has_table(session, address.kind, "schema_version");
  if (!is_ours && !may_create(mode))
    abandon(StoreTrouble::not_found, fmt::format("{}: there is no store in it", address.shown()));
  const auto newest = static_cast<long long>(migrations().size());
  const long long version =
      is_ours ? number_of(session, "select max(version) from schema_version") : 0;
  if (version > newest)
    abandon(StoreTrouble::refused,
            fmt::format("{}: this store was made by a newer program (tables {}, this program knows "
                        "{}); use that one",
                        address.shown(), version, newest));
  if (mode != OpenFor::copying_into && has_table(session, address.kind, "setting") &&
      is_half_copied(session))
    abandon(StoreTrouble::damaged,
            fmt::format("{}: a copy into this store was not finished; make it again, into this one "
                        "or an empty one",
                        address.shown()));
  if (version == newest) return;
  if (is_read_only)
    abandon(StoreTrouble::read_only,
            fmt::format("{}: this store is of an older program and cannot be brought up to date: "
                        "it can only be read",
                        address.shown()));
  migrate(session, address.kind);
}

bool is_read_only_server(soci::session& session) {
  std::string value;
  session << "show transaction_read_only", soci::into(value);
  return value == "on";
}

void check_file(const StoreAddress& address, OpenFor mode) {
  std::error_code code;
  if (address.text.find_first_of("\"\n\r") != std::string::npos || address.text.empty())
    abandon(StoreTrouble::refused, "the name of a store's file has no quotes and no line breaks");
  const fs::path file = address.text;
  if (fs::is_directory(file, code))
    abandon(StoreTrouble::refused,
            fmt::format("{}: this is a folder; a store is one file", address.text));
  const bool is_there = fs::exists(file, code);
  if (!is_there && !may_create(mode))
    abandon(StoreTrouble::not_found, fmt::format("{}: there is no such store", address.text));
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  if (!is_there && !fs::is_directory(folder, code))
    abandon(StoreTrouble::not_found,
            fmt::format("{}: there is no folder {}", address.text, folder.generic_string()));
  if (is_there) return;
  // Cases speak of customers: for the owner's eyes.
  const int made = ::open(file.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600);
  if (made >= 0) close(made);
}

}  // namespace

std::string StoreAddress::shown() const {
  return kind == DatabaseKind::embedded ? text : without_password(text);
}

StoreAddress store_address(std::string_view text) {
  const bool is_url = text.starts_with("postgresql://") || text.starts_with("postgres://");
  return {is_url ? DatabaseKind::server : DatabaseKind::embedded, std::string(text)};
}

std::string sql_for(DatabaseKind kind, std::string_view text) {
  const bool embedded = kind == DatabaseKind::embedded;
  std::string sql(text);
  sql = replaced(sql, "{identity}",
                 embedded ? "integer primary key autoincrement"
                          : "bigint generated by default as identity primary key");
  sql = replaced(sql, "{bytes}", embedded ? "blob" : "bytea");
  sql = replaced(sql, "{clustered}", embedded ? "without rowid" : "");
  sql = replaced(sql, "{bytewise}", embedded ? "" : "collate \"C\"");
  sql = replaced(sql, "{for_update}", embedded ? "" : "for update");
  return sql;
}

bool is_half_copied(soci::session& session) {
  return number_of(session,
                   fmt::format("select count(*) from setting where name = '{}'", kCopyingMark)) > 0;
}

void reconnect(soci::session& session, const StoreAddress& address, bool is_read_only) {
  session.close();
  connect(session, address, is_read_only);
}

Stored<OpenedSessions> open_sessions(const StoreAddress& address, OpenFor mode, int sessions) {
  OpenedSessions opened;
  opened.is_read_only = mode == OpenFor::reading;
  if (sodium_init() < 0) return store_error(StoreTrouble::refused, "no source of randomness");
  soci::session probe;
  try {
    if (address.kind == DatabaseKind::embedded) {
      check_file(address, mode);
      if (is_unwritable(address.text)) opened.is_read_only = true;
    }
    for (int i = 0; i < std::max(sessions, 1); ++i) {
      auto& session = opened.sessions.emplace_back(std::make_unique<soci::session>());
      connect(*session, address, opened.is_read_only);
      if (i > 0) continue;
      if (address.kind == DatabaseKind::server && is_read_only_server(*session))
        opened.is_read_only = true;
      check_tables(*session, address, mode, opened.is_read_only);
    }
  } catch (const Abandon& abandoned) {
    return tl::make_unexpected(abandoned.error);
  } catch (const soci::soci_error& error) {
    soci::session& session = opened.sessions.empty() ? probe : *opened.sessions.back();
    StoreError found = store_error_of(error, session);
    if (const std::string why = why_not_connected(error);
        found.trouble == StoreTrouble::unreachable && !why.empty())
      found.message = "the database cannot be used: " + why;
    found.message = fmt::format("{}: {}", address.shown(), found.message);
    return tl::make_unexpected(std::move(found));
  }
  return opened;
}

}  // namespace tautmark
