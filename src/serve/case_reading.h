// SPDX-License-Identifier: Apache-2.0
// A case of the store as the core reads it, and its judgement. Not for use outside src/serve.
#pragma once

#include <memory>
#include <string>

#include "serve/answer.h"
#include "serve/shop.h"

namespace tautmark {

struct CaseRead {
  CaseSummary summary;
  std::filesystem::path folder;  // case.yaml and the files beside it
  LoadedCase loaded;
};
Answered<CaseRead> read_case(Shop& shop, const std::string& name);

// The folder alone, for files.
Answered<std::filesystem::path> case_folder(Shop& shop, const std::string& name);

struct CaseJudged {
  CaseRead read;
  std::shared_ptr<const Judgement> judgement;
};
// Judged anew only when the case or a drive has changed.
Answered<CaseJudged> judged_case(Shop& shop, const std::string& name);

}  // namespace tautmark
