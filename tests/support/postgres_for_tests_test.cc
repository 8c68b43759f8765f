// SPDX-License-Identifier: Apache-2.0
// The helper itself: what the tests of the store stand on.
#include "support/postgres_for_tests.h"

#include <gtest/gtest.h>
#include <libpq-fe.h>

namespace tautmark::test {
namespace {

bool works(const std::string& url, const char* sql) {
  PGconn* connection = PQconnectdb(url.c_str());
  PGresult* result = PQexec(connection, sql);
  const auto status = PQresultStatus(result);
  PQclear(result);
  PQfinish(connection);
  return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
}

TEST(PostgresForTests, EveryDatabaseIsEmptyAtFirst) {
  if (!has_postgres()) GTEST_SKIP();
  const PostgresDatabase one, other;
  EXPECT_TRUE(works(one.url(), "create table a (b integer)"));
  EXPECT_TRUE(works(one.url(), "select * from a"));
  EXPECT_FALSE(works(other.url(), "select * from a"));
}

TEST(PostgresForTests, KilledServerComesBackWithWhatWasCommitted) {
  if (!has_postgres()) GTEST_SKIP();
  PostgresServer server;
  EXPECT_TRUE(works(server.url(), "create table a as select 1 as b"));
  server.kill();
  EXPECT_FALSE(works(server.url(), "select * from a"));
  server.start();
  EXPECT_TRUE(works(server.url(), "select * from a"));
  server.stop();
  EXPECT_FALSE(works(server.url(), "select * from a"));
}

}  // namespace
}  // namespace tautmark::test
