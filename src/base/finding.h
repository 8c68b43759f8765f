// SPDX-License-Identifier: Apache-2.0
// Verdicts and findings: the only things that a person is shown.
//
// `pass` belongs to one quantity against one limit, never to an engine, and is said only when the
// evidence proves it. Missing data is `open`. An open finding says which kind of open it is.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tautmark {

enum class Verdict { pass, fail, open };
std::string_view verdict_word(Verdict verdict);

enum class OpenBecause {
  not_in_drive,   // the definition gives no limit or no such part
  not_measured,   // the case has no such entry: measure it
  too_close,      // too close to call with this gauge and these readings
  outside_model,  // taken under other conditions, or outside what the model covers
  limit_origin,   // inside a limit that is only common practice, a program default, or of no source
  unconfirmed,    // rests on something a variant inherited without restating or confirming it
  variants_differ,  // candidate variants give different answers: identify first
  implausible,      // the readings cannot be what they claim to be
  forecast,         // a what-if, never a measurement
};
std::string_view open_because_text(OpenBecause why);  // "not measured", "too close to call", ...

// Where a number comes from. Only `maker` and `shop` can carry a pass.
enum class Origin { maker, shop, common_practice, program_default, unknown };
std::string_view origin_text(Origin origin);
bool can_carry_pass(Origin origin);

struct FindingValue {
  double value = 0;   // SI
  std::string unit;   // SI symbol of the kind, see si_symbol
  double U = 0;       // expanded uncertainty, SI
  double k = 2;       // its coverage factor
  std::string shown;  // "0.142 ± 0.005 mm"
};

struct FindingLimit {
  std::optional<double> lower, upper;  // SI
  std::string unit;
  std::string applies_to;  // "mean", "worst", ...; empty where it makes no difference
  Origin origin = Origin::unknown;
  std::string source;      // document, edition, page
  std::string checked_by;  // empty: typed once, not cross-checked
  std::string shown;       // "<= 0.110 mm"
};

// One candidate variant's answer where the candidates differ.
struct VariantAnswer {
  std::string drive;
  std::string verdict;  // words, as the finding would read for this variant alone
  std::string limit;
};

struct Finding {
  std::string check;    // "journal-clearance"
  std::string subject;  // "bank 2 / camshaft / journal 1"
  Verdict verdict = Verdict::open;
  std::optional<OpenBecause> open_because;  // set exactly when verdict is open
  std::optional<FindingValue> value;
  std::optional<FindingLimit> limit;
  std::optional<double> probability_within;
  std::string why;                    // one sentence
  std::vector<std::string> evidence;  // ids of case entries
  std::vector<std::string> follows;   // the part, the step
  std::vector<std::string> next;      // what to measure, or what would decide
  std::vector<std::string> cautions;
  std::vector<std::string> sources;  // formulas and standards used
  std::vector<std::string> budget;   // the uncertainty, term by term, in words
  std::vector<VariantAnswer> variants;
  bool forecast = false;  // does not change the exit status
};

}  // namespace tautmark
