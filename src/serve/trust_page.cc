// SPDX-License-Identifier: Apache-2.0
#include "serve/trust_page.h"

#include <fmt/format.h>

#include "serve/weighted.h"

namespace tautmark {
namespace {

// The colors and lines of web/src/style/tokens.css.
constexpr std::string_view kStyle = R"(
:root { --paper: #f7f4ec; --ink: #1c2126; --faint: #464c52; --accent: #85300c; color-scheme: light; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14181c; --ink: #e8e4d9; --faint: #b0b6ac; --accent: #f0a070; color-scheme: dark; }
}
* { box-sizing: border-box; }
body { margin: 0; padding: .5rem; background: var(--paper); color: var(--ink);
       font: 1.125rem/1.5 system-ui, "DejaVu Sans", sans-serif; overflow-wrap: break-word; }
main { max-width: 44rem; margin: 0 auto; padding: 1rem; border: 2px solid; }
h1 { margin: 0; font-size: 1.5rem; }
h2 { margin: 1.5rem 0 .5rem; padding-top: 1rem; border-top: 2px solid; font-size: 1.125rem; }
p { margin: .5rem 0; }
li { margin: .5rem 0; }
details { border-top: .75px solid var(--faint); }
summary { min-height: 3.25rem; padding: .75rem 0; font-weight: 600; cursor: pointer; }
a { color: inherit; }
a.act, a.other { display: inline-block; min-height: 3.25rem; padding: .7rem 1rem; border: 2px solid;
                 text-decoration: none; }
a.act { border-color: var(--accent); background: var(--accent); color: var(--paper); font-weight: 600; }
a.other { float: right; border: .75px solid var(--faint); }
.stop { border-left: .5rem solid var(--accent); padding-left: 1rem; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
)";

}  // namespace

TrustLanguage trust_language(std::string_view in, std::string_view accept_language) {
  if (in == "de") return TrustLanguage::german;
  if (in == "en") return TrustLanguage::english;
  double german = 0, english = 0;
  bool german_first = false;
  for (const auto& [name, weight] : weighted(accept_language)) {
    const std::string_view tongue = std::string_view(name).substr(0, name.find('-'));
    if (tongue == "de" && weight > german) {
      german = weight;
      german_first = weight > english;
    } else if (tongue == "en" && weight > english) {
      english = weight;
      german_first = german_first && weight <= german;
    }
  }
  return german_first ? TrustLanguage::german : TrustLanguage::english;
}

std::string trust_page(TrustLanguage language) {
  const TrustWords& words = trust_words(language);
  return fmt::format(R"(<!DOCTYPE html>
<html lang="{0}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{1} · Tautmark</title>
<style>{2}</style>
</head>
<body>
<main>
<a class="other" href="/trust?in={3}" lang="{3}" hreflang="{3}">{4}</a>
<h1>{1}</h1>
{5}</main>
</body>
</html>
)",
                     words.language, words.title, kStyle, words.other_language, words.other,
                     words.body);
}

}  // namespace tautmark
