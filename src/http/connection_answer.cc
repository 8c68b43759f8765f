// SPDX-License-Identifier: Apache-2.0
// What goes out: answers, streams and events. What comes in is in connection.cc.
#include <ctime>

#include "http/connection.h"

namespace tautmark {

namespace {

constexpr std::size_t kEventRead = 1024;  // bytes; a listener has nothing to say
constexpr std::size_t kWrite = 64 * 1024;

Response refusal(int status) {
  switch (status) {
    case 408:
      return problem(408, "Too slow", "The request did not come in time.");
    case 413:
      return problem(413, "Too large", "More was sent than may be sent here.");
    case 414:
      return problem(414, "Address too long", "The address is longer than 4 KiB.");
    case 417:
      return problem(417, "Not expected", "Only Expect: 100-continue is known here.");
    case 431:
      return problem(431, "Header too large", "The header is larger than 16 KiB.");
    case 505:
      return problem(505, "Another HTTP", "HTTP/1.1 is spoken here.");
    default:
      return problem(status, "Not a request", "What was sent is not proper HTTP/1.1.");
  }
}

std::string framed(Framing framing, std::string bytes) {
  if (framing != Framing::chunks) return bytes;
  char size[24];
  const int digits = std::snprintf(size, sizeof size, "%zx\r\n", bytes.size());
  bytes.insert(0, size, static_cast<std::size_t>(digits));
  return bytes += "\r\n";
}

}  // namespace

Response busy_answer() {
  Response response = problem(503, "Busy", "The server has too much to do. Try again in a second.");
  response.headers.emplace_back("Retry-After", "1");
  return response;
}

void Connection::refuse(int status) {
  must_close_ = true;
  respond(refusal(status));
}

void Connection::fail() {
  respond(problem(500, "The server failed",
                  "Nothing of this was your fault. The server's log says more."));
}

void Connection::respond(Response response) {
  if (response.status < 200 || response.status > 599) return fail();
  state_ = State::answering;
  renew_patience();
  body_ = {};
  hold_body(0);
  skip_body();
  HeadFacts facts;
  keep_ = false;
  head_only_ = response.status == 204 || response.status == 304;
  if (head_only_) facts.framing = Framing::none;
  if (parser_) {
    Request& request = parser_->request();
    request.body = {};  // no handler has the request any more
    response.headers.insert(response.headers.begin(),
                            std::make_move_iterator(request.answer_headers.begin()),
                            std::make_move_iterator(request.answer_headers.end()));
    request.answer_headers.clear();
    head_only_ = head_only_ || request.method == "HEAD";
    facts.is_api =
        request.path.empty() || request.path == "/api" || request.path.starts_with("/api/");
    keep_ = !must_close_ && parser_->keep_alive() && parser_->done() && !core_.stopping;
  }
  facts.close = !keep_;
  facts.now = std::time(nullptr);
  if (std::holds_alternative<BodySource>(response.body)) return respond_source(response, facts);
  if (std::holds_alternative<EventStream>(response.body)) return respond_events(response, facts);

  auto& text = std::get<std::string>(response.body);
  facts.length = static_cast<std::int64_t>(text.size());
  std::string head = response_head(response, facts);
  if (head_only_) return write(std::move(head), After::next_request);
  if (text.size() <= kWrite) return write(head += text, After::next_request);
  out_.push_back(std::move(head));
  write(std::move(text), After::next_request);
}

Framing Connection::open_end() const {
  return parser_ && parser_->is_old() ? Framing::until_close : Framing::chunks;
}

void Connection::respond_source(Response& response, HeadFacts facts) {
  source_ = std::make_shared<BodySource>(std::move(std::get<BodySource>(response.body)));
  source_left_ = source_->length.value_or(-1);
  if (facts.framing != Framing::none && source_left_ < 0) facts.framing = open_end();
  facts.length = source_left_;
  framing_ = facts.framing;
  write(response_head(response, facts), head_only_ ? After::next_request : After::pull);
}

void Connection::respond_events(Response& response, HeadFacts facts) {
  response.content_type = "text/event-stream";
  facts.is_api = true;  // never kept
  if (facts.framing != Framing::none) facts.framing = open_end();
  framing_ = facts.framing;
  if (head_only_) return write(response_head(response, facts), After::next_request);
  keep_ = false;
  facts.close = true;
  begin_events(std::move(std::get<EventStream>(response.body)));
  write(response_head(response, facts) + framed(framing_, "retry: 2000\n\n"), After::events);
}

void Connection::pull() {
  run_on_pool(
      false, [source = source_] { return source->next(); },
      [this](std::optional<std::optional<std::string>> bytes) {
        on_pulled(bytes ? std::move(*bytes) : std::nullopt);
      });
}

// Half a file ends without an end: the connection is closed before the told length or last chunk.
void Connection::on_pulled(std::optional<std::string> bytes) {
  if (!bytes) return close();
  const auto size = static_cast<std::int64_t>(bytes->size());
  if (framing_ == Framing::length && (size > source_left_ || (size == 0 && source_left_ != 0))) {
    core_.log("An answer had another length than it said.");
    return close();
  }
  source_left_ -= size;
  if (size > 0) return write(framed(framing_, std::move(*bytes)), After::pull);
  write(framing_ == Framing::chunks ? "0\r\n\r\n" : "", After::next_request);
}

// A refused body that is here already need not cost the connection.
void Connection::skip_body() {
  if (!parser_ || must_close_ || reading_ || parser_->done()) return;
  std::string dropped;
  const auto used = parser_->read_body(in_, dropped);
  if (used) in_.erase(0, *used);
  must_close_ = !used;
}

void Connection::write(std::string bytes, After after) {
  out_.push_back(std::move(bytes));
  after_ = after;
  if (!std::exchange(writing_, true)) write_some();
}

void Connection::write_some() {
  while (!out_.empty() && out_at_ == out_.front().size()) {
    out_.pop_front();
    out_at_ = 0;
  }
  if (out_.empty()) {
    writing_ = false;
    return on_written();
  }
  deadline_ = patience_.wait(Clock::now());
  const std::size_t size = std::min(kWrite, out_.front().size() - out_at_);
  wire_.write(&out_.front()[out_at_], size,
              [self = shared_from_this()](Wire::Error error, std::size_t n) {
                if (self->state_ == State::closed) return;
                if (error) return self->close();
                self->patience_.moved(n, Clock::now());
                self->out_at_ += n;
                self->write_some();
              });
}

void Connection::on_written() {
  deadline_ = Clock::time_point::max();
  switch (after_) {
    case After::next_request:
      return keep_ ? next_request() : end();
    case After::body:
      return read_body();
    case After::pull:
      return pull();
    case After::events:
      return pass_on_events();
    case After::end:
      return end();
  }
}

// --- Event streams

void Connection::begin_events(EventStream stream) {
  const auto wants = [this, wanted = std::move(stream.wants)](const std::string& topic) {
    try {
      return !wanted || wanted(topic);
    } catch (...) {
      core_.log("An event stream could not say what it wants.");
      return false;
    }
  };
  goes_on_ = std::move(stream.goes_on);
  reader_ = core_.hub.join(wants, stream.after, [this] { on_event(); });
}

void Connection::on_event() {
  const auto self = shared_from_this();
  if (!writing_)
    pass_on_events();
  else if (core_.hub.is_lost(*reader_))
    close();
}

void Connection::pass_on_events() {
  state_ = State::events;
  if (core_.stopping) return write(framing_ == Framing::chunks ? "0\r\n\r\n" : "", After::end);
  heartbeat_ = seconds_from_now(core_.options.heartbeat_seconds);
  auto text = core_.hub.take(*reader_);
  if (!text) return close();
  if (!text->empty()) {
    renew_patience();
    return write(framed(framing_, std::move(*text)), After::events);
  }
  if (reading_) return;
  in_.clear();
  read(kEventRead);  // to hear that the client went away
}

// Whoever may listen no longer (an ended session, a disabled account) hears nothing more.
void Connection::ask_to_go_on() {
  if (!goes_on_) return beat();
  heartbeat_ = seconds_from_now(core_.options.heartbeat_seconds);
  if (std::exchange(is_asking_, true)) return;
  run_on_pool(false, goes_on_, [this](std::optional<bool> goes_on) {
    is_asking_ = false;
    if (state_ != State::events) return;
    if (!goes_on.value_or(false)) return close();
    if (!writing_) beat();
  });
}

void Connection::beat() {
  renew_patience();
  write(framed(framing_, ":\n\n"), After::events);
}

}  // namespace tautmark
