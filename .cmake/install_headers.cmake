# Run by `cmake --install`: puts the public headers into INCLUDE/thawline. Inside the tree they include
# one another from its root ("mesh/network.hpp"); installed, by their full name
# ("thawline/mesh/network.hpp"), so that they never meet headers of the project that uses them.
file(GLOB_RECURSE headers RELATIVE ${SOURCE} ${SOURCE}/cases/*.hpp ${SOURCE}/correlations/*.hpp ${SOURCE}/mesh/*.hpp
     ${SOURCE}/solver/*.hpp)
list(FILTER headers EXCLUDE REGEX "^solver/program/")
foreach(header IN LISTS headers)
  file(READ ${SOURCE}/${header} text)
  string(REGEX REPLACE "#include \"(cases|correlations|mesh|solver)/" "#include \"thawline/\\1/" text "${text}")
  file(WRITE ${INCLUDE}/thawline/${header} "${text}")
endforeach()
list(LENGTH headers count)
message(STATUS "Installed: ${count} headers in ${INCLUDE}/thawline")
