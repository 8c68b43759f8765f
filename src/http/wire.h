// SPDX-License-Identifier: Apache-2.0
// One accepted socket, plain or under TLS. Only connection.h includes this.
#pragma once

#include <boost/asio/buffer.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl.hpp>
#include <functional>
#include <optional>

namespace tautmark {

class Wire {
 public:
  using Tcp = boost::asio::ip::tcp;
  using Error = boost::system::error_code;
  using Done = std::function<void(Error, std::size_t)>;

  Wire(Tcp::socket socket, boost::asio::ssl::context* tls) : socket_(std::move(socket)) {
    if (tls) tls_.emplace(socket_, *tls);
  }
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;

  [[nodiscard]] bool over_tls() const { return tls_.has_value(); }

  void handshake(std::function<void(Error)> done) {
    tls_->async_handshake(boost::asio::ssl::stream_base::server, std::move(done));
  }
  void read(void* to, std::size_t most, Done done) {
    const auto buffer = boost::asio::buffer(to, most);
    if (tls_ && !closing_)
      tls_->async_read_some(buffer, std::move(done));
    else
      socket_.async_read_some(buffer, std::move(done));
  }
  void write(const char* from, std::size_t size, Done done) {
    const auto buffer = boost::asio::buffer(from, size);
    if (tls_)
      tls_->async_write_some(buffer, std::move(done));
    else
      socket_.async_write_some(buffer, std::move(done));
  }
  // Says that nothing more will come from here; afterwards read() gives raw bytes, to be dropped.
  void end(std::function<void()> done) {
    const auto shut = [this, done = std::move(done)](Error) {
      closing_ = true;
      Error ignored;
      socket_.shutdown(Tcp::socket::shutdown_send, ignored);
      done();
    };
    if (tls_)
      tls_->async_shutdown(shut);
    else
      shut({});
  }
  // What is under way ends with an error.
  void cancel() {
    Error ignored;
    socket_.cancel(ignored);
  }
  void close() {
    Error ignored;
    socket_.close(ignored);
  }

 private:
  Tcp::socket socket_;
  std::optional<boost::asio::ssl::stream<Tcp::socket&>> tls_;
  bool closing_ = false;
};

}  // namespace tautmark
