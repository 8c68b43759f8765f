# What most sources include; each file still includes what it uses, which the builds without
# TAUTMARK_PCH show.
set(TM_PRECOMPILED <algorithm> <array> <cmath> <fstream> <functional> <map> <memory>
    <optional> <set> <span> <string> <string_view> <vector> <fmt/format.h> <tl/expected.hpp>)

# tm_library(NAME SOURCES ... [DEPENDS modules...] [LINKS targets...] [TESTS ...]
#            [PRECOMPILED headers...] [HOT])
# HOT: its loops are long, or it is fuzzed; TAUTMARK_HOT_FLAGS are for it.
# One module of the program: a static library, its warnings and its test executable.
# The DEPENDS lists are the architecture diagram; tests/dependency_direction.py checks every
# #include against them.
function(tm_library name)
  cmake_parse_arguments(arg "HOT" "" "SOURCES;DEPENDS;LINKS;TESTS;TEST_LINKS;PRECOMPILED" ${ARGN})
  add_library(tautmark_${name} STATIC ${arg_SOURCES})
  target_include_directories(tautmark_${name} PUBLIC ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(tautmark_${name} PUBLIC fmt::fmt tl::expected ${arg_LINKS})
  foreach(dependency ${arg_DEPENDS})
    target_link_libraries(tautmark_${name} PUBLIC tautmark_${dependency})
  endforeach()
  if(arg_HOT)
    separate_arguments(hot UNIX_COMMAND "${TAUTMARK_HOT_FLAGS}")
    target_compile_options(tautmark_${name} PRIVATE ${hot})
  endif()
  if(TAUTMARK_PCH)
    target_precompile_headers(tautmark_${name} PRIVATE ${TM_PRECOMPILED} ${arg_PRECOMPILED})
  endif()
  if(arg_TESTS AND TAUTMARK_TESTS)
    add_executable(${name}_test ${arg_TESTS})
    target_link_libraries(${name}_test PRIVATE tautmark_${name} tautmark_test_support
                          GTest::gmock GTest::gtest_main ${arg_TEST_LINKS})
    if(TAUTMARK_PCH)
      target_precompile_headers(${name}_test PRIVATE ${TM_PRECOMPILED} <gmock/gmock.h>
                                <gtest/gtest.h>)
    endif()
    gtest_discover_tests(${name}_test DISCOVERY_TIMEOUT 60 PROPERTIES TIMEOUT 300)
  endif()
endfunction()
