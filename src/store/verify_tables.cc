// SPDX-License-Identifier: Apache-2.0
// The tables themselves against the steps that make them, and rows that belong to nothing.
#include <fmt/format.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <set>

#include "store/database_open.h"
#include "store/migrations.h"
#include "store/verify.h"

namespace tautmark {
namespace {

using Sentences = std::vector<std::string>;

// kind and name -> the command that made it.
std::map<std::string, std::string> objects_of(soci::session& session) {
  std::map<std::string, std::string> objects;
  std::string kind, name, command;
  soci::statement statement =
      (session.prepare << "select type, name, sql from sqlite_master"
                          " where name not like 'sqlite\\_%' escape '\\' and sql is not null",
       soci::into(kind), soci::into(name), soci::into(command));
  statement.execute();
  while (statement.fetch()) objects[fmt::format("{} \"{}\"", kind, name)] = command;
  return objects;
}

Sentences verify_embedded(soci::session& session) {
  Sentences found;
  soci::session fresh(soci::sqlite3, "dbname=:memory:");
  fresh << std::string(kSchemaVersionTable);
  for (const Migration& migration : migrations())
    for (const std::string_view command : migration.commands)
      fresh << sql_for(DatabaseKind::embedded, command);
  auto expected = objects_of(fresh);
  for (const auto& [object, command] : objects_of(session)) {
    const auto there = expected.find(object);
    if (there == expected.end())
      found.push_back(fmt::format("the {} is in the store, but none of ours", object));
    else if (there->second != command)
      found.push_back(fmt::format("the {} is not as the program made it", object));
    if (there != expected.end()) expected.erase(there);
  }
  for (const auto& [object, command] : expected)
    found.push_back(fmt::format("the {} is gone", object));
  return found;
}

std::set<std::string> names(soci::session& session, const std::string& sql) {
  std::set<std::string> found;
  const soci::rowset<std::string> rows = session.prepare << sql;
  for (const std::string& row : rows) found.insert(row);
  return found;
}

// A server's tables may have more indexes, which do no harm; what acts by itself does.
Sentences verify_server(soci::session& session) {
  Sentences found;
  const auto indexes =
      names(session, "select indexname::text from pg_indexes where schemaname = current_schema()");
  for (const Migration& migration : migrations())
    for (const std::string_view command : migration.commands) {
      constexpr std::string_view kBegin = "create index ";
      if (!command.starts_with(kBegin)) continue;
      const std::string name(
          command.substr(kBegin.size(), command.find(' ', kBegin.size()) - kBegin.size()));
      if (!indexes.contains(name)) found.push_back(fmt::format("the index \"{}\" is gone", name));
    }
  for (const std::string& name :
       names(session,
             "select t.tgname::text from pg_trigger t join pg_class c on c.oid = t.tgrelid"
             " join pg_namespace n on n.oid = c.relnamespace"
             " where not t.tgisinternal and n.nspname = current_schema()"))
    found.push_back(fmt::format("the trigger \"{}\" is in the store, but none of ours", name));
  for (const std::string& name :
       names(session, "select rulename::text from pg_rules where schemaname = current_schema()"))
    found.push_back(fmt::format("the rule \"{}\" is in the store, but none of ours", name));
  return found;
}

long long count(soci::session& session, const std::string& sql) {
  long long rows = 0;
  session << "select count(*) from " + sql, soci::into(rows);
  return rows;
}

}  // namespace

Sentences verify_tables(const Database& database, soci::session& session) {
  Sentences found =
      database.kind() == DatabaseKind::embedded ? verify_embedded(session) : verify_server(session);
  for (const char* table : {"record", "entry_id", "case_file", "word"})
    if (const auto rows =
            count(session, fmt::format("{} where case_id not in (select id from cases)", table)))
      found.push_back(fmt::format("{} rows of the table \"{}\" belong to no case", rows, table));
  // A key of an upload is no file yet, or none any more.
  if (const auto rows =
          count(session,
                "blob_piece p where not exists (select 1 from blob b where b.blob_key = p.blob_key"
                " and p.number >= 0 and p.number < b.pieces) and not exists"
                " (select 1 from upload u where u.blob_key = p.blob_key)"))
    found.push_back(fmt::format("{} pieces of bytes belong to no file", rows));
  return found;
}

}  // namespace tautmark
