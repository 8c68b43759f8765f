// SPDX-License-Identifier: Apache-2.0
#include "serve/open_shop.h"

namespace tautmark {

OpenShop::OpenShop(std::shared_ptr<Database> database, ShopOptions options, const Publish& publish)
    : shop(std::move(database), std::move(options)),
      housekeeping_(shop),
      waves_(shop),
      watcher_(shop.cases, [topics = shop.options.topics, publish](const std::string& topic,
                                                                   const std::string& data) {
        publish(topics + topic, data);
      }) {
  shop.deleted = [this] { housekeeping_.look(); };
  shop.recorded = [this](const StoredFile& file) { waves_.add(file); };
  shop.changed = [this] { watcher_.look(); };
}

}  // namespace tautmark
