// SPDX-License-Identifier: Apache-2.0
#include "recording/formats/guarded.h"

#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <thread>

namespace tautmark {
namespace {

constexpr auto kShortestLook = std::chrono::milliseconds(1), kLongestLook = kShortestLook * 50;

[[noreturn]] void be_the_child(const std::function<void()>& act) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
  const rlimit no_core{0, 0};
  ::setrlimit(RLIMIT_CORE, &no_core);
  ::close_range(STDERR_FILENO, ~0U, 0);  // else a listening socket or a lock would live on in it
  for (const int signal : {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT}) ::signal(signal, SIG_DFL);
  act();
  ::_exit(0);
}

}  // namespace

bool child_survives(const std::function<void()>& act, std::chrono::milliseconds limit) {
  const auto end = std::chrono::steady_clock::now() + limit;
  const pid_t child = ::fork();
  if (child < 0) return false;
  if (child == 0) be_the_child(act);
  int status = 0;
  for (auto look = kShortestLook;; look = std::min(look * 2, kLongestLook)) {
    const pid_t ended = ::waitpid(child, &status, WNOHANG);
    if (ended == child) return WIFEXITED(status) && WEXITSTATUS(status) == 0;
    if (ended < 0 && errno != EINTR) return false;
    if (std::chrono::steady_clock::now() >= end) break;
    std::this_thread::sleep_for(look);
  }
  ::kill(child, SIGKILL);
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return false;
}

}  // namespace tautmark
