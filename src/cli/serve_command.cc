// SPDX-License-Identifier: Apache-2.0
// `tautmark serve`: the local application, for this machine or, with --share, for the shop.
#include <fmt/format.h>
#include <pthread.h>
#include <signal.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <thread>

#include "base/quantity_text.h"
#include "cli/commands.h"
#include "cli/share_dialog.h"
#include "cli/store_source.h"
#include "serve/open_shop.h"
#include "serve/practice.h"

namespace tautmark::cli {
namespace {

constexpr int kDefaultPort = 8604;

struct ServeArguments {
  std::string store, listen, seat;
  std::vector<std::string> drives;
  ShareArguments share;
  int workers = 0;
};

struct Endpoint {
  std::string address;  // empty: not said
  int port = kDefaultPort;
};

// "127.0.0.1:8604", "[::1]:8604", ":8604", "8604"
std::optional<Endpoint> endpoint(const std::string& said) {
  Endpoint found;
  if (said.empty()) return found;
  const auto colon = said.rfind(':');
  const std::string port = colon == std::string::npos ? said : said.substr(colon + 1);
  if (colon != std::string::npos && colon > 0) found.address = said.substr(0, colon);
  if (found.address.starts_with('[') && found.address.ends_with(']'))
    found.address = found.address.substr(1, found.address.size() - 2);
  const auto number = read_integer(port);
  if (!number || *number < 0 || *number > 65535) return std::nullopt;
  found.port = static_cast<int>(*number);
  return found;
}

bool is_loopback(const std::string& address) {
  return address == "127.0.0.1" || address == "::1" || address == "localhost";
}

// Waits for Ctrl-C or a polite kill in a thread of its own; every other thread keeps them blocked.
class StopSignals {
 public:
  StopSignals() {
    sigemptyset(&signals_);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals_, signal);
    pthread_sigmask(SIG_BLOCK, &signals_, nullptr);
    signal(SIGPIPE, SIG_IGN);
  }
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;
  ~StopSignals() {
    is_over_ = true;
    if (waiting_.joinable()) waiting_.join();
  }
  // `hourly` is for what needs a look from time to time; it is called between two signals.
  void watch(std::function<void()> stop, std::function<void()> hourly) {
    waiting_ = std::thread([this, stop = std::move(stop), hourly = std::move(hourly)] {
      const timespec pause{0, 200'000'000};
      constexpr auto kHour = std::chrono::hours(1);
      auto next = std::chrono::steady_clock::now() + kHour;
      while (!is_over_) {
        if (std::chrono::steady_clock::now() >= next) {
          hourly();
          next += kHour;
        }
        if (sigtimedwait(&signals_, nullptr, &pause) < 0) continue;
        stop();
        return;
      }
    });
  }

 private:
  sigset_t signals_{};
  std::atomic<bool> is_over_ = false;
  std::thread waiting_;
};

// Threads that outlive the server ask here whether it is there.
class Listening {
 public:
  template <class Act>
  void with(const Act& act) {
    const std::lock_guard lock(mutex_);
    if (server_ != nullptr) act(*server_);
  }
  void publish(const std::string& topic, const std::string& data) {
    with([&](Server& server) { server.publish(topic, data, ++number_); });
  }
  void set(Server* server) {
    const std::lock_guard lock(mutex_);
    server_ = server;
  }

 private:
  std::mutex mutex_;
  Server* server_ = nullptr;
  // Grows over restarts too: what a page missed meanwhile is not taken for known.
  std::int64_t number_ = now_microseconds();
};

// It is there for as long as this is.
class Reachable {
 public:
  Reachable(Listening& listening, Server& server) : listening_(listening) {
    listening_.set(&server);
  }
  Reachable(const Reachable&) = delete;
  Reachable& operator=(const Reachable&) = delete;
  ~Reachable() { listening_.set(nullptr); }

