# SPDX-License-Identifier: MIT
# Writes OUT, a .cpp with what a page holds (io/page_parts.h), from the styles and the script beside
# this file and, if PLOTS names a folder, the plotting library in it. Run as cmake -P at build time.

# Bytes as the elements of a C array.
function(bytes_of file result)
  file(READ ${file} hex HEX)
  string(REGEX REPLACE "(..)" "0x\\1," bytes "${hex}")
  string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
  set(${result} "${bytes}" PARENT_SCOPE)
endfunction()

# SHA-256 of a file in base64 (RFC 4648): 32 bytes are ten groups of three and one of two.
function(sha256_base64 file result)
  file(SHA256 ${file} hex)
  set(letters "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/")
  string(APPEND hex "00")
  set(text "")
  foreach(group RANGE 0 10)
    math(EXPR at "${group} * 6")
    string(SUBSTRING "${hex}" ${at} 6 six)
    foreach(shift 18 12 6 0)
      math(EXPR letter "(0x${six} >> ${shift}) & 63")
      string(SUBSTRING "${letters}" ${letter} 1 one)
      string(APPEND text "${one}")
    endforeach()
  endforeach()
  string(REGEX REPLACE ".$" "=" text "${text}")
  set(${result} "${text}" PARENT_SCOPE)
endfunction()

set(here ${CMAKE_CURRENT_LIST_DIR})
set(arrays "")
set(fields "")
macro(embed field file)
  bytes_of(${file} bytes)
  string(APPEND arrays "const unsigned char ${field}[] = {\n${bytes}};\n")
  string(APPEND fields "    parts.${field} = text_of(${field}, sizeof ${field});\n")
endmacro()

embed(styles ${here}/page.css)
embed(script ${here}/page.js)
sha256_base64(${here}/page.js hash)
string(APPEND fields "    parts.script_sha256 = \"${hash}\";\n")
if(PLOTS)
  embed(plot_styles ${PLOTS}/dist/uPlot.min.css)
  embed(plot_script ${PLOTS}/dist/uPlot.iife.min.js)
  embed(plot_licence ${PLOTS}/LICENSE)
  sha256_base64(${PLOTS}/dist/uPlot.iife.min.js hash)
  string(APPEND fields "    parts.plot_script_sha256 = \"${hash}\";\n")
endif()

file(WRITE ${OUT} "// Made by io/page/embed.cmake.
#include \"io/page_parts.h\"

#include <cstddef>

namespace tankyard {
namespace {

std::string text_of(const unsigned char* bytes, std::size_t count) {
  return std::string(reinterpret_cast<const char*>(bytes), count);
}

${arrays}
}  // namespace

const PageParts& page_parts() {
  static const PageParts all = [] {
    PageParts parts;
${fields}    return parts;
  }();
  return all;
}

}  // namespace tankyard
")
