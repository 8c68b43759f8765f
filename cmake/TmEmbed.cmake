# SPDX-License-Identifier: Apache-2.0
# tm_embed(TARGET FOLDER): the files of FOLDER become part of TARGET, found by find_asset() of
# serve/assets.h. An assembler file takes their bytes in as they are; a table beside it says what
# they are. A file that changes, comes or goes is seen by the next build.

set(TM_EMBED_TYPES
  "html=text/html" "css=text/css"
  "js=text/javascript" "svg=image/svg+xml" "json=application/json"
  "webmanifest=application/manifest+json" "woff2=font/woff2" "png=image/png"
  "ico=image/x-icon" "txt=text/plain")

function(tm_embed target folder)
  cmake_path(ABSOLUTE_PATH folder NORMALIZE)
  file(GLOB_RECURSE files CONFIGURE_DEPENDS RELATIVE ${folder} ${folder}/*)
  list(SORT files)
  set(assembler "    .section .rodata\n")
  set(declared "")
  set(table "")
  set(number 0)
  set(paths "")
  foreach(file IN LISTS files)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${folder}/${file})
    cmake_path(GET file EXTENSION LAST_ONLY extension)
    set(type "")
    foreach(known IN LISTS TM_EMBED_TYPES)
      if(".${known}" MATCHES "^\\${extension}=(.*)$")
        set(type "${CMAKE_MATCH_1}")
      endif()
    endforeach()
    if(NOT type)
      message(FATAL_ERROR "${folder}/${file}: add the media type of ${extension} to TmEmbed.cmake")
    endif()
    if(type MATCHES "^text/")
      string(APPEND type "; charset=utf-8")
    endif()
    file(SHA256 ${folder}/${file} sum)
    string(SUBSTRING ${sum} 0 32 sum)
    set(name tm_asset_${number})
    string(APPEND assembler
      "    .globl ${name}\n    .globl ${name}_end\n    .balign 8\n${name}:\n"
      "    .incbin \"${folder}/${file}\"\n${name}_end:\n    .byte 0\n")
    string(APPEND declared "extern const char ${name}[], ${name}_end[];\n")
    string(APPEND table
      "    {\"/${file}\", \"${type}\", \"\\\"${sum}\\\"\", ${name}, ${name}_end},\n")
    list(APPEND paths ${folder}/${file})
    math(EXPR number "${number} + 1")
  endforeach()
  string(APPEND assembler "    .section .note.GNU-stack,\"\",%progbits\n")
  set(out ${CMAKE_CURRENT_BINARY_DIR}/embedded)
  file(CONFIGURE OUTPUT ${out}/assets.S CONTENT "${assembler}" @ONLY)
  file(CONFIGURE OUTPUT ${out}/assets_table.cc @ONLY CONTENT
    "// Made by cmake/TmEmbed.cmake.
#include \"serve/embedded.h\"

extern \"C\" {
${declared}}
namespace tautmark {
namespace {
const EmbeddedFile kFiles[] = {
${table}};
}  // namespace
std::span<const EmbeddedFile> embedded_files() { return kFiles; }
}  // namespace tautmark
")
  set_source_files_properties(${out}/assets.S PROPERTIES OBJECT_DEPENDS "${paths}")
  target_sources(${target} PRIVATE ${out}/assets.S ${out}/assets_table.cc)
endfunction()
