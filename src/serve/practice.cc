// SPDX-License-Identifier: Apache-2.0
#include "serve/practice.h"

#include <filesystem>

#include "serve/embedded.h"
#include "serve/whole_file.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kReason = "the demonstration is put back";
constexpr int kMostAtOnce = 100;

std::optional<Response> write_demo(const fs::path& folder) {
  std::error_code code;
  fs::remove_all(folder, code);
  for (const EmbeddedFile& file : embedded_demo()) {
    const fs::path path = folder / file.path.substr(1);
    fs::create_directories(path.parent_path(), code);
    if (auto failed = write_whole_file(path, file.bytes(), 0600))
      return problem(507, "The demonstration cannot be unpacked", *failed);
  }
  return std::nullopt;
}

std::optional<Response> remove_all_cases(const CaseStore& cases, const std::string& who) {
  for (;;) {
    const auto page = cases.search("", kMostAtOnce);
    if (!page) return problem_of(page.error());
    if (page->cases.empty()) return std::nullopt;
    for (const CaseSummary& summary : page->cases) {
      auto done = summary.keep_until == 0
                      ? Stored<void>()
                      : cases.set_keep_until(summary.name, 0, who, std::string(kReason));
      if (done) done = cases.remove(summary.name, who, std::string(kReason));
      if (!done && done.error().trouble != StoreTrouble::not_found) return problem_of(done.error());
    }
  }
}

std::optional<Response> import_demo(const Shop& practice) {
  const fs::path& folder = practice.options.saves_to;
  ImportOptions options;
  options.seat = "demonstration";
  options.drives = practice.options.drives;
  for (const EmbeddedFile& file : embedded_demo()) {
    const fs::path path = folder / file.path.substr(1);
    if (path.filename() != "case.yaml") continue;
    const auto imported = import_case(practice.cases, path.parent_path(), options);
    if (!imported) return problem_of(imported.error(), folder.generic_string());
  }
  return std::nullopt;
}

}  // namespace

std::optional<Response> put_demo_back(Shop& practice, const std::string& who) {
  const std::lock_guard one_at_a_time(practice.saving_drives);
  auto failed = write_demo(practice.options.saves_to);
  if (!failed) failed = remove_all_cases(practice.cases, who);
  if (!failed) failed = import_demo(practice);
  if (practice.changed) practice.changed();
  return failed;
}

Answered<Shop*> Practice::shop() {
  {
    const std::lock_guard lock(mutex_);
    if (open_ != nullptr) return &open_->shop;
    if (is_unpacking_)
      return answer_with(problem_of(StoreError{
          StoreTrouble::busy, "the demonstration is being unpacked; try again in a few seconds"}));
    is_unpacking_ = true;
  }
  struct Done {
    Practice& of;
    ~Done() {
      const std::lock_guard lock(of.mutex_);
      of.is_unpacking_ = false;
    }
  } const done{*this};
  auto opened = unpacked();
  if (!opened) return answer_with(opened.error());
  const std::lock_guard lock(mutex_);
  open_ = std::move(*opened);
  return &open_->shop;
}

Answered<std::unique_ptr<OpenShop>> Practice::unpacked() {
  const fs::path file = of_.scratch.fresh("-practice.store");
  auto database = Database::open(store_address(file.string()), OpenFor::writing_or_create,
                                 of_.options.workers + 2);
  if (!database) return answer_with(problem_of(database.error()));
  ShopOptions options = of_.options;
  options.topics = "practice/";
  // In front, so that what is saved is what is found. Each case lies in a folder of its own there.
  options.saves_to = of_.scratch.fresh("-demo");
  options.drives.folders.insert(options.drives.folders.begin(), options.saves_to);
  auto opened = std::make_unique<OpenShop>(std::move(*database), std::move(options), publish_);
  opened->shop.people = of_.people;
  if (auto failed = put_demo_back(opened->shop, "demonstration"))
    return answer_with(std::move(*failed));
  return opened;
}

}  // namespace tautmark
