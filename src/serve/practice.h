// SPDX-License-Identifier: Apache-2.0
// The practice store: the demonstration cases, to be tried out on. It is a file among the working
// files, made when somebody first asks for it and gone with the server; nothing of it ever reaches
// the shop's store. Who may practice is decided by the shop's accounts. Definitions saved there
// stay there too; the shop's can be read.
#pragma once

#include <memory>
#include <mutex>

#include "serve/answer.h"
#include "serve/open_shop.h"

namespace tautmark {

class Practice {
 public:
  // Both must outlive it.
  Practice(Shop& of, OpenShop::Publish publish) : of_(of), publish_(std::move(publish)) {}
  // From any thread. While the first to ask unpacks the demonstration, the others do not wait with
  // a thread in hand: they hear `busy`, and ask again.
  Answered<Shop*> shop();

 private:
  Answered<std::unique_ptr<OpenShop>> unpacked();

  Shop& of_;
  const OpenShop::Publish publish_;
  std::mutex mutex_;
  bool is_unpacking_ = false;
  std::unique_ptr<OpenShop> open_;
};

// Takes out what is in a practice store and puts in the demonstration; an answer when that failed.
std::optional<Response> put_demo_back(Shop& practice, const std::string& who);

}  // namespace tautmark
