// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <ctime>
#include <stdexcept>

#include "http/connection.h"

namespace tautmark {

namespace asio = boost::asio;
using Tcp = asio::ip::tcp;

namespace {

constexpr auto kLook = std::chrono::milliseconds(100);         // between looks at the clock
constexpr auto kRetryAccept = std::chrono::milliseconds(100);  // when no more files can be opened
constexpr auto kStop = std::chrono::milliseconds(4700);        // stop() promises 5 s

// TLS 1.2 and 1.3, forward secrecy and authenticated encryption only (RFC 9325, 4.2).
asio::ssl::context tls_context(const TlsFiles& files) {
  using Context = asio::ssl::context;
  Context context(Context::tls_server);
  context.set_options(Context::default_workarounds | Context::no_sslv2 | Context::no_sslv3 |
                      Context::no_tlsv1 | Context::no_tlsv1_1);
  SSL_CTX* const native = context.native_handle();
  SSL_CTX_set_min_proto_version(native, TLS1_2_VERSION);
  SSL_CTX_set_options(native, SSL_OP_NO_RENEGOTIATION | SSL_OP_NO_COMPRESSION |
                                  SSL_OP_CIPHER_SERVER_PREFERENCE | SSL_OP_PRIORITIZE_CHACHA);
  SSL_CTX_set_mode(native, SSL_MODE_RELEASE_BUFFERS);
  SSL_CTX_set_cipher_list(native, "ECDHE+AESGCM:ECDHE+CHACHA20");
  boost::system::error_code error;
  context.use_certificate_chain_file(files.certificate, error);
  if (error)
    throw std::runtime_error(
        fmt::format("The certificate {} cannot be read: {}.", files.certificate, error.message()));
  context.use_private_key_file(files.key, Context::pem, error);
  if (error || SSL_CTX_check_private_key(native) != 1)
    throw std::runtime_error(
        fmt::format("The key {} cannot be read or belongs to another certificate.", files.key));
  return context;
}

Tcp::acceptor listening(asio::io_context& io, const ServerOptions& options) {
  boost::system::error_code error;
  const auto address = asio::ip::make_address(options.address, error);
  if (error || options.port < 0 || options.port > 65535)
    throw std::runtime_error(
        fmt::format("{} port {} is not an address to listen on.", options.address, options.port));
  const Tcp::endpoint endpoint(address, static_cast<unsigned short>(options.port));
  Tcp::acceptor acceptor(io);
  acceptor.open(endpoint.protocol(), error);
  if (!error) acceptor.set_option(Tcp::acceptor::reuse_address(true), error);
  if (!error) acceptor.bind(endpoint, error);
  if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
  if (error == asio::error::address_in_use)
    throw std::runtime_error(
        fmt::format("Port {} of {} is in use by another program.", options.port, options.address));
  if (error)
    throw std::runtime_error(fmt::format("Cannot listen on port {} of {}: {}.", options.port,
                                         options.address, error.message()));
  return acceptor;
}

// For whom there is no connection left: written in one go, and closed.
std::string crowded_answer() {
  const Response answer = busy_answer();
  const std::string& body = std::get<std::string>(answer.body);
  return response_head(answer, {.length = static_cast<std::int64_t>(body.size()),
                                .close = true,
                                .now = std::time(nullptr)}) +
         body;
}

std::string address_of(const Tcp::socket& socket) {
  boost::system::error_code error;
  const auto endpoint = socket.remote_endpoint(error);
  if (error) return "";
  const auto address = endpoint.address();
  if (address.is_v6() && address.to_v6().is_v4_mapped())
    return asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6()).to_string();
  return address.to_string();
}

}  // namespace

struct Server::Inside {
  Inside(ServerOptions options, std::vector<Route> routes)
      : tls(options.tls ? std::optional(tls_context(*options.tls)) : std::nullopt),
        core(std::move(options), std::move(routes)),
        acceptor(listening(core.io, core.options)),
        port(acceptor.local_endpoint().port()),
        clock(core.io),
        retry(core.io) {}

  void accept() {
    acceptor.async_accept([this](boost::system::error_code error, Tcp::socket socket) {
      if (core.stopping || error == asio::error::operation_aborted) return;
      if (!error) {
        begin(std::move(socket));
        return accept();
      }
      // Mostly no more files can be opened; the connection waits in the kernel.
      retry.expires_after(kRetryAccept);
      retry.async_wait([this](boost::system::error_code canceled) {
        if (!canceled && !core.stopping) accept();
      });
    });
  }

