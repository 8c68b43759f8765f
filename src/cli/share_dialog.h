// SPDX-License-Identifier: Apache-2.0
// `tautmark serve --share`: asks what is missing, makes certificates, tells the shop how to join.
#pragma once

#include <tl/expected.hpp>

#include "http/http.h"
#include "serve/share.h"
#include "serve/shop.h"

namespace CLI {
class App;
}  // namespace CLI

namespace tautmark::cli {

struct ShareArguments {
  bool share = false;
  ShareOptions options;
};
void add_share_options(CLI::App& serve, ShareArguments& arguments);

struct Sharing {
  std::filesystem::path folder;  // of the certificates
  std::vector<std::string> names, addresses;
  ShopCertificate certificate;
};
// Fills in what the server needs. The exit status when sharing cannot be; the reason is printed.
tl::expected<Sharing, int> prepare_sharing(const ShareArguments& arguments,
                                           const Database& database, ShopOptions& shop,
                                           ServerOptions& server);
// Address, fingerprints and the code to scan, once the server runs.
void tell_sharing(const Sharing& sharing, const Database& database, const std::string& seat,
                  int port);

// Has the certificate of the server renewed when its time is near, and shows new connections the
// new one. What cannot be done is told on standard error; the server goes on as it is.
void renew_certificate(Sharing& sharing, Server& server);

}  // namespace tautmark::cli
