// SPDX-License-Identifier: Apache-2.0
// A PostgreSQL 15 for tests, on a unix socket in a temporary folder, never under a sanitizer.
//
// All test processes of one source tree share one server (each TEST is a process of its own under
// ctest); the first starts it, and a watchdog ends it some seconds after the last has ended,
// however it ended. postgres_for_tests.sh tells how.
#pragma once

#include <memory>
#include <string>

namespace tautmark::test {

// Without it, tests skip: if (!has_postgres()) GTEST_SKIP().
bool has_postgres();

// A fresh, empty database on the shared server; dropped at the end. fsync is off.
class PostgresDatabase {
 public:
  PostgresDatabase();
  PostgresDatabase(const PostgresDatabase&) = delete;
  PostgresDatabase& operator=(const PostgresDatabase&) = delete;
  ~PostgresDatabase();
  [[nodiscard]] const std::string& url() const { return url_; }  // "postgresql://…"
  // Cuts every connection to it, as a server does that goes down and comes back.
  void cut_connections() const;

 private:
  std::string name_, url_;
};

// A server of one test alone, which may be stopped and killed. fsync is on.
class PostgresServer {
 public:
  PostgresServer();
  PostgresServer(const PostgresServer&) = delete;
  PostgresServer& operator=(const PostgresServer&) = delete;
  ~PostgresServer();
  [[nodiscard]] const std::string& url() const;  // of the database "postgres"
  void stop();                                   // as an administrator does
  void kill();                                   // SIGKILL, with all its children
  void start();                                  // after stop() or kill()

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark::test
