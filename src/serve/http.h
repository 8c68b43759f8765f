// SPDX-License-Identifier: Apache-2.0
// The plain face of the HTTP server: a request comes in as a struct, a response goes out as one.
// Nothing here knows a library. One thread talks to the network; handlers run on a pool of bounded
// length and may take their time. A full pool is answered with 503 at once.
//
// Limits, all answered and none waited for: header 16 KiB (431), target 4 KiB (414), body of a
// route (413), 15 s for a header, 15 s without a byte of a body (408), connections 1024, and of one
// address 256 (503 or closed).
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace tautmark {

struct Request {
  std::string method;  // "GET"
  std::string target;  // as sent: "/api/cases/x%20y?q=a"
  std::string path;    // decoded: "/api/cases/x y"; never holds "..", "//" or a control character
  std::map<std::string, std::string> query;    // decoded; the last of a repeated key
  std::map<std::string, std::string> headers;  // names in lower case
  std::map<std::string, std::string> parts;    // {case} of the route -> decoded value
  std::string body;                            // of routes that do not stream
  std::string peer;                            // address: "127.0.0.1"
  bool over_tls = false;
  std::string seat;  // filled in by the gate: who asks, for records and audit
  int role = -1;     // filled in by the gate

  [[nodiscard]] std::string_view header(std::string_view lower_case_name) const;
  [[nodiscard]] std::optional<std::string> cookie(std::string_view name) const;
};

// Called on the pool for the next bytes of a body; empty: the end. Throwing or `failed` closes the
// connection without an end, so that a client never takes half a file for a whole one.
struct BodySource {
  std::function<std::optional<std::string>()> next;  // nullopt: failed
  std::optional<std::int64_t> length;                // unknown: sent in chunks
};

// Live updates (server-sent events): the connection stays open and hears what is published.
struct EventStream {
  std::function<bool(const std::string& topic)> wants;  // empty: all
};

struct Response {
  int status = 200;
  std::string content_type = "application/json";
  std::vector<std::pair<std::string, std::string>> headers;
  std::variant<std::string, BodySource, EventStream> body;
};

// RFC 9457 (problem details): {"title": …, "status": …, "detail": …}.
Response problem(int status, std::string_view title, std::string_view detail);
Response json_response(std::string body, int status = 200);

// Takes a body piece by piece on the pool; `add` false: stop reading and answer with finish().
// Destroyed without finish() when the client went away: what it kept must go too.
struct BodySink {
  std::function<bool(std::string_view bytes)> add;
  std::function<Response()> finish;
};

enum class Work { on_pool, at_once };  // at_once: less than a millisecond, never waits

struct Route {
  std::string_view method;
  std::string_view pattern;  // "/api/cases/{case}/entries"; {name} is one part of the path
  std::function<Response(Request&)> handle;                        // one of these two
  std::function<std::variant<BodySink, Response>(Request&)> take;  // streams the body
  std::int64_t most_body = 0;                                      // bytes; 0: no body is taken
  Work work = Work::on_pool;
  int needs_role = 0;  // for the gate: -1 nobody needs to be known, 0 read, 1 write, 2 manage
  std::string_view body_type = "application/json";  // what a body must be; others get 415
};

// Looks at every request before its handler, on the pool: log-in and roles. An answer stops it.
using Gate = std::function<std::optional<Response>(Request& request, const Route& route)>;

struct TlsFiles {
  std::string certificate, key;  // PEM files
};

struct ServerOptions {
  std::string address = "127.0.0.1";
  int port = 0;                         // 0: a free one
  std::vector<std::string> host_names;  // besides 127.0.0.1, localhost, [::1]; without port
  std::optional<TlsFiles> tls;
  int workers = 2;
  int most_waiting = 64;  // jobs; more get 503
  int header_seconds = 15, body_seconds = 15, idle_seconds = 60;
  int most_connections = 1024, most_of_one_address = 256;
  Gate gate;
};

class Server {
 public:
  // Throws std::runtime_error with a sentence for a person when the port cannot be had or the
  // certificate cannot be read.
  Server(ServerOptions options, std::vector<Route> routes);
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  ~Server();

  [[nodiscard]] int port() const;
  void run();  // until stop(); call from one thread
  // From any thread or a signal handler's thread: no new connections, requests under way are
  // answered, event streams end; at most 5 s.
  void stop();

  // To every open event stream that wants the topic. `id` is repeated by the browser after a lost
  // connection (Last-Event-ID). A reader that is 256 events behind is cut off; it comes back.
  void publish(const std::string& topic, const std::string& data, std::int64_t id);

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark
