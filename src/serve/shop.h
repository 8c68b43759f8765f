// SPDX-License-Identifier: Apache-2.0
// What every handler works on: the store, the drives, what has been judged already.
#pragma once

#include <algorithm>
#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "drive/load.h"
#include "http/http.h"
#include "judge/judge.h"
#include "judge/oil_told.h"
#include "serve/case_folders.h"
#include "serve/scratch.h"
#include "serve/working_files.h"
#include "store/accounts.h"
#include "store/exchange.h"

namespace tautmark {

struct ShopOptions {
  DriveFolders drives;
  std::filesystem::path saves_to;  // definitions only here; empty: to where they are found
  std::string seat;                // who is noted where nobody logs in
  int workers = 2;                 // threads that compute
  bool is_shared = false;          // on the network: TLS, and everybody logs in
  std::string certificate;         // which /trust offers; empty: there is no such page
  // In front of the topics of its events: all stores that a server opens tell through one hub. No
  // name of a case holds a slash.
  std::string topics = "shop/";
};

// The newest of each case, thrown away in the order of use past kMostKept.
template <class T>
class NewestOf {
 public:
  static constexpr std::size_t kMostKept = 200;
  [[nodiscard]] std::shared_ptr<const T> find(const std::string& uid, const std::string& state) {
    const std::lock_guard lock(mutex_);
    const auto found = kept_.find(uid);
    if (found == kept_.end() || found->second.state != state) return nullptr;
    found->second.used = ++uses_;
    return found->second.what;
  }
  void keep(const std::string& uid, const std::string& state, std::shared_ptr<const T> what) {
    const std::lock_guard lock(mutex_);
    kept_[uid] = {state, std::move(what), ++uses_};
    if (kept_.size() <= kMostKept) return;
    kept_.erase(std::min_element(kept_.begin(), kept_.end(), [](const auto& a, const auto& b) {
      return a.second.used < b.second.used;
    }));
  }

 private:
  struct Kept {
    std::string state;
    std::shared_ptr<const T> what;
    std::uint64_t used = 0;
  };
  std::mutex mutex_;
  std::map<std::string, Kept> kept_;
  std::uint64_t uses_ = 0;
};

struct Shop {
  Shop(std::shared_ptr<Database> database, ShopOptions asked)
      : cases(std::move(database)), people(cases.shared_database()), options(std::move(asked)) {}

  CaseStore cases;
  std::shared_ptr<Database> people;  // holds the accounts; of the practice store, the shop's
  ShopOptions options;
  Scratch scratch;
  CaseFolders folders;
  WorkingFiles files{scratch};
  LongJobs long_jobs{options.workers};
  NewestOf<Judgement> judgements;
  NewestOf<OilToldOrMissing> oils;
  // Guessing is slowed down by the address it comes from and, should it come from many, by the name
  // it is about. The name waits 4 s at most, and not on a paired device: a stranger must not be
  // able to lock a person out. That leaves 900 guesses an hour for a name, nothing against ten
  // characters.
  TryLimit tries;
  TryLimit tries_of_name{{.free_tries = 20, .longest_wait = 4}};
  std::mutex saving_drives;  // one definition at a time is compared with what is there, and written
  std::function<void()> changed;                    // tells the watcher of changes; may be empty
  std::function<void(const StoredFile&)> recorded;  // a recording came; may be empty
  std::function<void()> deleted;  // tells the housekeeping; empty: the one who deletes clears up

  [[nodiscard]] const Database& database() const { return cases.database(); }
};

class Practice;

// Every route: the API as openapi.json tells it, the same on the practice store under /practice,
// the page, the way to trust it.
std::vector<Route> routes(Shop& shop, Practice& practice);

// Who asks, and whether they may: fills in seat and role.
std::optional<Response> gate(Shop& shop, Request& request, const Route& route);

}  // namespace tautmark
