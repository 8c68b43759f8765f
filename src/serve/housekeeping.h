// SPDX-License-Identifier: Apache-2.0
// What a deletion leaves to be done, in a thread of its own: the bytes in the store, a few at a
// time, and what the scratch holds of cases that are gone, whoever deleted them.
#pragma once

#include <memory>

#include "serve/shop.h"

namespace tautmark {

class Housekeeping {
 public:
  // Begins with what an earlier program left; `shop` must outlive it.
  explicit Housekeeping(Shop& shop);
  Housekeeping(const Housekeeping&) = delete;
  Housekeeping& operator=(const Housekeeping&) = delete;
  ~Housekeeping();
  void look();  // something was deleted; from any thread

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark
