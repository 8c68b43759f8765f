// SPDX-License-Identifier: Apache-2.0
// Where a CASE of the command line is read from: a case file, its folder, or a packed case, which
// is unpacked into a temporary folder for as long as it is needed; or "store:NAME", a case of the
// store ($TAUTMARK_STORE, or your own).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "casework/load.h"
#include "serve/scratch.h"
#include "store/database.h"

namespace tautmark::cli {

struct CaseSource {
  LoadedCase value;
  std::shared_ptr<const Scratch> unpacked;  // of a packed case; its files are read from it
};
Parsed<CaseSource> read_case(const std::string& case_name, const std::vector<std::string>& drives,
                             const MoreCaseChecks& more = {});

// The name behind "store:"; empty: it is something else.
std::optional<std::string> name_in_store(const std::string& case_name);
Diagnostics as_diagnostics(const std::string& case_name, const StoreError& error);

// Mistakes found in an unpacked case name the pack, not the temporary folder.
Diagnostics as_named(const CaseSource& source, Diagnostics diagnostics);

// A new folder where temporary files go ($TMPDIR).
Parsed<std::shared_ptr<const Scratch>> make_scratch();

}  // namespace tautmark::cli
