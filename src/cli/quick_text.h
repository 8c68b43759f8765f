// SPDX-License-Identifier: Apache-2.0
// What `tautmark quick` prints.
#pragma once

#include <string>

#include "casework/case.h"
#include "quick/quick.h"
#include "report/report.h"

namespace tautmark::cli {

// All questions with one line of help and an example that can be typed.
std::string quick_list();
// One question: its inputs in order, which of them are needed, how each is written.
std::string quick_help(const quick::QuickQuestion& question);

// "bore? (…)", the choices and the example, to be asked back.
std::string ask_text(const quick::Ask& ask);

// The answer first, then what to read aloud, how it was computed, what it takes for granted.
std::string answer_text(const quick::Answer& answer, const TextStyle& style);
// schema quick/1
std::string answer_json(const quick::Answer& answer);
// As it is kept in a case.
QuickAnswer answer_entry(const quick::Answer& answer);

}  // namespace tautmark::cli
