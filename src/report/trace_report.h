// SPDX-License-Identifier: Apache-2.0
// One recorded tightening as an answer: tightening-trace/1 (docs/tightening.md) and its drawing,
// the same of the command and of the page.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <tl/expected.hpp>
#include <vector>

#include "draw/drive_svg.h"
#include "drive/load.h"
#include "judge/case_traces.h"

namespace tautmark {

// One tightening with all that is known of it.
struct TraceJudged {
  std::string drive{};  // name and title; empty: no definition was found
  std::string title{};
  bool invented = false;
  std::string fastener{};
  std::optional<int> bolt{}, step{};
  std::string file{};     // name alone
  bool take_new = true;   // used once, or not said
  std::string problem{};  // why the file cannot be used; empty: it was read
  std::string decides{};  // what would help
  TraceExpected expected{};
  tighten::Trace trace{};
  std::optional<tighten::TraceResult> result{};
  std::optional<OtherTraces> others{};
  std::string differs{};
};

// What the caller says where the definition is silent, or of another bolt.
struct FastenerSaid {
  std::optional<std::string> thread{}, strength_class{}, condition{};
  std::optional<int> bank{};  // of several of its name the one of this bank
};

// The definition that names the fastener. Candidates that tell it differently leave open which one
// is meant: then, and where none names it, a sentence.
tl::expected<const LoadedDrive*, std::string> drive_of_fastener(
    const std::vector<const LoadedDrive*>& drives, const std::string& fastener);

// A trace that is no entry yet; refused where it cannot be analysed.
Result<TraceJudged> judge_trace(const LoadedDrive& drive, const std::string& fastener,
                                std::optional<int> step, const FastenerSaid& said,
                                tighten::Trace trace, const std::optional<OtherTraces>& others);
// One of case_traces(); `trace` is empty where its file cannot be used.
TraceJudged judged_of_case(const LoadedDrive* drive, const TraceOfCase& seen, tighten::Trace trace);

std::string_view trace_answer(const TraceJudged& judged);  // "signs found"
bool is_take_out(const TraceJudged& judged);
// Without what is drawn, or with it thinned: least and most of every piece stay.
inline constexpr std::size_t kMostDrawnPoints = 2000;
nlohmann::ordered_json trace_json(const TraceJudged& judged, bool with_drawn = false);
// Only where there is a result.
std::string trace_drawing(const TraceJudged& judged, Paper paper);

}  // namespace tautmark
