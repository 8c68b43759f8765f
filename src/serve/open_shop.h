// SPDX-License-Identifier: Apache-2.0
// A store at work: with it what tells of its changes and what clears up after deletions, each in a
// thread of its own.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "serve/housekeeping.h"
#include "serve/recording_waves.h"
#include "serve/shop.h"
#include "serve/watcher.h"

namespace tautmark {

class OpenShop {
 public:
  // From any thread. The topic begins with `topics` of the options.
  using Publish = Watcher::Publish;
  OpenShop(std::shared_ptr<Database> database, ShopOptions options, const Publish& publish);

  Shop shop;

 private:
  Housekeeping housekeeping_;
  WavesAhead waves_;
  Watcher watcher_;
};

}  // namespace tautmark
