// SPDX-License-Identifier: Apache-2.0
// TAUTMARK_WIDE before a function: a loop over plain arrays without branches, of which the compiler
// makes vector code, and twice, for processors with wider registers. Both give the same results,
// bit by bit: neither fuses a multiplication with an addition, and sums keep the order written.
#pragma once

// Not under sanitizers: the choice between the two runs before they are ready.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__)
#define TAUTMARK_WIDE [[gnu::target_clones("avx2", "default"), gnu::optimize("O3")]]
#else
#define TAUTMARK_WIDE
#endif
