// SPDX-License-Identifier: Apache-2.0
// The plain face of the HTTP server: a request comes in as a struct, a response goes out as one.
// Nothing here knows a library. One thread talks to the network; handlers run on a pool of bounded
// length and may take their time. A full pool is answered with 503 at once. Reading and writing
// never takes a worker, so slow clients slow down nobody.
//
// Limits, all answered and none waited for: header 16 KiB (431), target 4 KiB (414), body of a
// route (413), 15 s for a whole header however it drips, a body or an answer 15 s without a byte or
// slower than 1 KiB/s on the whole (408 or closed; http/patience.h), connections 1024, and of one
// address 256 (503 or closed), bodies held in memory 256 MiB together (503).
//
// Every response carries a content security policy, nosniff, no referrer, same-origin policies, and
// under /api Cache-Control: no-store unless the handler says otherwise. None ever allows another
// origin. Who may ask at all: http/request_rules.h; which targets: http/target.h.
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
  std::string path;    // decoded: "/api/cases/x y"; no part "..", no "//", no control character
  std::map<std::string, std::string> query;    // decoded; the last of a repeated key
  std::map<std::string, std::string> headers;  // names in lower case; repeated ones joined by ", "
  std::map<std::string, std::string> parts;    // {case} of the route -> decoded value
  std::string body;                            // of routes that do not stream
  std::string peer;                            // address: "127.0.0.1"
  bool over_tls = false;
  std::string seat;  // filled in by the gate: who asks, for records and audit
  int role = -1;     // filled in by the gate
  // Of the gate, for whatever answer follows (a renewed cookie); before the answer's own.
  std::vector<std::pair<std::string, std::string>> answer_headers;

  [[nodiscard]] std::string_view header(std::string_view lower_case_name) const;
  [[nodiscard]] std::optional<std::string> cookie(std::string_view name) const;
};

// Called on the pool for the next bytes of a body, one call at a time; empty: the end. Throwing, or
// other than `length` bytes, closes the connection without an end, so that a client never takes
// half a file for a whole one. Not called for HEAD. Pieces of 64 KiB to 1 MiB go well. Destroyed on
// the pool, also when the client went away.
struct BodySource {
  std::function<std::optional<std::string>()> next{};  // nullopt: failed
  std::optional<std::int64_t> length{};                // unknown: sent in chunks
};

// Live updates (server-sent events): the connection stays open and hears what is published under
// the topics that it wants. A handler passes on Last-Event-ID as `after`: the reader then gets what
// it missed, or an event of type "reload" when that is not known any more.
struct EventStream {
  std::function<bool(const std::string& topic)>
      wants{};  // empty: all; called on the network thread
  std::optional<std::int64_t> after{};
  // Asked on the pool with every heartbeat; false ends the stream. Empty: it goes on.
  std::function<bool()> goes_on{};
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

// Takes a body piece by piece on the pool, one call at a time and in order; `add` false: stop
// reading and answer with finish(). At most about 1 MiB is read ahead. Destroyed on the pool;
// without finish() when the client went away or sent too much: what it kept must go too. It must
// not hold on to the Request.
struct BodySink {
  std::function<bool(std::string_view bytes)> add;
  std::function<Response()> finish;
};

// at_once: on the network thread, less than a millisecond, never waits; answers also while the pool
// is full. Only with needs_role -1, since the gate runs on the pool; else it goes to the pool too.
enum class Work { on_pool, at_once };

struct Route {
  std::string_view method{};
  std::string pattern{};  // "/api/cases/{case}/entries"; {name} is one part of the path
  std::function<Response(Request&)> handle{};                        // one of these two
  std::function<std::variant<BodySink, Response>(Request&)> take{};  // streams the body
  std::int64_t most_body = 0;                                        // bytes; 0: no body is taken
  Work work = Work::on_pool;
  int needs_role = 0;  // for the gate: -1 nobody needs to be known, 0 read, 1 write, 2 manage
  // What every method but GET and HEAD must say in Content-Type, also without a body; others get
  // 415.
  std::string_view body_type = "application/json";
};

// Looks at every request before its handler, on the pool, and before a body that is not here yet is
// read (request.body may be empty): log-in and roles. An answer stops it. Not asked for at_once.
using Gate = std::function<std::optional<Response>(Request& request, const Route& route)>;

struct TlsFiles {
  std::string certificate, key;  // PEM files
};

struct ServerOptions {
  std::string address = "127.0.0.1";
  int port = 0;                           // 0: a free one
  std::vector<std::string> host_names{};  // besides 127.0.0.1, localhost, [::1]; without port
  std::optional<TlsFiles> tls{};
  int workers = 2;
  int most_waiting = 64;  // jobs; more get 503
  int header_seconds = 15, body_seconds = 15, idle_seconds = 60;
  int least_bytes_per_second = 1024;
  int heartbeat_seconds = 15;  // a comment to event streams, so that proxies keep them open
  // Of one more, the idlest goes (of that address); when all have work to do, it gets 503.
  int most_connections = 1024, most_of_one_address = 256;
  std::int64_t most_body_memory = 256 << 20;  // bytes; bodies that do not stream, together
  Gate gate{};
  // From any thread: what a handler threw, and other faults of the server. Never what a client
  // sent.
  std::function<void(const std::string& sentence)> log{};
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

  // From any thread: connections from now on are shown this certificate; those that are open keep
  // theirs. Throws like the constructor, and the old one stays. Only for a server with TLS.
  void renew_tls(const TlsFiles& files);

  // To every open event stream that wants the topic. `id` is repeated by the browser after a lost
  // connection (Last-Event-ID). A reader that is 256 events behind is cut off; it comes back.
  void publish(const std::string& topic, const std::string& data, std::int64_t id);

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tautmark
