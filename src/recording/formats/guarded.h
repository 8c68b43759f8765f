// SPDX-License-Identifier: Apache-2.0
// A library that falls over some damaged files is tried in a child process first.
#pragma once

#include <chrono>
#include <functional>

namespace tautmark {

// Whether a child process lives through `act` within `limit`; then it is killed. Safe in a program
// with threads as far as `act` uses nothing but memory (the C library makes its allocator usable in
// the child), files it opens itself, and libraries that no other thread is inside of meanwhile: the
// caller holds a lock for that. Should it wait for a lock all the same, the limit ends it. The
// child holds no file or connection of ours and dies with the thread that waits for it.
bool child_survives(const std::function<void()>& act, std::chrono::milliseconds limit);

}  // namespace tautmark
