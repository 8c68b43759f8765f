# SPDX-License-Identifier: Apache-2.0
# Everything that comes from outside; docs/dependencies.md says why each is here.

find_package(Boost 1.74 REQUIRED)
find_package(CLI11 2.1 REQUIRED)
find_package(fmt 9.1 REQUIRED)
find_package(nlohmann_json 3.11 REQUIRED)
find_package(tl-expected 1.0 REQUIRED)
find_package(yaml-cpp 0.7 REQUIRED)

# yaml-cpp 0.7 exports its target without a namespace; 0.8 and later with one.
if(NOT TARGET yaml-cpp::yaml-cpp)
  add_library(yaml-cpp::yaml-cpp ALIAS yaml-cpp)
endif()

# libsodium brings no CMake file.
find_path(TAUTMARK_SODIUM_INCLUDE sodium.h REQUIRED)
find_library(TAUTMARK_SODIUM_LIBRARY sodium REQUIRED)
add_library(sodium UNKNOWN IMPORTED)
set_target_properties(sodium PROPERTIES
  IMPORTED_LOCATION ${TAUTMARK_SODIUM_LIBRARY}
  INTERFACE_INCLUDE_DIRECTORIES ${TAUTMARK_SODIUM_INCLUDE})

if(TAUTMARK_TESTS)
  find_package(GTest 1.12 REQUIRED)
  find_package(rapidcheck REQUIRED)
endif()
if(TAUTMARK_BENCH)
  find_package(benchmark 1.7 REQUIRED)
endif()
