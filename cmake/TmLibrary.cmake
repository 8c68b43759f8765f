# What most sources include; each file still includes what it uses, which the builds without
# TAUTMARK_PCH show.
set(TM_PRECOMPILED <algorithm> <array> <cmath> <filesystem> <fstream> <functional> <map> <memory>
    <optional> <set> <span> <sstream> <string> <string_view> <variant> <vector> <fmt/format.h>
    <tl/expected.hpp>)
# The widest headers of ours: parsing them is most of what a source costs that includes them.
set(TM_PRECOMPILED_base base/text.h base/diagnostic.h base/quantity_text.h)
set(TM_PRECOMPILED_drive drive/load.h drive/drive_fields.h)
set(TM_PRECOMPILED_casework casework/load.h casework/case_fields.h)
set(TM_PRECOMPILED_judge judge/judge.h)
set(TM_PRECOMPILED_store store/cases.h)
set(TM_PRECOMPILED_report <nlohmann/json.hpp>)
set(TM_PRECOMPILED_cli <CLI/CLI.hpp>)

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
  set(precompiled ${TM_PRECOMPILED} ${arg_PRECOMPILED})
  foreach(module ${arg_DEPENDS} ${name})
    foreach(header ${TM_PRECOMPILED_${module}})
      if(NOT header MATCHES "^<")
        set(header "${PROJECT_SOURCE_DIR}/src/${header}")
      endif()
      list(APPEND precompiled ${header})
    endforeach()
  endforeach()
  if(TAUTMARK_PCH)
    target_precompile_headers(tautmark_${name} PRIVATE ${precompiled})
  endif()
  if(arg_TESTS AND TAUTMARK_TESTS)
    add_executable(${name}_test ${TAUTMARK_TESTS_ASIDE} ${arg_TESTS})
    target_link_libraries(${name}_test PRIVATE tautmark_${name} tautmark_test_support
                          GTest::gmock GTest::gtest_main ${arg_TEST_LINKS})
    separate_arguments(test_flags UNIX_COMMAND "${TAUTMARK_TEST_FLAGS}")
    target_compile_options(${name}_test PRIVATE ${test_flags})
    if(TAUTMARK_PCH)
      target_precompile_headers(${name}_test PRIVATE ${precompiled} <gmock/gmock.h>
                                <gtest/gtest.h>)
    endif()
    gtest_discover_tests(${name}_test DISCOVERY_MODE PRE_TEST PROPERTIES TIMEOUT 300)
  endif()
endfunction()
