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

# Readers of recordings, of which Debian has no CMake files or such as need programs besides.
find_package(Threads REQUIRED)
find_package(ZLIB REQUIRED)
function(tm_system_library name header)
  find_path(TAUTMARK_${name}_INCLUDE ${header} PATH_SUFFIXES hdf5/serial REQUIRED)
  find_library(TAUTMARK_${name}_LIBRARY ${name} PATH_SUFFIXES hdf5/serial REQUIRED)
  add_library(${name} UNKNOWN IMPORTED GLOBAL)
  set_target_properties(${name} PROPERTIES
    IMPORTED_LOCATION ${TAUTMARK_${name}_LIBRARY}
    INTERFACE_INCLUDE_DIRECTORIES ${TAUTMARK_${name}_INCLUDE})
endfunction()
tm_system_library(hdf5 hdf5.h)
tm_system_library(sndfile sndfile.h)
tm_system_library(zip zip.h)
tm_system_library(qrencode qrencode.h)

# The store and the server.
find_package(OpenSSL 3.0 REQUIRED)
find_path(TAUTMARK_PQ_INCLUDE libpq-fe.h PATH_SUFFIXES postgresql REQUIRED)
find_package(SQLite3 3.40 REQUIRED)
add_library(soci INTERFACE)
target_include_directories(soci SYSTEM INTERFACE ${TAUTMARK_PQ_INCLUDE})
foreach(part core sqlite3 postgresql)
  find_library(TAUTMARK_SOCI_${part} soci_${part} REQUIRED)
  target_link_libraries(soci INTERFACE ${TAUTMARK_SOCI_${part}})
endforeach()
# Debian's SOCI hides type information that this check of UBSan would ask for.
target_compile_options(soci INTERFACE -fno-sanitize=vptr)
find_library(TAUTMARK_PQ_LIBRARY pq REQUIRED)
target_link_libraries(soci INTERFACE ${TAUTMARK_PQ_LIBRARY})

if(TAUTMARK_TESTS STREQUAL "ASIDE")
  find_package(GTest 1.12 QUIET)
  find_package(rapidcheck QUIET)
  if(GTest_FOUND AND rapidcheck_FOUND)
    set(TAUTMARK_TESTS_ASIDE EXCLUDE_FROM_ALL)
  else()
    set(TAUTMARK_TESTS OFF)
  endif()
endif()
if(TAUTMARK_TESTS)
  find_package(GTest 1.12 REQUIRED)
  find_package(rapidcheck REQUIRED)
endif()
if(TAUTMARK_BENCH)
  find_package(benchmark 1.7 REQUIRED)
endif()
