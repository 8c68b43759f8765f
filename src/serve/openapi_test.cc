// SPDX-License-Identifier: Apache-2.0
// The document as a whole is checked by an outside validator: tests/cli/test_openapi.py.
#include "serve/openapi.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "casework/case_fields.h"
#include "serve/api_operations.h"

namespace tautmark {
namespace {

TEST(OpenApi, HoldsEveryOperationOnceUnderItsRole) {
  const auto document = nlohmann::json::parse(openapi_text());
  std::size_t count = 0;
  for (const auto& [path, item] : document["paths"].items()) count += item.size();
  EXPECT_EQ(count, api_operations().size());
  std::set<std::pair<std::string_view, std::string_view>> seen;
  for (const ApiOperation& operation : api_operations()) {
    EXPECT_TRUE(seen.emplace(operation.method, operation.pattern).second) << operation.pattern;
    EXPECT_FALSE(operation.answers.empty()) << operation.id;
    const bool reads = operation.method == "GET";
    const bool has_body = !std::holds_alternative<std::monostate>(operation.request);
    EXPECT_FALSE(reads && has_body) << operation.id;
    // What changes something is never open to readers, but for coming and going and what is theirs.
    const bool comes_or_goes =
        operation.role < 0 || operation.id == "logOut" || operation.id == "changeMe";
    // A text is too long for a GET.
    const bool only_looks = operation.id == "checkDriveText" || operation.id == "readTrace" ||
                            operation.id == "readStop" || operation.id == "readIndicator" ||
                            operation.id == "authorDrive" || operation.id == "solveOilCircuit";
    EXPECT_TRUE(reads || comes_or_goes || only_looks || operation.role >= 1) << operation.id;
  }
}

// The definitions of the formats are the same text in the document as beside it, but for where
// references lead.
TEST(OpenApi, SaysOfACaseWhatItsSchemaSays) {
  const auto document = nlohmann::json::parse(openapi_text());
  std::string text = json_schema_text(type_of<Case>(), "case/1");
  for (std::size_t at = 0; (at = text.find("#/$defs/", at)) != text.npos; at += 20)
    text.replace(at, 8, "#/components/schemas/");
  const auto schema = nlohmann::json::parse(text);
  EXPECT_EQ(document["components"]["schemas"]["case"], schema["$defs"]["case"]);
  EXPECT_EQ(document["components"]["schemas"]["instrument"], schema["$defs"]["instrument"]);
}

TEST(OpenApi, OfTwoTypesOfOneNameEachIsThere) {
  const auto schemas = nlohmann::json::parse(openapi_text())["components"]["schemas"];
  const auto says = [&](const char* name, const char* key) {
    return schemas.at(name).dump().find(key) != std::string::npos;
  };
  EXPECT_FALSE(says("mark", "\"stands\""));
  EXPECT_TRUE(says("marks_mark", "\"stands\""));
  EXPECT_FALSE(says("edge", "\"cam\""));
  EXPECT_TRUE(says("recording_edge", "\"cam\""));
}

TEST(OpenApi, ProblemsFollowFromWhatIsAsked) {
  for (const ApiOperation& operation : api_operations()) {
    const std::vector<int> statuses = problem_statuses(operation);
    const auto has = [&](int status) {
      return std::find(statuses.begin(), statuses.end(), status) != statuses.end();
    };
    EXPECT_TRUE(has(503)) << operation.id;  // the pool may be full
    EXPECT_EQ(has(404), operation.pattern.find('{') != std::string_view::npos) << operation.id;
    EXPECT_EQ(has(413), !std::holds_alternative<std::monostate>(operation.request)) << operation.id;
    EXPECT_EQ(has(403), operation.role >= 0) << operation.id;
  }
}

}  // namespace
}  // namespace tautmark
