# What `cmake --install` puts where: the program, its materials, the libraries with their headers, and
# the package that find_package(thawline) reads. All may be moved together afterwards.
include(CMakePackageConfigHelpers)
set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/thawline)

install(TARGETS thawline RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY cases/materials DESTINATION ${CMAKE_INSTALL_DATADIR}/thawline)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/thawline)

foreach(library cases mesh solver history journal batch fit trial)
  set_target_properties(thawline_${library} PROPERTIES EXPORT_NAME ${library})
  add_library(thawline::${library} ALIAS thawline_${library})
  install(TARGETS thawline_${library} EXPORT thawline-targets
          ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
endforeach()
install(CODE "
  set(SOURCE \"${PROJECT_SOURCE_DIR}\")
  set(INCLUDE \"\$ENV{DESTDIR}\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_INCLUDEDIR}\")
  include(\"${PROJECT_SOURCE_DIR}/.cmake/install_headers.cmake\")")

install(EXPORT thawline-targets NAMESPACE thawline:: DESTINATION ${package_folder})
set(MATERIALS_FOLDER ${CMAKE_INSTALL_DATADIR}/thawline/materials)
configure_package_config_file(.cmake/thawline-config.cmake.in thawline-config.cmake
  INSTALL_DESTINATION ${package_folder} PATH_VARS MATERIALS_FOLDER)
write_basic_package_version_file(thawline-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/thawline-config.cmake
              ${CMAKE_CURRENT_BINARY_DIR}/thawline-config-version.cmake .cmake/FindUDUNITS2.cmake
              .cmake/hdf5_target.cmake
        DESTINATION ${package_folder})
