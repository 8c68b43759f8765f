// SPDX-License-Identifier: Apache-2.0
// Figures made by hand for the tests; invented engines.
#pragma once

#include "draw/figure.h"

namespace tautmark::draw_test {

Figure v_engine();       // two banks, a chain of 124 links each, guides, arms, one tooth late
Figure inline_engine();  // one chain of 138 links over two camshafts
Figure schematic();      // counts only, not to scale
Figure belt_engine();    // belt of 121 teeth over camshaft, pump and tensioner pulley

}  // namespace tautmark::draw_test
