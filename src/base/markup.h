// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace tautmark {

// Text as the content of an XML element or as the value of an attribute. What XML cannot hold
// (control characters, broken UTF-8, U+FFFE, U+FFFF) becomes the replacement character.
std::string escaped(std::string_view text);

}  // namespace tautmark
