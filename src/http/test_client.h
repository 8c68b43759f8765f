// SPDX-License-Identifier: Apache-2.0
// For tests: a server in a thread, and a client that sends whatever bytes it is told to.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>

#include "base/text.h"
#include "http/http.h"

namespace tautmark::test {

struct Reply {
  int status = 0;  // 0: none came
  std::map<std::string, std::string> headers;
  std::string head, body;
  bool whole = false;  // the body ended as the head says
};

class RawClient {
 public:
  explicit RawClient(int port, int receive_buffer = 0) {
    socket_ = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (receive_buffer)
      ::setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &receive_buffer, sizeof receive_buffer);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (socket_ < 0 || ::connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to) != 0)
      throw std::runtime_error("cannot connect");
  }
  RawClient(RawClient&& other) noexcept : socket_(std::exchange(other.socket_, -1)) {}
  RawClient(const RawClient&) = delete;
  ~RawClient() { close(); }

  void close() {
    if (socket_ >= 0) ::close(std::exchange(socket_, -1));
  }
  void end_sending() { ::shutdown(socket_, SHUT_WR); }
  [[nodiscard]] int descriptor() const { return socket_; }

  // False: the server took no more.
  bool send(std::string_view bytes) {
    while (!bytes.empty()) {
      const auto sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (sent <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
    return true;
  }

  // More bytes; false: the end, or nothing within the time.
  bool more(int milliseconds = 10'000) {
    pollfd wait{socket_, POLLIN, 0};
    if (::poll(&wait, 1, milliseconds) <= 0) return false;
    char bytes[65536];
    const auto got = ::recv(socket_, bytes, sizeof bytes, 0);
    if (got <= 0) ended_ = true;
    if (got > 0) received.append(bytes, static_cast<std::size_t>(got));
    return got > 0;
  }
  bool wait_for(std::string_view text, int milliseconds = 10'000) {
    const auto until = std::chrono::steady_clock::now() + std::chrono::milliseconds(milliseconds);
    while (received.find(text) == std::string::npos)
      if (std::chrono::steady_clock::now() > until || !more(milliseconds)) return false;
    return true;
  }
  // Whether the server closes, and nothing else comes.
  bool is_closed(int milliseconds = 10'000) {
    while (more(milliseconds)) {
    }
    return ended_;
  }

  Reply reply(bool to_head = false) {
    Reply reply;
    if (!wait_for("\r\n\r\n")) return reply;
    const std::size_t end = received.find("\r\n\r\n") + 4;
    reply.head = received.substr(0, end);
    received.erase(0, end);
    reply.status = std::stoi(reply.head.substr(9, 3));
    for (const std::string& line : split(reply.head, '\n'))
      if (const auto colon = line.find(": "); colon != std::string::npos)
        reply.headers[lower_ascii(line.substr(0, colon))] = trimmed(line.substr(colon + 2));
    if (to_head || reply.status < 200 || reply.status == 204 || reply.status == 304) {
      reply.whole = true;
    } else if (reply.headers.contains("content-length")) {
      read_length(reply, std::stoul(reply.headers["content-length"]));
    } else if (reply.headers.contains("transfer-encoding")) {
      read_chunks(reply);
    } else {
      reply.whole = is_closed();
      reply.body = std::exchange(received, {});
    }
    return reply;
  }
  Reply ask(std::string_view bytes) {
    send(bytes);
    return reply(bytes.starts_with("HEAD"));
  }

  std::string received;  // and not yet part of a reply

 private:
  void read_length(Reply& reply, std::size_t length) {
    while (received.size() < length && more()) {
    }
    reply.whole = received.size() >= length;
    reply.body = received.substr(0, length);
    received.erase(0, length);
  }
  void read_chunks(Reply& reply) {
    for (;;) {
      if (!wait_for("\r\n")) return;
      const std::size_t line = received.find("\r\n") + 2;
      const std::size_t size = std::stoul(received, nullptr, 16);
      while (received.size() < line + size + 2)
        if (!more()) return;
      reply.body.append(received, line, size);
      received.erase(0, line + size + 2);
      if (size == 0) {
        reply.whole = true;
        return;
      }
    }
  }

  int socket_ = -1;
  bool ended_ = false;
};

class RunningServer {
 public:
  RunningServer(ServerOptions options, std::vector<Route> routes)
      : server(std::move(options), std::move(routes)), thread_([this] { server.run(); }) {}
  explicit RunningServer(std::vector<Route> routes)
      : RunningServer(ServerOptions{}, std::move(routes)) {}
  ~RunningServer() { stop(); }
  void stop() {
    server.stop();
    if (thread_.joinable()) thread_.join();
  }
  RawClient client(int receive_buffer = 0) { return RawClient(server.port(), receive_buffer); }
  Reply ask(std::string_view bytes) { return client().ask(bytes); }

  Server server;

 private:
  std::thread thread_;
};

inline std::string get(std::string_view target, std::string_view headers = "") {
  return "GET " + std::string(target) + " HTTP/1.1\r\nHost: localhost\r\n" + std::string(headers) +
         "\r\n";
}
inline std::string post(std::string_view target, std::string_view body,
                        std::string_view headers = "") {
  return "POST " + std::string(target) +
         " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: " +
         std::to_string(body.size()) + "\r\n" + std::string(headers) + "\r\n" + std::string(body);
}

inline Route ping(Work work = Work::at_once) {
  return {.method = "GET",
          .pattern = "/api/ping",
          .handle = [](Request&) { return json_response("\"pong\""); },
          .work = work,
          .needs_role = -1};
}
inline Route ping_slow(int milliseconds = 50) {
  return {.method = "GET", .pattern = "/api/slow", .handle = [milliseconds](Request&) {
            std::this_thread::sleep_for(std::chrono::milliseconds(milliseconds));
            return json_response("\"slow\"");
          }};
}
// Answers with the body it got.
inline Route echo(std::int64_t most_body = 1 << 20) {
  return {.method = "POST",
          .pattern = "/api/echo",
          .handle = [](Request& request) { return json_response(request.body); },
          .most_body = most_body};
}

}  // namespace tautmark::test
