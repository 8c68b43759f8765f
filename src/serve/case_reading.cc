// SPDX-License-Identifier: Apache-2.0
#include "serve/case_reading.h"

#include "judge/dimension.h"
#include "store/readable_case.h"

namespace tautmark {

Answered<std::filesystem::path> case_folder(Shop& shop, const std::string& name) {
  const auto folder = case_for_reading(shop.cases, name, shop.scratch.path());
  if (!folder) return answer_with(problem_of(folder.error()));
  return *folder;
}

Answered<CaseRead> read_case(Shop& shop, const std::string& name) {
  CaseRead read;
  const auto summary = shop.cases.summary(name);
  if (!summary) return answer_with(problem_of(summary.error()));
  read.summary = *summary;
  const auto folder = case_folder(shop, name);
  if (!folder) return answer_with(folder.error());
  read.folder = *folder;
  auto loaded = load_case(folder->string(), shop.options.drives, &unknown_instruments);
  if (!loaded) {
    const auto records = shop.cases.records(name);
    return answer_with(
        problem_of(records ? with_entries_named(*records, loaded.error()) : loaded.error(),
                   folder->generic_string()));
  }
  read.loaded = std::move(*loaded);
  return read;
}

Answered<CaseJudged> judged_case(Shop& shop, const std::string& name) {
  auto read = read_case(shop, name);
  if (!read) return answer_with(read.error());
  CaseJudged judged{std::move(*read), nullptr};
  std::string state = judged.read.loaded.sha256;
  for (const LoadedDrive& drive : judged.read.loaded.drives)
    state += (drive.differs_from_shop ? " differs " : " ") + drive.sha256;
  judged.judgement = shop.judgements.find(judged.read.summary.uid, state);
  if (judged.judgement != nullptr) return judged;
  auto judgement = judge(judged.read.loaded);
  if (!judgement)
    return answer_with(problem_of(judgement.error(), judged.read.folder.generic_string()));
  judged.judgement = std::make_shared<const Judgement>(std::move(*judgement));
  shop.judgements.keep(judged.read.summary.uid, state, judged.judgement);
  return judged;
}

}  // namespace tautmark
