// SPDX-License-Identifier: Apache-2.0
// The last few answers to a question that takes long and is asked again and again while a case is
// worked on: most of what is entered does not change it. The answer must follow from the question
// alone. Safe for several threads; two that ask the same at once may both work it out.
#pragma once

#include <algorithm>
#include <deque>
#include <mutex>
#include <optional>
#include <utility>

namespace tautmark {

template <class Question, class Answer>
class Remembered {
 public:
  explicit Remembered(std::size_t most) : most_(most) {}

  // `work_out()` gives the Answer, and is called only if it is not remembered.
  template <class WorkOut>
  Answer answer(Question question, WorkOut work_out) {
    if (auto known = find(question)) return *std::move(known);
    Answer fresh = work_out();
    const std::lock_guard held(guard_);
    answers_.emplace_front(std::move(question), fresh);
    if (answers_.size() > most_) answers_.pop_back();
    return fresh;
  }

 private:
  std::optional<Answer> find(const Question& question) {
    const std::lock_guard held(guard_);
    const auto found = std::find_if(answers_.begin(), answers_.end(),
                                    [&](const auto& one) { return one.first == question; });
    if (found == answers_.end()) return std::nullopt;
    std::rotate(answers_.begin(), found, found + 1);  // asked last, forgotten last
    return answers_.front().second;
  }

  std::size_t most_;
  std::mutex guard_;
  std::deque<std::pair<Question, Answer>> answers_;
};

}  // namespace tautmark
