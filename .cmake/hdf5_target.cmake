# After find_package(HDF5): its C++ library with all that it needs, as one target. Installed beside
# Thawline's package, which needs it too.
if(NOT TARGET thawline::hdf5)
  add_library(thawline::hdf5 INTERFACE IMPORTED GLOBAL)
  target_link_libraries(thawline::hdf5 INTERFACE ${HDF5_CXX_LIBRARIES})
  target_include_directories(thawline::hdf5 SYSTEM INTERFACE ${HDF5_INCLUDE_DIRS})
endif()
