// SPDX-License-Identifier: Apache-2.0
#include "serve/assets.h"

#include "serve/embedded.h"

namespace tautmark {
namespace {

Asset asset_of(const EmbeddedFile& file) { return {file.path, file.type, file.etag, file.bytes()}; }

}  // namespace

std::vector<Asset> all_assets() {
  std::vector<Asset> all;
  for (const EmbeddedFile& file : embedded_page()) all.push_back(asset_of(file));
  return all;
}

}  // namespace tautmark