 private:
  Listening& listening_;
};

int run_serve(const ServeArguments& arguments) {
  const auto where = endpoint(arguments.listen);
  if (!where) {
    fmt::print(stderr, "--listen {}: ADDRESS:PORT is wanted, for example 127.0.0.1:{}\n",
               arguments.listen, kDefaultPort);
    return kExitUsage;
  }
  const bool is_said = !where->address.empty();
  if (!arguments.share.share && is_said && !is_loopback(where->address)) {
    fmt::print(stderr,
               "--listen {}: other machines could reach it there. That needs a log-in and an "
               "encrypted connection:\n  tautmark serve --share\n",
               arguments.listen);
    return kExitUsage;
  }
  const int workers = arguments.workers > 0
                          ? arguments.workers
                          : std::max(2, static_cast<int>(std::thread::hardware_concurrency()));
  const auto database = open_store(arguments.store, OpenFor::writing_or_create, workers + 2);
  if (!database) return kExitInput;

  ServerOptions server_options;
  if (is_said) server_options.address = where->address;
  server_options.port = where->port;
  server_options.workers = workers;
  ShopOptions shop_options;
  shop_options.drives = drive_folders(arguments.drives, "");
  shop_options.seat = seat_here(arguments.seat);
  shop_options.workers = workers;
  std::optional<Sharing> sharing;
  if (arguments.share.share) {
    // To all networks of this machine unless told otherwise; nobody gets in without a log-in.
    if (!is_said) server_options.address = "0.0.0.0";
    auto prepared = prepare_sharing(arguments.share, *database, shop_options, server_options);
    if (!prepared) return prepared.error();
    sharing = std::move(*prepared);
  }
  // After the questions of sharing, which Ctrl-C ends, and before the first thread.
  Listening listening;
  StopSignals signals;
  try {
    const auto publish = [&listening](const std::string& topic, const std::string& data) {
      listening.publish(topic, data);
    };
    // Before the server, whose last answers may still tell of a change or a deletion.
    OpenShop open(database, shop_options, publish);
    Practice practice(open.shop, publish);
    server_options.gate = [&open](Request& request, const Route& route) {
      return gate(open.shop, request, route);
    };
    Server server(server_options, routes(open.shop, practice));
    const Reachable reachable(listening, server);
    signals.watch([&listening] { listening.with([](Server& server) { server.stop(); }); },
                  [&listening, &sharing] {
                    listening.with([&](Server& server) {
                      if (sharing) renew_certificate(*sharing, server);
                    });
                  });
    if (sharing) {
      tell_sharing(*sharing, *database, shop_options.seat, server.port());
    } else {
      const std::string& address = server_options.address;
      const bool is_six = address.find(':') != std::string::npos;
      fmt::print("store: {}{}\n", database->address().shown(),
                 database->is_read_only() ? " (can only be read)" : "");
      fmt::print("only this machine can reach it; Ctrl-C ends it\n");
      fmt::print("open http://{}{}{}:{}/\n", is_six ? "[" : "", address, is_six ? "]" : "",
                 server.port());
    }
    std::fflush(stdout);
    server.run();
  } catch (const std::runtime_error& error) {
    fmt::print(stderr, "error: {}\n", error.what());
    return kExitInput;
  }
  return kExitPass;
}

}  // namespace

void add_serve(CLI::App& app, int& status) {
  auto arguments = std::make_shared<ServeArguments>();
  CLI::App* serve = app.add_subcommand("serve", "The local application, shared if you say so");
  add_store_option(*serve, arguments->store);
  serve->add_option(
      "--listen", arguments->listen,
      fmt::format("ADDRESS:PORT; default 127.0.0.1:{}; port 0: a free one", kDefaultPort));
  serve->add_option("--seat", arguments->seat,
                    "Who works here, for the record; default: your user name");
  serve->add_option("--workers", arguments->workers, "Threads that compute")
      ->check(CLI::Range(1, 64));
  serve
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  add_share_options(*serve, arguments->share);
  serve->footer(
      "Ends with Ctrl-C; what is under way is finished first. Exit status: 0, or 2 when "
      "it could not start.");
  serve->callback([arguments, &status] { status = run_serve(*arguments); });
}

}  // namespace tautmark::cli
