// SPDX-License-Identifier: Apache-2.0
#include "http/connection.h"

#include <boost/asio/post.hpp>

#include "http/request_rules.h"

namespace tautmark {

namespace {

constexpr std::size_t kHeadRead = 8 * 1024, kBodyRead = 64 * 1024;  // bytes of one read
constexpr std::size_t kReadAhead = 512 * 1024;  // for a sink; as much again is with it
constexpr std::size_t kMostDropped = 8 << 20;   // of a body that was refused
constexpr auto kEnding = std::chrono::seconds(2);

bool is_at_once(const Route& route) { return route.work == Work::at_once && route.needs_role < 0; }

}  // namespace

Connection::Connection(Core& core, Wire::Tcp::socket socket, boost::asio::ssl::context* tls,
                       std::string peer)
    : core_(core), wire_(std::move(socket), tls), peer_(std::move(peer)) {}

void Connection::start() {
  deadline_ = seconds_from_now(core_.options.header_seconds);
  if (!wire_.over_tls()) {
    state_ = State::idle;
    return read(kHeadRead);
  }
  wire_.handshake([self = shared_from_this()](Wire::Error error) {
    if (self->state_ == State::closed) return;
    if (error) return self->close();
    self->state_ = State::idle;
    self->read(kHeadRead);
  });
}

void Connection::read(std::size_t most) {
  reading_ = true;
  in_size_ = in_.size();
  in_.resize(in_size_ + most);
  wire_.read(&in_[in_size_], most, [self = shared_from_this()](Wire::Error error, std::size_t n) {
    self->on_read(error, n);
  });
}

void Connection::on_read(Wire::Error error, std::size_t bytes) {
  reading_ = false;
  in_.resize(in_size_ + bytes);
  if (state_ == State::closed) return;
  if (std::exchange(timed_out_, false) && (state_ == State::head || state_ == State::body))
    return refuse(408);
  switch (state_) {
    case State::idle:
    case State::head:
      return error ? close() : look_for_head();
    case State::body:
      if (error) return close();
      patience_.moved(bytes, Clock::now());
      deadline_ = Clock::time_point::max();
      if (!take_body()) return;
      if (sink_) feed_sink();
      if (state_ == State::body) read_body();
      return;
    case State::events:
      if (error) return close();
      in_.clear();
      return read(kHeadRead);
    case State::ending:
      dropped_ += bytes;
      if (error || dropped_ > kMostDropped) return close();
      in_.clear();
      return read(kBodyRead);
    case State::handshake:
    case State::working:
    case State::answering:
    case State::closed:
      return;  // an answer goes out before all of the body was read: the rest is dropped
  }
}

void Connection::next_request() {
  drop_request();
  if (core_.stopping) return end();
  state_ = State::idle;
  waiting_since_ = Clock::now();
  deadline_ = seconds_from_now(core_.options.idle_seconds);
  scanned_ = 0;
  if (in_.empty()) {
    in_ = {};
    return read(kHeadRead);
  }
  // Through the queue, so that a client that sends many requests at once waits its turn.
  boost::asio::post(core_.io, [self = shared_from_this()] {
    if (self->state_ == State::idle) self->look_for_head();
  });
}

void Connection::look_for_head() {
  if (state_ == State::idle) {
    std::size_t blank = 0;  // empty lines before a request are overlooked (RFC 9112, 2.2)
    while (in_.compare(blank, 2, "\r\n") == 0) blank += 2;
    in_.erase(0, blank);
    if (in_.empty() || in_ == "\r") return read(kHeadRead);
    state_ = State::head;
    deadline_ = seconds_from_now(core_.options.header_seconds);  // for all of it, however it drips
  }
  const HeadScan scan = scan_head(in_, scanned_);
  if (scan.refused) return refuse(scan.refused);
  if (scan.size) return on_head(scan.size);
  scanned_ = in_.size();
  read(kHeadRead);
}

void Connection::on_head(std::size_t size) {
  parser_.emplace();
  const int refused = parser_->read_head(std::string_view(in_).substr(0, size));
  in_.erase(0, size);
  if (refused) return refuse(refused);
  Request& request = parser_->request();
  request.peer = peer_;
  request.over_tls = wire_.over_tls();
  renew_patience();
  if (auto answer = refuse_host(request, core_.options.host_names))
    return respond(std::move(*answer));

  Router::Found found = core_.router.find(request.method, request.path);
  if (request.path == "*") found.allow = "GET, HEAD";
  if (!found.route && found.allow.empty())
    return respond(problem(404, "Not here", "There is nothing at this address."));
  if (!found.route) {
    Response answer =
        problem(405, "Not possible here", "This address is not for " + request.method + ".");
    answer.headers.emplace_back("Allow", found.allow);
    return respond(std::move(answer));
  }
  route_ = found.route;
  request.parts = std::move(found.parts);
  if (auto answer = refuse_sender(request, *route_)) return respond(std::move(*answer));
  const auto most = static_cast<std::uint64_t>(std::max<std::int64_t>(0, route_->most_body));
  if (parser_->has_body() && (most == 0 || parser_->length().value_or(0) > most))
    return refuse(413);
  if (parser_->has_body()) parser_->limit_body(most);
  if (!is_at_once(*route_) && core_.pool.full()) return respond(busy_answer());
  begin_body();
}

// The gate comes before a body that must be waited for; otherwise it goes with the handler.
void Connection::begin_body() {
  if (route_->take) return run_take();
  if (!take_body()) return;
  if (parser_->done()) return on_body();
  if (!core_.options.gate || is_at_once(*route_)) return read_body();
  state_ = State::working;
  const bool started = run_on_pool(
      true, [this] { return core_.options.gate(parser_->request(), *route_); },
      [this](std::optional<std::optional<Response>> answer) {
        if (!answer) return fail();
        if (*answer) return respond(std::move(**answer));
        gate_passed_ = true;
        read_body();
      });
  if (!started) respond(busy_answer());
}

void Connection::run_take() {
  state_ = State::working;
  using Taken = std::variant<BodySink, Response>;
  const bool started = run_on_pool(
      true,
      [this]() -> Taken {
        Request& request = parser_->request();
        if (core_.options.gate)
          if (auto answer = core_.options.gate(request, *route_)) return std::move(*answer);
        return route_->take(request);
      },
      [this](std::optional<Taken> taken) {
        if (!taken) return fail();
        if (auto* answer = std::get_if<Response>(&*taken)) return respond(std::move(*answer));
        sink_ = std::make_shared<BodySink>(std::move(std::get<BodySink>(*taken)));
        state_ = State::body;
        if (!take_body()) return;
        feed_sink();
        if (state_ == State::body) read_body();
      });
  if (!started) respond(busy_answer());
}

// Waits for more of the body.
void Connection::read_body() {
  state_ = State::body;
  if (parser_->done()) return sink_ ? void() : on_body();
  if (parser_->waits_for_continue() && !std::exchange(continue_sent_, true) && in_.empty() &&
      body_.empty())
    return write("HTTP/1.1 100 Continue\r\n\r\n", After::body);
  if (sink_ && body_.size() >= kReadAhead) {
    sink_full_ = true;
    deadline_ = Clock::time_point::max();
    return;
  }
  deadline_ = patience_.wait(Clock::now());
  read(kBodyRead);
}

// What is in in_ goes to body_. False: it was refused.
bool Connection::take_body() {
  const auto used = parser_->read_body(in_, body_);
  if (!used) {
    refuse(used.error());
    return false;
  }
  in_.erase(0, *used);
  if (route_->take) return true;
  hold_body(static_cast<std::int64_t>(body_.size()));
  if (core_.body_memory <= core_.options.most_body_memory) return true;
  must_close_ = true;
  respond(busy_answer());
  return false;
}

void Connection::feed_sink() {
  if (sink_busy_) return;
  if (body_.empty()) {
    if (parser_->done()) finish_sink();
    return;
  }
  sink_busy_ = true;
  const auto deadline = deadline_;
  run_on_pool(
      false, [sink = sink_, bytes = std::exchange(body_, {})] { return sink->add(bytes); },
      [this](std::optional<bool> more) {
        sink_busy_ = false;
        if (state_ != State::body) return;  // refused meanwhile
        if (!more) return fail();
        if (!*more) return finish_sink();
        feed_sink();
        if (state_ == State::body && std::exchange(sink_full_, false)) read_body();
      });
  deadline_ = deadline;  // a read may be under way besides
}

void Connection::finish_sink() {
  state_ = State::working;
  run_on_pool(
      false, [sink = sink_] { return sink->finish(); },
      [this](std::optional<Response> answer) {
        if (!answer) return fail();
        respond(std::move(*answer));
      });
}

void Connection::on_body() {
  state_ = State::working;
  Request& request = parser_->request();
  request.body = std::exchange(body_, {});
  if (is_at_once(*route_)) {
    try {
      return respond(route_->handle(request));
    } catch (const std::exception& fault) {
      core_.log(std::string("A request failed: ") + fault.what());
    } catch (...) {
      core_.log("A request failed.");
    }
    return fail();
  }
  const bool started = run_on_pool(
      true,
      [this]() -> Response {
        Request& asked = parser_->request();
        if (core_.options.gate && !gate_passed_)
          if (auto answer = core_.options.gate(asked, *route_)) return std::move(*answer);
        return route_->handle(asked);
      },
      [this](std::optional<Response> answer) {
        if (!answer) return fail();
        respond(std::move(*answer));
      });
  if (!started) respond(busy_answer());
}

void Connection::renew_patience() {
  patience_ = Patience(std::chrono::seconds(core_.options.body_seconds),
                       core_.options.least_bytes_per_second);
}

void Connection::look_at_clock(Clock::time_point now) {
  if (state_ == State::events && !writing_ && now >= heartbeat_) {
    return ask_to_go_on();
  }
  if (now < deadline_) return;
  if ((state_ == State::head || state_ == State::body) && reading_ && !timed_out_) {
    timed_out_ = true;  // on_read() answers
    deadline_ = seconds_from_now(1);
    return wire_.cancel();
  }
  close();
}

void Connection::wind_down() {
  switch (state_) {
    case State::handshake:
    case State::idle:
    case State::head:
      return close();
    case State::events:
      if (!writing_) pass_on_events();
      return;
    default:
      return;
  }
}

// Closing while bytes are unread would make the kernel take back the answer: first our end is
// closed, then what comes is dropped for a while.
void Connection::end() {
  drop_request();
  state_ = State::ending;
  deadline_ = Clock::now() + kEnding;
  wire_.end([self = shared_from_this()] {
    if (self->state_ == State::closed || self->reading_) return;
    self->in_.clear();
    self->read(kHeadRead);
  });
}

void Connection::close() {
  if (state_ == State::closed) return;
  const auto self = shared_from_this();
  state_ = State::closed;
  if (sink_) drop_on_pool(std::move(sink_));
  if (source_) drop_on_pool(std::move(source_));
  if (reader_) core_.hub.leave(*reader_);
  reader_.reset();
  hold_body(0);
  wire_.close();
  core_.connections.erase(self);
  if (--core_.of_address[peer_] <= 0) core_.of_address.erase(peer_);
}

std::optional<Connection::Clock::time_point> Connection::waits_since() const {
  const bool waits = state_ == State::handshake || state_ == State::idle || state_ == State::head;
  return waits ? std::optional(waiting_since_) : std::nullopt;
}

void Connection::drop_request() {
  if (sink_) drop_on_pool(std::move(sink_));
  if (source_) drop_on_pool(std::move(source_));
  if (reader_) core_.hub.leave(*reader_);
  reader_.reset();
  hold_body(0);
  parser_.reset();
  route_ = nullptr;
  body_ = {};
  must_close_ = gate_passed_ = continue_sent_ = sink_busy_ = sink_full_ = false;
}

// What a handler made may close files when it goes: not on the network thread.
void Connection::drop_on_pool(std::shared_ptr<void> what) {
  core_.pool.go_on([what = std::move(what)] {});
}

void Connection::hold_body(std::int64_t bytes) {
  core_.body_memory += bytes - held_memory_;
  held_memory_ = bytes;
}

}  // namespace tautmark
