# SPDX-License-Identifier: Apache-2.0
# Options of every target of ours. Imported headers are system headers and stay silent.

add_compile_options(-Wall -Wextra -Wconversion -Werror)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # g++ 12 sees overlapping copies inside std::string where there are none (GCC bug 105651).
  add_compile_options(-Wno-restrict)
endif()
if(CMAKE_CXX_COMPILER_ID MATCHES "Clang")
  # Part of -Wconversion in clang, not in g++: one rule for both.
  add_compile_options(-Wno-sign-conversion)
endif()

# The same numbers on every processor: no fused multiply-add behind our back.
add_compile_options(-ffp-contract=off)

# __FILE__ is a path inside the source tree; a released program names no folder of the machine
# that built it.
add_compile_options(-fmacro-prefix-map=${PROJECT_SOURCE_DIR}/=)
if(CMAKE_BUILD_TYPE STREQUAL "Release")
  add_compile_options(-ffile-prefix-map=${PROJECT_SOURCE_DIR}/=)
endif()
