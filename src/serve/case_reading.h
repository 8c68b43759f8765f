// SPDX-License-Identifier: Apache-2.0
// A case of the store as the core reads it, and its judgement. Not for use outside src/serve.
#pragma once

#include <memory>
#include <set>
#include <string>

#include "serve/answer.h"
#include "serve/shop.h"

namespace tautmark {

struct CaseRead {
  CaseSummary summary;
  std::shared_ptr<const CaseFolder> kept;  // as long as `folder` is read
  std::filesystem::path folder;            // case.yaml and drives; the other files by name only
  LoadedCase loaded;
};
Answered<CaseRead> read_case(Shop& shop, const std::string& name);

// The file beside the case of the path that the query names; 404 when there is none.
Answered<StoredFile> file_asked(Shop& shop, const Request& request);

// A file of a case with its bytes, under its own name, as long as this is kept.
struct FileInHand {
  std::shared_ptr<const void> permit;  // of LongJobs
  WorkingFiles::Item bytes;
  std::shared_ptr<const ScratchItem> folder;
  std::filesystem::path path;
};
// With a permit that the caller has, or one of its own.
Answered<FileInHand> file_in_hand(Shop& shop, const StoredFile& file,
                                  std::shared_ptr<const void> permit = nullptr);

// The case with the bytes of the recordings that its entries name, for whoever decodes them:
// `loaded.file` lies beside them.
struct CaseInHand {
  std::shared_ptr<const void> permit;
  std::shared_ptr<const ScratchItem> folder;
  LoadedCase loaded;
};
Answered<CaseInHand> case_in_hand(Shop& shop, const CaseRead& read);
// With the bytes of these files only.
Answered<CaseInHand> case_in_hand(Shop& shop, const CaseRead& read,
                                  const std::set<std::string>& names);

// Changes when the case or one of its drives does.
std::string state_of(const LoadedCase& loaded);

struct CaseJudged {
  CaseRead read;
  std::shared_ptr<const Judgement> judgement;
};
// Judged anew only when the case or a drive has changed.
Answered<CaseJudged> judged_case(Shop& shop, const std::string& name);

}  // namespace tautmark
