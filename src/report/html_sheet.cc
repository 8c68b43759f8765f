// SPDX-License-Identifier: Apache-2.0
// The printable job sheet: one self-contained file, A4 or letter, black on white. Nothing in it
// depends on the day or the machine, so the same case gives the same bytes.
#include <fmt/format.h>

#include "report/html_parts.h"
#include "report/html_sections.h"
#include "report/report.h"
#include "report/version.h"

namespace tautmark {
namespace html {
namespace {

constexpr std::size_t kShortSum = 12;  // characters of a SHA-256 that tell two files apart by eye

std::string short_sum(const std::string& sha256) { return sha256.substr(0, kShortSum); }

std::string drive_line(const Judgement& judgement) {
  std::string words;
  for (const DriveInUse& drive : judgement.drives)
    words += fmt::format("{}{}{}", words.empty() ? "" : " or ", drive.name,
                         drive.revision.empty() ? "" : " revision " + drive.revision);
  return words.empty() ? "no engine definition" : words;
}

// Repeated on every printed page, as head and foot of the table that holds the sheet.
std::string running_head(const Judgement& judgement) {
  std::string line = said("span", judgement.case_name) + said("span", drive_line(judgement));
  std::string banner;
  if (judgement.invented) banner = tag("p.invented", "INVENTED ENGINE, NOT FOR REAL WORK");
  return tag("thead", tag("tr", tag("td", banner + tag("p.running", line))),
             judgement.invented ? R"(class="with-banner")" : "");
}

std::string running_foot(const Judgement& judgement) {
  std::string sums = said("span", program_version());
  for (const DriveInUse& drive : judgement.drives)
    sums += said("span", fmt::format("{} {}", drive.name, short_sum(drive.sha256)));
  sums += said("span", fmt::format("case {}", short_sum(judgement.case_sha256)));
  return tag("tfoot", tag("tr", tag("td", tag("p.running", sums))));
}

std::string full_sums(const Judgement& judgement) {
  std::string lines;
  for (const DriveInUse& drive : judgement.drives)
    lines += said("p", fmt::format("drive {}, SHA-256 {}", drive.name, drive.sha256));
  lines +=
      said("p", fmt::format("case {}, SHA-256 {}", judgement.case_name, judgement.case_sha256));
  return tag("div.sums", said("p", program_version()) + lines);
}

std::string sections(const Judgement& judgement, const LoadedCase& loaded) {
  int number = 0;
  std::string out = record_section(++number, loaded);
  out += findings_section(++number, judgement);
  if (auto drawing = drawing_section(number + 1, judgement, loaded); !drawing.empty()) {
    out += drawing;
    ++number;
  }
  out += readings_section(++number, judgement, loaded);
  out += fasteners_section(++number, judgement, loaded);
  out += parts_section(++number, judgement, loaded);
  out += limits_section(++number, judgement);
  out += signatures_section(++number);
  return out;
}

}  // namespace

std::vector<CheckInput> inputs_in_use(const Judgement& judgement, const LoadedCase& loaded) {
  std::vector<CheckInput> inputs;
  for (const LoadedDrive& drive : loaded.drives)
    for (const DriveInUse& used : judgement.drives)
      if (used.name == drive.drive.name && used.sha256 == drive.sha256)
        inputs.push_back(check_input(loaded, &drive));
  if (inputs.empty()) inputs.push_back(check_input(loaded, nullptr));
  return inputs;
}

}  // namespace html

std::string html_sheet(const Judgement& judgement, const LoadedCase& loaded) {
  using namespace html;
  const std::string body = title_block(judgement, loaded) + headline_block(judgement) +
                           turning_block(judgement.turning) + sections(judgement, loaded) +
                           full_sums(judgement);
  const std::string sheet = tag("table.sheet",
                                running_head(judgement) + "\n" + running_foot(judgement) + "\n" +
                                    tag("tbody", tag("tr", tag("td", tag("main", body)))),
                                "role=\"presentation\"");
  return page(judgement.case_title + ", job sheet", verdict_symbols() + sheet);
}

}  // namespace tautmark
