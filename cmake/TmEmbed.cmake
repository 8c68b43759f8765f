# SPDX-License-Identifier: Apache-2.0
# tm_embed(TARGET FUNCTION FOLDER...): the files of the folders become part of TARGET, in the table
# that FUNCTION() of serve/embedded.h gives. An assembler file takes their bytes in as they are; a
# table beside it says what they are. A file that changes, comes or goes is seen by the next build.

set(TM_EMBED_TYPES
  "html=text/html" "css=text/css" "js=text/javascript" "csv=text/csv" "txt=text/plain"
  "svg=image/svg+xml" "png=image/png" "ico=image/x-icon" "woff2=font/woff2"
  "json=application/json" "webmanifest=application/manifest+json" "yaml=application/yaml")

# tm_media_type(OUT PATH): with the character set where it is text.
function(tm_media_type out path)
  cmake_path(GET path EXTENSION LAST_ONLY extension)
  foreach(known IN LISTS TM_EMBED_TYPES)
    if(".${known}" MATCHES "^\\${extension}=(.*)$")
      set(type "${CMAKE_MATCH_1}")
    endif()
  endforeach()
  if(NOT type)
    message(FATAL_ERROR "${path}: add the media type of ${extension} to TmEmbed.cmake")
  endif()
  if(type MATCHES "^text/")
    string(APPEND type "; charset=utf-8")
  endif()
  set(${out} "${type}" PARENT_SCOPE)
endfunction()

function(tm_embed target function)
  set(assembler "    .section .rodata\n")
  set(declared "")
  set(table "")
  set(number 0)
  set(paths "")
  set(names "")
  foreach(folder IN LISTS ARGN)
    cmake_path(ABSOLUTE_PATH folder NORMALIZE)
    file(GLOB_RECURSE files CONFIGURE_DEPENDS RELATIVE ${folder} ${folder}/*)
    list(SORT files)
    foreach(file IN LISTS files)
      if(file IN_LIST names)
        message(FATAL_ERROR "${folder}/${file}: another folder has a file of this name")
      endif()
      list(APPEND names ${file})
      list(APPEND paths ${folder}/${file})
      tm_media_type(type ${file})
      file(SHA256 ${folder}/${file} sum)
      string(SUBSTRING ${sum} 0 32 sum)
      set(name tm_${function}_${number})
      string(APPEND assembler
        "    .globl ${name}\n    .globl ${name}_end\n    .balign 8\n${name}:\n"
        "    .incbin \"${folder}/${file}\"\n${name}_end:\n    .byte 0\n")
      string(APPEND declared "extern const char ${name}[], ${name}_end[];\n")
      string(APPEND table
        "    {\"/${file}\", \"${type}\", \"\\\"${sum}\\\"\", ${name}, ${name}_end},\n")
      math(EXPR number "${number} + 1")
    endforeach()
  endforeach()
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${paths})
  string(APPEND assembler "    .section .note.GNU-stack,\"\",%progbits\n")
  set(out ${CMAKE_CURRENT_BINARY_DIR}/embedded/${function})
  file(CONFIGURE OUTPUT ${out}.S CONTENT "${assembler}" @ONLY)
  file(CONFIGURE OUTPUT ${out}.cc @ONLY CONTENT
    "// Made by cmake/TmEmbed.cmake.
#include \"serve/embedded.h\"

extern \"C\" {
${declared}}
namespace tautmark {
namespace {
const EmbeddedFile kFiles[] = {
${table}};
}  // namespace
std::span<const EmbeddedFile> ${function}() { return kFiles; }
}  // namespace tautmark
")
  set_source_files_properties(${out}.S PROPERTIES OBJECT_DEPENDS "${paths}")
  target_sources(${target} PRIVATE ${out}.S ${out}.cc)
endfunction()
