// SPDX-License-Identifier: Apache-2.0
// The data sheet of a drive: all limits in tables, torques in both unit systems, and what follows
// from counting: degrees of one tooth, turns until the marks return, sums of the link counts. What
// a variant took over without confirming it carries a *.
#pragma once

#include <string>
#include <vector>

#include "drive/load.h"

namespace tautmark {

struct SheetLine {
  std::string text;
  int depth = 0;  // 1: belongs to the line before of depth 0
};
struct SheetPart {
  std::string title;
  std::vector<SheetLine> lines{};                // before the table
  std::vector<std::vector<std::string>> rows{};  // all of one length; a cell without value is "-"
  bool has_head = true;                          // the first row names the columns
};
struct DriveSheet {
  bool is_invented = false;
  std::string title;
  std::vector<std::string> head;
  std::vector<SheetPart> parts;
  std::vector<std::string> foot;
};
DriveSheet drive_sheet(const LoadedDrive& loaded);

// One self-contained printable page.
std::string html_drive_sheet(const LoadedDrive& loaded);

}  // namespace tautmark
