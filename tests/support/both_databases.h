// SPDX-License-Identifier: Apache-2.0
// A test that runs on the embedded database and on the server:
//   class CasesTest : public test::OnBothDatabases {};
//   TAUTMARK_ON_BOTH_DATABASES(CasesTest);
//   TEST_P(CasesTest, Keeps) { auto database = Database::open(store_address(address()), …); }
#pragma once

#include <gtest/gtest.h>

#include <optional>
#include <string>

#include "support/postgres_for_tests.h"
#include "support/temp_folder.h"

namespace tautmark::test {

enum class Engine { embedded, server };

class OnBothDatabases : public testing::TestWithParam<Engine> {
 protected:
  void SetUp() override {
    if (GetParam() == Engine::embedded) return;
    if (!has_postgres()) GTEST_SKIP() << "no PostgreSQL 15 here";
    server_.emplace();
  }
  [[nodiscard]] bool on_server() const { return GetParam() == Engine::server; }
  // Of a store that is empty at first; the same during the whole test.
  [[nodiscard]] std::string address() const {
    return server_ ? server_->url() : (folder_.path() / "store.db").string();
  }
  [[nodiscard]] const TempFolder& folder() const { return folder_; }
  [[nodiscard]] const PostgresDatabase& server() const { return *server_; }

 private:
  TempFolder folder_;
  std::optional<PostgresDatabase> server_;
};

}  // namespace tautmark::test

#define TAUTMARK_ON_BOTH_DATABASES(suite)                                                \
  INSTANTIATE_TEST_SUITE_P(                                                              \
      Store, suite,                                                                      \
      testing::Values(tautmark::test::Engine::embedded, tautmark::test::Engine::server), \
      [](const testing::TestParamInfo<tautmark::test::Engine>& each) {                   \
        return each.param == tautmark::test::Engine::embedded ? "embedded" : "server";   \
      })
