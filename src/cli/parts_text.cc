// SPDX-License-Identifier: Apache-2.0
#include "cli/parts_text.h"

#include <fmt/format.h>

#include "base/text.h"
#include "cli/words.h"
#include "parts/names.h"
#include "report/fastener_json.h"

namespace tautmark::cli {
namespace {

std::string number_or_dash(std::optional<int> number) {
  return number ? std::to_string(*number) : "-";
}

std::string from_words(const std::vector<std::string>& from) {
  return from.empty() ? "in no set: order apart" : "in " + joined(from, " or ");
}

std::string with_entry(const std::string& words, const std::string& entry) {
  return entry.empty() ? words : fmt::format("{} ({})", words, entry);
}

void write_rows(Writer& to, const parts::List& list) {
  to.title("Parts");
  if (list.rows.empty()) to.line(2, "None is known.");
  for (const parts::Row& row : list.rows) {
    to.line(2, fmt::format("[ ] {:>2}  {}; {}; {}", count_text(row),
                           parts::part_words(row.part, row.bank), from_words(row.from),
                           parts::standing_text(row.standing)));
    if (row.only_if > 0) to.line(10, fmt::format("+{} {}", row.only_if, row.only_if_words));
    for (const parts::Why& why : row.why) to.line(10, with_entry(why.words, why.entry));
  }
}

void write_rest(Writer& to, const PartsOfDrive& of) {
  const parts::List& list = of.list;
  if (!list.not_ordered.empty()) to.title("Not ordered");
  for (const parts::NotOrdered& row : list.not_ordered)
    to.line(2, with_entry(fmt::format("{}: {}", parts::part_words(row.part, row.bank), row.words),
                          row.entry));
  if (!of.conflicts.empty()) to.title("Conflicts");
  for (const parts::Conflict& one : of.conflicts)
    to.line(2, with_entry(fmt::format("{}: {}: {}. {}", one.is_proven ? "FAIL" : "OPEN",
                                      one.subject, one.why, one.next),
                          joined(one.entries, ", ")));
  if (!list.open.empty()) to.title("Open");
  for (const parts::Open& open : list.open)
    to.line(2, with_entry(
                   open.part.empty()
                       ? open.words
                       : fmt::format("{}: {}", parts::part_words(open.part, open.bank), open.words),
                   joined(open.entries, ", ")));
  if (!list.in_words.empty())
    to.title("Decided in words: enter as parts what of it is ordered or goes in again");
  for (const std::string& words : list.in_words) to.line(2, words);
}

void write_sets(Writer& to, const PartsOfDrive& of) {
  if (!of.sets.empty()) to.title("Sets: tick when the box is opened");
  for (const parts::SetSeen& seen : of.sets) {
    const PartSet& set = *seen.set;
    to.line(
        2, fmt::format(
               "{}, edition {}, {}{}", parts::part_words(set.name, set.bank),
               set.edition.value_or("not said"), set.date ? set.date->text : std::string("no date"),
               seen.opened.empty() ? "" : fmt::format("; opened ({})", joined(seen.opened, ", "))));
    for (const std::string& held : set.holds)
      to.line(4, fmt::format("[{}] {}", parts::in_list(seen.found, held) ? "x" : " ", held));
    for (const std::string& missing : set.does_not_hold) to.line(4, "not in it: " + missing);
  }
}

void write_drive(Writer& to, const PartsOfDrive& of) {
  const Drive& drive = of.drive->drive;
  to.text(fmt::format("{}{}\n", drive.title.value_or(drive.name),
                      drive.revision ? ", revision " + *drive.revision : ""));
  for (const std::string& caution : figure_cautions(*of.drive)) to.line(0, caution);
  write_rows(to, of.list);
  write_rest(to, of);
  write_sets(to, of);
}

std::string cell_text(const parts::CoverageCell& cell) {
  using parts::Covered;
  if (cell.covered == Covered::by_set) return joined(cell.sets, " or ");
  if (cell.covered == Covered::gap) return "GAP: order apart";
  return std::string(parts::covered_text(cell.covered));
}

}  // namespace

std::string parts_text(const PartsView& view, const TextStyle& style) {
  Writer to(style);
  to.text(bold(view.case_name.empty() ? "Parts that the whole procedure uses up"
                                      : "Parts of case " + view.case_name,
               style) +
          "\n");
  for (std::size_t i = 0; i < view.drives.size(); ++i) {
    if (i > 0) to.text("\n");
    write_drive(to, view.drives[i]);
  }
  to.text("\nThe engine maker's current parts data for this exact engine come first.\n");
  return to.take();
}

std::string coverage_text(const parts::Coverage& coverage, const TextStyle& style) {
  std::string out = bold("Sets against engines", style) + "\n";
  Rows rows = {{"part", "bank"}};
  for (const std::string& drive : coverage.drives) rows[0].push_back(drive);
  int gaps = 0;
  for (const parts::CoverageRow& row : coverage.rows) {
    std::vector<std::string> cells = {row.part, number_or_dash(row.bank)};
    for (const parts::CoverageCell& cell : row.cells) {
      cells.push_back(cell_text(cell));
      if (cell.covered == parts::Covered::gap) ++gaps;
    }
    rows.push_back(std::move(cells));
  }
  out += coverage.rows.empty() ? "  nothing is known to be used up\n" : table_text(rows);
  return out + fmt::format("{}\n", counted(gaps, "gap"));
}

}  // namespace tautmark::cli
