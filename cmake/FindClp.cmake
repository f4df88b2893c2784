# Clp, the linear programming solver of COIN-OR (Eclipse Public License; linked as it is, not changed). Defines Clp::Clp.
# Debian's package comes without CMake files. All that it needs is named, because programs that are linked statically
# (RundletStatic) cannot learn it from the shared library.
find_path(Clp_INCLUDE_DIR coin/ClpSimplex.hpp)
find_library(Clp_LIBRARY Clp)
set(Clp_NEEDED)
foreach(name CoinUtils lapack blas bz2)
  find_library(Clp_${name}_LIBRARY ${name})
  mark_as_advanced(Clp_${name}_LIBRARY)
  list(APPEND Clp_NEEDED Clp_${name}_LIBRARY)
endforeach()

include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(Clp REQUIRED_VARS Clp_LIBRARY Clp_INCLUDE_DIR ${Clp_NEEDED})
mark_as_advanced(Clp_INCLUDE_DIR Clp_LIBRARY)

if(Clp_FOUND AND NOT TARGET Clp::Clp)
  add_library(Clp::Clp UNKNOWN IMPORTED)
  set_target_properties(Clp::Clp PROPERTIES
    IMPORTED_LOCATION ${Clp_LIBRARY}
    INTERFACE_INCLUDE_DIRECTORIES ${Clp_INCLUDE_DIR})
  foreach(library ${Clp_NEEDED})
    set_property(TARGET Clp::Clp APPEND PROPERTY INTERFACE_LINK_LIBRARIES ${${library}})
  endforeach()
endif()
