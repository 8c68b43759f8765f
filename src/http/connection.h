// SPDX-License-Identifier: Apache-2.0
// One connection: reads a request, has it answered, and so on. All of it on the network thread, but
// for what run_on_pool() is given. Only connection*.cc and server.cc include this.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <deque>
#include <memory>
#include <set>
#include <string>

#include "http/event_hub.h"
#include "http/http.h"
#include "http/patience.h"
#include "http/request_parser.h"
#include "http/response_head.h"
#include "http/router.h"
#include "http/wire.h"
#include "http/worker_pool.h"

namespace tautmark {

class Connection;

Response busy_answer();  // 503

inline Patience::Clock::time_point seconds_from_now(int seconds) {
  return Patience::Clock::now() + std::chrono::seconds(seconds);
}

// What the connections share.
struct Core {
  Core(ServerOptions chosen, std::vector<Route> routes)
      : options(std::move(chosen)),
        router(std::move(routes)),
        pool(options.workers, options.most_waiting) {}

  const ServerOptions options;
  const Router router;
  boost::asio::io_context io{1};
  EventHub hub;
  std::set<std::shared_ptr<Connection>> connections;
  std::map<std::string, int> of_address;
  std::int64_t body_memory = 0;
  bool stopping = false;
  WorkerPool pool;  // last: its threads use what stands above

  void log(const std::string& sentence) const {
    if (options.log) options.log(sentence);
  }
};

class Connection : public std::enable_shared_from_this<Connection> {
 public:
  using Clock = Patience::Clock;

  Connection(Core& core, Wire::Tcp::socket socket, boost::asio::ssl::context* tls,
             std::string peer);

  void start();
  void look_at_clock(Clock::time_point now);  // several times a second
  void wind_down();  // the server stops: what is under way is answered, nothing else
  void close();      // at once
  // Since when nothing but (the rest of) a request is awaited; nothing: it has something to do.
  [[nodiscard]] std::optional<Clock::time_point> waits_since() const;
  [[nodiscard]] const std::string& peer() const { return peer_; }

 private:
  enum class State {
    handshake,
    idle,       // nothing of a request is here
    head,       // a part of it is
    body,       // a body is read
    working,    // a handler has the request
    answering,  // an answer goes out
    events,     // an event stream
    ending,     // all is said; what still comes is dropped
    closed
  };
  enum class After { next_request, body, pull, events, end };

  void read(std::size_t most);
  void on_read(Wire::Error error, std::size_t bytes);
  void write(std::string bytes, After after);
  void write_some();
  void on_written();
  void next_request();
  void look_for_head();
  void on_head(std::size_t size);
  void begin_body();
  void run_take();
  void read_body();
  bool take_body();
  void feed_sink();
  void finish_sink();
  void on_body();
  void renew_patience();
  void refuse(int status);
  void fail();
  void respond(Response response);
  void respond_source(Response& response, HeadFacts facts);
  void respond_events(Response& response, HeadFacts facts);
  [[nodiscard]] Framing open_end() const;
  void skip_body();
  void pull();
  void on_pulled(std::optional<std::string> bytes);
  void begin_events(EventStream stream);
  void ask_to_go_on();
  void beat();
  void on_event();
  void pass_on_events();
  void end();
  void drop_request();
  void drop_on_pool(std::shared_ptr<void> what);
  void hold_body(std::int64_t bytes);

  // work() on the pool, then then(optional of what it gave; empty: it threw) on the network thread.
  // False: the pool is full and neither will happen.
  template <class Work, class Then>
  bool run_on_pool(bool is_new, Work work, Then then);

  Core& core_;
  Wire wire_;
  const std::string peer_;
  State state_ = State::handshake;
  Clock::time_point deadline_ = Clock::time_point::max();
  Patience patience_;
  Clock::time_point waiting_since_ = Clock::now();

  std::string in_;           // not yet read bytes; while reading_ with room for more behind them
  std::size_t in_size_ = 0;  // without the room
  std::size_t scanned_ = 0;
  bool reading_ = false, timed_out_ = false;
  std::size_t dropped_ = 0;  // bytes while ending

  std::optional<RequestParser> parser_;
  const Route* route_ = nullptr;
  bool must_close_ = false, gate_passed_ = false, continue_sent_ = false;
  std::string body_;              // read and not yet passed on
  std::int64_t held_memory_ = 0;  // of core_.body_memory
  std::shared_ptr<BodySink> sink_;
  bool sink_busy_ = false, sink_full_ = false;

  std::deque<std::string> out_;
  std::size_t out_at_ = 0;
  bool writing_ = false, keep_ = false, head_only_ = false;
  After after_ = After::end;
  std::shared_ptr<BodySource> source_;
  Framing framing_ = Framing::length;
  std::int64_t source_left_ = -1;  // of the told length
  std::optional<EventHub::Reader> reader_;
  std::function<bool()> goes_on_;
  bool is_asking_ = false;  // goes_on_ runs
  Clock::time_point heartbeat_;
};

template <class Work, class Then>
bool Connection::run_on_pool(bool is_new, Work work, Then then) {
  using Result = std::invoke_result_t<Work>;
  deadline_ = Clock::time_point::max();
  auto job = [self = shared_from_this(), work = std::move(work), then = std::move(then)]() mutable {
    auto result = std::make_shared<std::optional<Result>>();
    try {
      result->emplace(work());
    } catch (const std::exception& fault) {
      self->core_.log(std::string("A request failed: ") + fault.what());
    } catch (...) {
      self->core_.log("A request failed.");
    }
    auto& io = self->core_.io;
    boost::asio::post(
        io, [self = std::move(self), then = std::move(then), result = std::move(result)]() mutable {
          if (self->state_ == State::closed)
            self->drop_on_pool(std::move(result));
          else
            then(std::move(*result));
        });
  };
  if (is_new) return core_.pool.start(std::move(job));
  core_.pool.go_on(std::move(job));
  return true;
}

}  // namespace tautmark
