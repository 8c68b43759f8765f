// SPDX-License-Identifier: Apache-2.0
// The procedure for exactly one engine as a sheet to work by: it carries the same gates as the
// screen. Nothing in it depends on the day or the machine.
#include <fmt/format.h>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "report/fastener_json.h"
#include "report/html_parts.h"
#include "report/html_sections.h"
#include "report/html_steps.h"
#include "report/procedure_view.h"
#include "report/version.h"

namespace tautmark {
namespace html {
namespace {

std::string source_words(const Drive& drive) {
  if (!drive.source) return "nobody says where it comes from";
  std::vector<std::string> parts;
  if (drive.source->origin) parts.emplace_back(choice_name(*drive.source->origin));
  for (const auto& part : {drive.source->document, drive.source->edition, drive.source->page})
    if (part) parts.push_back(*part);
  return joined(parts, ", ");
}

std::string title_block_of(const ProcedureView& view) {
  const Drive& drive = view.drive.drive;
  const std::string cells =
      tag("div.cell mark", tag("b", "TAUTMARK") + tag("small", "procedure")) +
      tag("div.cell title", said("h1", drive.title.value_or(drive.name))) +
      cell("case", view.case_name.empty() ? "none: of the definition alone" : view.case_name,
           "quarter") +
      cell("definition", drive.name, "third") +
      cell("revision", drive.revision.value_or("not stated"), "sixth") +
      cell("variant of", drive.based_on.value_or("none: a definition of its own"), "half") +
      cell("source", source_words(drive), "half") +
      cell("checked by", drive.checked_by.value_or("NOT CHECKED by a second reader"), "half") +
      cell("engine number", "", "quarter hand") + cell("job number", "", "quarter hand") +
      cell("bay, person", "", "quarter hand") + cell("date", "", "quarter hand");
  return tag("div.title-block", cells) + "\n";
}

std::string line(std::string_view label, std::string_view text, std::string_view style) {
  return tag(fmt::format("div.line {}", style), said("b", label) + said("p", text));
}

std::string headline_of(const ProcedureView& view) {
  const LoadedDrive& loaded = view.drive;
  std::string lines;
  for (const std::string& caution : figure_cautions(loaded))
    lines += line("Caution", caution, "stop");
  std::vector<std::string> topics;
  for (const auto& [name, path] : loaded.unconfirmed) topics.push_back(name);
  if (!topics.empty())
    lines += line("Caution",
                  fmt::format("Taken over from {} and not confirmed for this variant: {}.",
                              loaded.drive.based_on.value_or("the base"), joined(topics, ", ")),
                  "stop");
  lines +=
      line("First", "The engine maker's procedure for this exact engine comes first.", "proven");
  lines += line("This engine",
                loaded.drive.recognise.empty() ? "The definition does not say how to tell it."
                                               : joined(loaded.drive.recognise, "; "),
                "proven");
  if (view.walk)
    for (const procedure::OpenItem& open : view.walk->open)
      lines += line("Open", fmt::format("{} ({})", open.words, open.entry), "stop");
  return tag("div.headline", lines) + "\n";
}

std::string stages(const ProcedureView& view, std::span<const tighten::Wrench> wrenches,
                   int& number) {
  std::string out, steps;
  std::optional<WorkStage> stage;
  const auto close = [&] {
    if (!steps.empty())
      out += section(++number, stage ? choice_name(*stage) : std::string_view("the work"), steps);
    steps.clear();
  };
  for (std::size_t i = 0; i < view.plan.steps.size(); ++i) {
    const auto& next = view.plan.steps[i].written->stage;
    if (next && next != stage) {
      close();
      stage = next;
    }
    steps += step_block(view, i, wrenches);
  }
  close();
  return out;
}

std::string running(const ProcedureView& view) {
  const Drive& drive = view.drive.drive;
  std::string banner;
  if (drive.invented.value_or(false))
    banner = tag("p.invented", "INVENTED ENGINE, NOT FOR REAL WORK");
  const std::string words =
      said("span", view.case_name.empty() ? drive.title.value_or(drive.name) : view.case_name) +
      said("span", fmt::format("procedure, {}{}", drive.name,
                               drive.revision ? " revision " + *drive.revision : ""));
  const std::string sums =
      said("span", program_version()) +
      said("span", fmt::format("{} {}", drive.name, view.drive.sha256.substr(0, 12)));
  return tag("thead", tag("tr", tag("td", banner + tag("p.running", words))),
             banner.empty() ? "" : R"(class="with-banner")") +
         "\n" + tag("tfoot", tag("tr", tag("td", tag("p.running", sums)))) + "\n";
}

}  // namespace
}  // namespace html

std::string html_procedure(const ProcedureView& view, std::span<const tighten::Wrench> wrenches) {
  using namespace html;
  int number = 0;
  std::string body = title_block_of(view) + headline_of(view) + turning_block(view.turning);
  body += stages(view, wrenches, number);
  body += section(++number, "What always holds", always_list());
  body += signatures_section(++number);
  const Drive& drive = view.drive.drive;
  body += tag("div.sums",
              said("p", fmt::format("drive {}, SHA-256 {}", drive.name, view.drive.sha256)));
  const std::string sheet =
      tag("table.sheet", running(view) + tag("tbody", tag("tr", tag("td", tag("main", body)))),
          "role=\"presentation\"");
  return page(drive.title.value_or(drive.name) + ", procedure", sheet);
}

}  // namespace tautmark
