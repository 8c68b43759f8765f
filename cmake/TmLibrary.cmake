# tm_library(NAME SOURCES ... [DEPENDS modules...] [LINKS targets...] [TESTS ...])
# One module of the program: a static library, its warnings and its test executable.
# The DEPENDS lists are the architecture diagram; tests/dependency_direction.py checks every
# #include against them.
function(tm_library name)
  cmake_parse_arguments(arg "" "" "SOURCES;DEPENDS;LINKS;TESTS;TEST_LINKS" ${ARGN})
  add_library(tautmark_${name} STATIC ${arg_SOURCES})
  target_include_directories(tautmark_${name} PUBLIC ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(tautmark_${name} PUBLIC fmt::fmt tl::expected ${arg_LINKS})
  foreach(dependency ${arg_DEPENDS})
    target_link_libraries(tautmark_${name} PUBLIC tautmark_${dependency})
  endforeach()
  if(arg_TESTS AND TAUTMARK_TESTS)
    add_executable(${name}_test ${arg_TESTS})
    target_link_libraries(${name}_test PRIVATE tautmark_${name} tautmark_test_support
                          GTest::gmock GTest::gtest_main ${arg_TEST_LINKS})
    gtest_discover_tests(${name}_test DISCOVERY_TIMEOUT 60 PROPERTIES TIMEOUT 300)
  endif()
endfunction()