  // Where one more is too many, the one that has waited longest for a request makes way: of the
  // same address, or of the busiest that has one. So idle sockets lock nobody out, the owner's own
  // page least of all.
  bool make_room(const std::string& peer) {
    const auto there = core.of_address.find(peer);
    const bool is_of_address =
        there != core.of_address.end() && there->second >= core.options.most_of_one_address;
    if (!is_of_address &&
        core.connections.size() < static_cast<std::size_t>(core.options.most_connections))
      return true;
    std::shared_ptr<Connection> longest;
    const auto goes_first = [&](const Connection& one) {
      if (longest == nullptr) return true;
      const int count = core.of_address[one.peer()], other = core.of_address[longest->peer()];
      return count != other ? count > other : *one.waits_since() < *longest->waits_since();
    };
    for (const auto& one : core.connections)
      if ((!is_of_address || one->peer() == peer) && one->waits_since() && goes_first(*one))
        longest = one;
    if (longest == nullptr) return false;
    longest->close();
    return true;
  }

  void begin(Tcp::socket socket) {
    boost::system::error_code ignored;
    const std::string peer = address_of(socket);
    if (peer.empty()) return;  // gone already
    socket.non_blocking(true, ignored);
    socket.set_option(Tcp::no_delay(true), ignored);
    if (!make_room(peer)) {
      if (!tls) socket.write_some(asio::buffer(crowded), ignored);
      return;
    }
    ++core.of_address[peer];
    auto connection =
        std::make_shared<Connection>(core, std::move(socket), tls ? &*tls : nullptr, peer);
    core.connections.insert(connection);
    connection->start();
  }

  // A copy: a connection that closes leaves the set.
  template <class Function>
  void for_each_connection(Function function) {
    const auto connections = core.connections;
    for (const auto& connection : connections) function(*connection);
  }

  void watch_clock() {
    clock.expires_after(kLook);
    clock.async_wait([this](boost::system::error_code error) {
      if (error) return;
      const auto now = Connection::Clock::now();
      for_each_connection([&](Connection& one) { one.look_at_clock(now); });
      if (core.stopping && (core.connections.empty() || now >= stop_at)) {
        for_each_connection([](Connection& one) { one.close(); });
        return core.io.stop();
      }
      watch_clock();
    });
  }

  void begin_stop() {
    if (core.stopping) return;
    core.stopping = true;
    stop_at = Connection::Clock::now() + kStop;
    boost::system::error_code ignored;
    acceptor.close(ignored);
    for_each_connection([](Connection& one) { one.wind_down(); });
    if (core.connections.empty()) core.io.stop();
  }

  std::optional<asio::ssl::context> tls;
  Core core;
  const std::string crowded = crowded_answer();
  Tcp::acceptor acceptor;
  const int port;
  asio::steady_timer clock, retry;
  Connection::Clock::time_point stop_at;
};

Server::Server(ServerOptions options, std::vector<Route> routes)
    : inside_(std::make_unique<Inside>(std::move(options), std::move(routes))) {}

Server::~Server() { inside_->core.pool.stop(); }

int Server::port() const { return inside_->port; }

void Server::run() {
  inside_->accept();
  inside_->watch_clock();
  for (;;) {
    try {
      inside_->core.io.run();
      return;
    } catch (const std::exception& fault) {
      inside_->core.log(std::string("The server goes on after a fault: ") + fault.what());
    }
  }
}

void Server::stop() {
  boost::asio::post(inside_->core.io, [inside = inside_.get()] { inside->begin_stop(); });
}

void Server::renew_tls(const TlsFiles& files) {
  auto renewed = std::make_shared<asio::ssl::context>(tls_context(files));
  // Open connections hold on to the context they were made with (SSL_new counts it).
  asio::post(inside_->core.io,
             [inside = inside_.get(), renewed] { *inside->tls = std::move(*renewed); });
}

void Server::publish(const std::string& topic, const std::string& data, std::int64_t id) {
  boost::asio::post(inside_->core.io, [inside = inside_.get(), topic, data, id] {
    inside->core.hub.publish(topic, data, id);
  });
}

}  // namespace tautmark
