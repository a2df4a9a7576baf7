# SPDX-License-Identifier: MIT
# Fetches the plotting library of the pages, uPlot, from the npm registry into the build tree, in the
# version and with the integrity that package-lock.json names. Nothing of it is kept in this project.
# Without npm or a way to the registry the tool builds all the same, and its pages have no plots.
option(PAGE_PLOTS "Fetch the plotting library for the pages that --page writes" ON)

set(page_plots "")
if(PAGE_PLOTS)
  set(folder ${PROJECT_BINARY_DIR}/page)
  set(library ${folder}/node_modules/uplot)
  file(MAKE_DIRECTORY ${folder})
  foreach(name package.json package-lock.json)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/${name})
    file(SHA256 ${CMAKE_CURRENT_LIST_DIR}/${name} wanted)
    set(there "")
    if(EXISTS ${folder}/${name})
      file(SHA256 ${folder}/${name} there)
    endif()
    if(NOT wanted STREQUAL there)
      file(REMOVE_RECURSE ${library})
      file(COPY ${CMAKE_CURRENT_LIST_DIR}/${name} DESTINATION ${folder})
    endif()
  endforeach()
  if(NOT EXISTS ${library}/dist/uPlot.iife.min.js)
    find_program(NPM npm)
    set(why "npm was not found")
    if(NPM)
      execute_process(COMMAND ${NPM} ci --ignore-scripts --no-audit --no-fund --fetch-retries=1
                              --fetch-timeout=20000
                      WORKING_DIRECTORY ${folder} TIMEOUT 90 RESULT_VARIABLE status
                      OUTPUT_VARIABLE said ERROR_VARIABLE said)
      set(why "npm said: ${said}")
    endif()
  endif()
  if(EXISTS ${library}/dist/uPlot.iife.min.js)
    set(page_plots ${library})
  else()
    message(WARNING "The plotting library for --page could not be fetched, so its pages will have no "
                    "plots; configure again to try again, or say -DPAGE_PLOTS=OFF. ${why}")
  endif()
endif()

set(page_parts ${PROJECT_BINARY_DIR}/page/page_parts.cpp)
set(page_sources ${CMAKE_CURRENT_LIST_DIR}/embed.cmake ${CMAKE_CURRENT_LIST_DIR}/page.css
                 ${CMAKE_CURRENT_LIST_DIR}/page.js)
if(page_plots)
  list(APPEND page_sources ${page_plots}/dist/uPlot.iife.min.js)
endif()
add_custom_command(OUTPUT ${page_parts}
  COMMAND ${CMAKE_COMMAND} -DOUT=${page_parts} -DPLOTS=${page_plots}
          -P ${CMAKE_CURRENT_LIST_DIR}/embed.cmake
  DEPENDS ${page_sources} VERBATIM)
