# SPDX-License-Identifier: MIT
# What `cmake --install` puts where, and the Debian packages that `cpack` makes of it: `tankyard`, the
# tool, and `libtankyard-dev`, the library for programs of your own.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)
set(doc_dir ${CMAKE_INSTALL_DATADIR}/doc/tankyard)

# The man page and the completions are made by the tool itself, from its table of commands.
set(made ${PROJECT_BINARY_DIR}/made)
file(MAKE_DIRECTORY ${made})
set(man_page ${made}/tankyard.1)
add_custom_command(OUTPUT ${man_page} ${made}/tankyard.bash ${made}/_tankyard ${made}/tankyard.fish
  COMMAND tankyard manual > ${man_page}
  COMMAND tankyard completions bash > ${made}/tankyard.bash
  COMMAND tankyard completions zsh > ${made}/_tankyard
  COMMAND tankyard completions fish > ${made}/tankyard.fish
  DEPENDS tankyard VERBATIM)
set(documents ${man_page})
find_program(GZIP gzip)
if(GZIP)  # as Debian wants it; without a time in it, so that it is the same each time
  add_custom_command(OUTPUT ${man_page}.gz COMMAND ${GZIP} -9nkf ${man_page} DEPENDS ${man_page} VERBATIM)
  list(APPEND documents ${man_page}.gz)
  set(man_page ${man_page}.gz)
endif()
add_custom_target(documents ALL DEPENDS ${documents})

# The licence stands at the end of README.md; that of the plotting library comes with it.
file(READ ${PROJECT_SOURCE_DIR}/README.md text)
string(REGEX REPLACE ".*\n## Licence\n\n" "" text "${text}")
set(copyright "tankyard\n\n${text}")
if(page_plots)
  file(READ ${page_plots}/LICENSE text)
  string(APPEND copyright "\nThe pages that it writes hold uPlot\n\n${text}")
endif()
file(WRITE ${made}/copyright "${copyright}")

set(tool COMPONENT tool)
install(TARGETS tankyard RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} ${tool})
install(FILES ${man_page} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 ${tool})
install(FILES ${made}/tankyard.bash RENAME tankyard
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions ${tool})
install(FILES ${made}/_tankyard DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions ${tool})
install(FILES ${made}/tankyard.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d ${tool})
install(FILES ${made}/copyright README.md DESTINATION ${doc_dir} ${tool})
install(FILES io/README.md RENAME plan-file.md DESTINATION ${doc_dir} ${tool})
file(GLOB examples CONFIGURE_DEPENDS examples/*.toml examples/*.csv)
install(FILES ${examples} DESTINATION ${doc_dir}/examples ${tool})

# The library. `io` (plan files, reports, pages) needs more packages than the rest, so it is asked for.
set(dev COMPONENT dev)
set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/tankyard)
foreach(part graph solver io)
  set_target_properties(tankyard_${part} PROPERTIES EXPORT_NAME ${part})
endforeach()
install(TARGETS tankyard_graph tankyard_solver EXPORT tankyard
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} ${dev})
install(TARGETS tankyard_io EXPORT tankyard-io ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} ${dev})
foreach(set tankyard tankyard-io)
  install(EXPORT ${set} NAMESPACE tankyard:: DESTINATION ${package_dir} FILE ${set}-targets.cmake ${dev})
endforeach()
foreach(folder graph solver io)
  install(DIRECTORY ${folder} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/tankyard ${dev}
          FILES_MATCHING PATTERN "*.h" PATTERN page EXCLUDE)
endforeach()
file(WRITE ${made}/tankyard-config.cmake [[
# find_package(tankyard) brings tankyard::graph and tankyard::solver; COMPONENTS io brings tankyard::io.
include(CMakeFindDependencyMacro)
find_dependency(tl-expected CONFIG)
find_dependency(Threads)
include(${CMAKE_CURRENT_LIST_DIR}/tankyard-targets.cmake)
foreach(component IN LISTS tankyard_FIND_COMPONENTS)
  if(component STREQUAL "io")
    foreach(package fmt spdlog tomlplusplus)
      find_dependency(${package} CONFIG)
    endforeach()
    include(${CMAKE_CURRENT_LIST_DIR}/tankyard-io-targets.cmake)
    set(tankyard_io_FOUND TRUE)
  elseif(component MATCHES "^(graph|solver)$")
    set(tankyard_${component}_FOUND TRUE)
  elseif(tankyard_FIND_REQUIRED_${component})
    set(tankyard_FOUND FALSE)
    set(tankyard_NOT_FOUND_MESSAGE "tankyard has no component ${component}")
  endif()
endforeach()
]])
write_basic_package_version_file(${made}/tankyard-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${made}/tankyard-config.cmake ${made}/tankyard-config-version.cmake
        DESTINATION ${package_dir} ${dev})
install(DIRECTORY examples/from_code DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libtankyard-dev/examples ${dev})
install(FILES ${made}/copyright DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libtankyard-dev ${dev})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME tankyard)
set(CPACK_PACKAGE_VENDOR "the Tankyard authors")
set(CPACK_PACKAGE_CONTACT "the Tankyard authors <authors@tankyard.example>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL tool dev)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_TOOL_PACKAGE_NAME tankyard)
set(CPACK_DEBIAN_TOOL_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_DEV_PACKAGE_NAME libtankyard-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libexpected-dev, libfmt-dev, libspdlog-dev, libtomlplusplus-dev")
set(CPACK_COMPONENT_TOOL_DESCRIPTION
    "Reads a plan of linked rainwater tanks, steps its day, and says what goes wrong, when and why.")
set(CPACK_COMPONENT_DEV_DESCRIPTION "The library behind tankyard, for programs of your own.")
include(CPack)
