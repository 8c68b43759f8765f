// SPDX-License-Identifier: Apache-2.0
#include "cli/child_process.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>

extern char** environ;

namespace tautmark::cli {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kMostText = 64 * 1024;
constexpr rlim_t kMostMemory = rlim_t{4} << 30;  // of the child
constexpr rlim_t kMostFile = rlim_t{16} << 30;   // that it may write
constexpr int kTickMilliseconds = 100;
constexpr double kPatience = 3;  // s, from one way of ending it to the next

volatile std::sig_atomic_t stop_wanted = 0;
void note_stop(int) { stop_wanted = 1; }

// While the child runs, a request to end is noted; it does not end this program.
class StopRequests {
 public:
  StopRequests() {
    stop_wanted = 0;
    for (std::size_t i = 0; i < kSignals.size(); ++i) {
      struct sigaction action {};
      action.sa_handler = kSignals[i] == SIGPIPE ? SIG_IGN : note_stop;
      sigaction(kSignals[i], &action, &before_[i]);
    }
  }
  StopRequests(const StopRequests&) = delete;
  StopRequests& operator=(const StopRequests&) = delete;
  ~StopRequests() {
    for (std::size_t i = 0; i < kSignals.size(); ++i) sigaction(kSignals[i], &before_[i], nullptr);
  }

 private:
  static constexpr std::array<int, 4> kSignals{SIGINT, SIGTERM, SIGHUP, SIGPIPE};
  std::array<struct sigaction, 4> before_{};
};

struct Pipe {
  int ends[2] = {-1, -1};  // read, write
  Pipe() {
    if (pipe2(ends, O_CLOEXEC) != 0) ends[0] = ends[1] = -1;
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;
  ~Pipe() {
    close_end(0);
    close_end(1);
  }
  void close_end(int which) {
    if (ends[which] >= 0) close(ends[which]);
    ends[which] = -1;
  }
};

void drain(Pipe& pipe, std::string& text) {
  std::array<char, 4096> buffer{};
  while (pipe.ends[0] >= 0) {
    const ssize_t count = read(pipe.ends[0], buffer.data(), buffer.size());
    if (count < 0 && errno == EINTR) continue;
    if (count == 0) pipe.close_end(0);
    if (count <= 0) return;
    text.append(buffer.data(), std::min(static_cast<std::size_t>(count), kMostText - text.size()));
  }
}

// In a process group of its own: Ctrl-C reaches this program alone, which ends the child in order.
int start(const ChildRun& run, Pipe& in, Pipe& out, Pipe& err, pid_t& child) {
  std::vector<char*> words;
  for (const std::string& word : run.words) words.push_back(const_cast<char*>(word.c_str()));
  words.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, in.ends[0], STDIN_FILENO);
  posix_spawn_file_actions_adddup2(&actions, out.ends[1], STDOUT_FILENO);
  posix_spawn_file_actions_adddup2(&actions, err.ends[1], STDERR_FILENO);
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  sigset_t defaults;
  sigemptyset(&defaults);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGPIPE}) sigaddset(&defaults, signal);
  posix_spawnattr_setsigdefault(&attributes, &defaults);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF);
  const int error =
      posix_spawnp(&child, words.front(), &actions, &attributes, words.data(), environ);
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  return error;
}

// Ways to end it, each after the one before has not helped.
void press(pid_t child, int attempt, bool by_key, const Pipe& in) {
  if (attempt == 0 && by_key)
    static_cast<void>(!write(in.ends[1], "\n", 1));
  else
    kill(-child, attempt == 0 ? SIGINT : attempt == 1 ? SIGTERM : SIGKILL);
}

}  // namespace

ChildResult run_child(const ChildRun& run) {
  ChildResult result;
  const StopRequests requests;
  Pipe in, out, err;
  if (in.ends[0] < 0 || out.ends[0] < 0 || err.ends[0] < 0) {
    result.not_started = EMFILE;
    return result;
  }
  pid_t child = -1;
  result.not_started = start(run, in, out, err, child);
  if (result.not_started != 0) return result;
  const rlimit memory{kMostMemory, kMostMemory}, file{kMostFile, kMostFile};
  prlimit(child, RLIMIT_AS, &memory, nullptr);
  prlimit(child, RLIMIT_FSIZE, &file, nullptr);
  in.close_end(0);
  out.close_end(1);
  err.close_end(1);
  for (const Pipe* pipe : {&out, &err}) fcntl(pipe->ends[0], F_SETFL, O_NONBLOCK);

  const Clock::time_point began = Clock::now();
  const auto elapsed = [&] { return std::chrono::duration<double>(Clock::now() - began).count(); };
  int status = 0, attempt = 0;
  double next_attempt = 0;
  while (waitpid(child, &status, WNOHANG) == 0) {
    pollfd wait[] = {{out.ends[0], POLLIN, 0}, {err.ends[0], POLLIN, 0}};
    poll(wait, 2, kTickMilliseconds);
    drain(out, result.output);
    drain(err, result.messages);
    if (run.tick) run.tick(elapsed());
    if (stop_wanted != 0 && !result.timed_out) result.stopped = true;
    if (elapsed() > run.limit && !result.stopped) result.timed_out = true;
    if ((result.stopped || result.timed_out) && elapsed() >= next_attempt) {
      press(child, attempt++, run.ends_by_key, in);
      next_attempt = elapsed() + kPatience;
    }
  }
  kill(-child, SIGKILL);  // what it may have started itself
  drain(out, result.output);
  drain(err, result.messages);
  if (WIFEXITED(status)) result.status = WEXITSTATUS(status);
  return result;
}

}  // namespace tautmark::cli
