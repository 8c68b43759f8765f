// SPDX-License-Identifier: Apache-2.0
// The API as one document, OpenAPI 3.1, made from the operations and the field descriptions. It is
// served and kept as docs/formats/openapi.json; the page's types are made from it.
#pragma once

#include <string>

namespace tautmark {

const std::string& openapi_text();

}  // namespace tautmark
