// SPDX-License-Identifier: Apache-2.0
// Cases as a whole: found, made, read, proven, deleted.
#include <fmt/format.h>

#include <fstream>

#include "base/text.h"
#include "casework/case_fields.h"
#include "judge/dimension.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"
#include "store/readable_case.h"

namespace tautmark {
namespace {

constexpr std::int64_t kMostListed = 200;

Response list_cases(Shop& shop, Request& request) {
  const auto limit = number_asked(request, "limit", 50, 1, kMostListed);
  if (!limit) return limit.error();
  const auto offset = number_asked(request, "offset", 0, 0, 1'000'000);
  if (!offset) return offset.error();
  const auto page =
      shop.cases.search(asked(request, "q"), static_cast<int>(*limit), static_cast<int>(*offset));
  if (!page) return problem_of(page.error());
  CaseList list;
  for (const CaseSummary& summary : page->cases) list.cases.push_back(row_of(summary));
  list.found = std::min(page->found, kMostCounted);
  list.more = page->found > kMostCounted;
  return answer(list);
}

Response new_case(Shop& shop, Request& request) {
  const auto asked = body_as<NewCase>(request);
  if (!asked) return asked.error();
  Case value = asked->head;
  value.tautmark = "case/1";
  value.entries.clear();
  if (value.name.empty())
    value.name =
        replaced(fmt::format("case {}", time_text(now_microseconds()).substr(0, 19)), ":", ".");
  const std::string text = yaml_text(write_record(value));
  // What cannot be read later must not come in: the same test that every case file passes.
  const ScratchItem folder(shop.scratch.fresh("-new"));
  std::error_code code;
  std::filesystem::create_directories(folder.path(), code);
  std::ofstream(folder.path() / "case.yaml", std::ios::binary) << text;
  const auto checked = load_case(folder.path().string(), shop.options.drives);
  if (!checked) return problem_of(checked.error(), folder.path().generic_string());
  auto cut = cut_case("new case", text);
  if (!cut) return problem_of(cut.error());
  const auto made = shop.cases.create(value.name, std::move(cut->records), request.seat);
  if (!made) return problem_of(made.error());
  if (shop.changed) shop.changed();
  return answer(row_of(*made), 201);
}

// Why the case does not load.
std::vector<Mistake> mistakes_of_case(Shop& shop, const std::string& name,
                                      const std::vector<CaseRecord>& records) {
  const auto kept = shop.folders.get(shop.cases, shop.scratch, name);
  if (!kept) return {{{}, 0, 0, "its files cannot be read; see whether the case holds", {}}};
  const std::filesystem::path& folder = (*kept)->item.path();
  const auto loaded = load_case(folder.string(), shop.options.drives, &unknown_instruments);
  if (loaded) return {};
  return mistakes_of(with_entries_named(records, loaded.error()), folder.generic_string());
}

// What does not load is shown as far as it reads, with what is wrong.
Response get_case(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto summary = shop.cases.summary(name);
  if (!summary) return problem_of(summary.error());
  const auto records = shop.cases.records(name);
  if (!records) return problem_of(records.error());
  CaseView view;
  view.summary = row_of(*summary);
  if (auto read = read_case(shop, name)) {
    view.value = std::move(read->loaded.value);
  } else {
    view.value = readable_case(name, *records);
    view.mistakes = mistakes_of_case(shop, name, *records);
  }
  for (const CaseRecord& record : *records)
    if (record.kind == RecordKind::entry)
      view.receipts.push_back(
          {record.seq, record.entry_id, record.hash, time_text(record.at), record.seat});
  return answer(view);
}

Response get_records(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto after = number_asked(request, "after", 0, 0, INT64_MAX);
  if (!after) return after.error();
  const auto summary = shop.cases.summary(name);
  if (!summary) return problem_of(summary.error());
  const auto records = shop.cases.records(name, *after);
  if (!records) return problem_of(records.error());
  RecordList list;
  list.uid = summary->uid;
  for (const CaseRecord& record : *records)
    list.records.push_back({record.seq, std::string(record_kind_name(record.kind)), record.entry_id,
                            record.client_key, time_text(record.at), record.seat, record.body,
                            record.hash});
  return answer(list);
}

Response verify_case(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const std::string head = asked(request, "head");
  const auto summary = shop.cases.summary(name);
  if (!summary) return problem_of(summary.error());
  const auto problems =
      shop.cases.verify(name, head.empty() ? std::nullopt : std::optional<std::string>(head));
  if (!problems) return problem_of(problems.error());
  const auto notes = shop.cases.origins(name);
  if (!notes) return problem_of(notes.error());
  return answer(VerifyResult{problems->empty(), summary->head_hash, *problems, *notes});
}

Response delete_case(Shop& shop, Request& request) {
  const auto asked = body_as<DeleteRequest>(request);
  if (!asked) return asked.error();
  const auto done =
      shop.cases.remove(request.parts["case"], request.seat, asked->reason,
                        shop.deleted ? CaseStore::Sweep::later : CaseStore::Sweep::now);
  if (!done) return problem_of(done.error());
  if (shop.deleted) shop.deleted();
  if (shop.changed) shop.changed();
  return nothing_more();
}

Response keep_case(Shop& shop, Request& request) {
  const auto asked = body_as<KeepRequest>(request);
  if (!asked) return asked.error();
  const auto until = time_of(asked->until);
  if (!until)
    return problem(422, "What was sent cannot be used", "until is a date, for example 2036-12-31");
  const std::string& name = request.parts["case"];
  const auto done = shop.cases.set_keep_until(name, *until, request.seat, asked->reason);
  if (!done) return problem_of(done.error());
  if (shop.changed) shop.changed();
  const auto summary = shop.cases.summary(name);
  return summary ? answer(row_of(*summary)) : problem_of(summary.error());
}

}  // namespace

std::span<const Handler> case_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listCases", &list_cases}, {"newCase", &new_case},       {"getCase", &get_case},
      {"records", &get_records},  {"verifyCase", &verify_case}, {"deleteCase", &delete_case},
      {"keepCase", &keep_case},
  };
  return kHandlers;
}

}  // namespace tautmark
