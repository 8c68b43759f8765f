// SPDX-License-Identifier: Apache-2.0
// Tells open pages what changed in the store, whoever changed it: this server, another one on the
// same database, or the command line. Looks once a second, and at once when told.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "store/cases.h"

namespace tautmark {

class Watcher {
 public:
  // {"case": …, "uid": …, "seq": …, "hash": …} or {"case": …, "gone": true}; topic: name of the
  // case.
  using Publish = std::function<void(const std::string& topic, const std::string& data)>;
  Watcher(const CaseStore& cases, Publish publish);
  Watcher(const Watcher&) = delete;
  Watcher& operator=(const Watcher&) = delete;
  ~Watcher();
  void look();  // from any thread

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark
