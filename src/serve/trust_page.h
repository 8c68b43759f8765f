// SPDX-License-Identifier: Apache-2.0
// The page of /trust, for anybody, without log-in and before the tablet trusts this machine: HTML
// without scripts, so that nothing has to be allowed first. It offers the certificate of the shop
// (/trust/certificate) and leads on to the pairing (/pair).
#pragma once

#include <string>
#include <string_view>

namespace tautmark {

enum class TrustLanguage { english, german };

// `in`: "de" or "en" when it was chosen on the page; else what the browser prefers (RFC 9110,
// section 12.5.4), English when it wants neither.
TrustLanguage trust_language(std::string_view in, std::string_view accept_language);

std::string trust_page(TrustLanguage language);

// What stands in it (trust_words.cc).
struct TrustWords {
  std::string_view language, title, other_language, other;  // "en", …, "de", "Deutsch"
  std::string_view body;                                    // HTML below the title
};
const TrustWords& trust_words(TrustLanguage language);

}  // namespace tautmark
