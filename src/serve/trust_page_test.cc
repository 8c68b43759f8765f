// SPDX-License-Identifier: Apache-2.0
#include "serve/trust_page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr auto kEnglish = TrustLanguage::english, kGerman = TrustLanguage::german;

// RFC 9110, section 12.5.4; the first said of two that are wanted alike.
TEST(TrustPage, SpeaksWhatTheBrowserPrefers) {
  for (const char* said : {"", "*", "fr", "en-GB,en;q=0.9,de;q=0.8", "en, de", "de;q=0", "den",
                           "de;q=0.5, en;q=0.6", "fr, en;q=0.4, de;q=0.3"})
    EXPECT_EQ(trust_language("", said), kEnglish) << said;
  for (const char* said : {"de", "DE-at", "de-DE,de;q=0.9,en;q=0.8", "de, en", "fr, de;q=0.1",
                           "en;q=0.5, de;q=0.6", "en;q=0, de;q=0.1"})
    EXPECT_EQ(trust_language("", said), kGerman) << said;
  EXPECT_EQ(trust_language("en", "de"), kEnglish);
  EXPECT_EQ(trust_language("de", "en"), kGerman);
  EXPECT_EQ(trust_language("fr", "de"), kGerman);
}

TEST(TrustPage, NeedsNoScriptAndProvesNothingByItself) {
  const std::string pages[] = {trust_page(kEnglish), trust_page(kGerman)};
  for (const std::string& page : pages) {
    for (const char* part : {"href=\"/trust/certificate\"", "href=\"/pair\"", "SHA-256"})
      EXPECT_THAT(page, HasSubstr(part));
    EXPECT_THAT(page, Not(HasSubstr("<script")));
    EXPECT_THAT(page, Not(HasSubstr("http:")));
  }
  for (const char* part : {"<html lang=\"en\">", "screen at", "href=\"/trust?in=de\""})
    EXPECT_THAT(pages[0], HasSubstr(part));
  for (const char* part : {"<html lang=\"de\">", "Bildschirm am", "href=\"/trust?in=en\""})
    EXPECT_THAT(pages[1], HasSubstr(part));
}

}  // namespace
}  // namespace tautmark
