// SPDX-License-Identifier: Apache-2.0
// The data sheet of a drive as plain text.
#pragma once

#include <string>

#include "drive/load.h"
#include "report/report.h"

namespace tautmark::cli {

// All limits in tables, torques in both unit systems, and what follows from counting: degrees of
// one tooth, turns until the marks return, sums of the link counts. What a variant took over
// without confirming it carries a *.
std::string drive_sheet(const LoadedDrive& loaded, const TextStyle& style);

// "crank: copper single link; bank 1 / camshaft: copper pair, straddling the mark"; "-" if unknown.
std::string marked_links_text(const Chain& chain);

}  // namespace tautmark::cli
