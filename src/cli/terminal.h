// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "report/report.h"

namespace tautmark::cli {

// Width and boldness of standard output; plain in a pipe and where NO_COLOR is set.
TextStyle output_style();
bool input_is_terminal();

}  // namespace tautmark::cli
