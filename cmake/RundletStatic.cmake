# rundlet_link_static(TARGET): links a program without shared libraries, where the machine has the archives (Debian's -dev
# packages bring them). Not under sanitizers, whose run-time libraries are shared.
function(rundlet_link_static target)
  if(NOT RUNDLET_SANITIZE)
    set_target_properties(${target} PROPERTIES
      CXX_LINKER_LAUNCHER ${PROJECT_SOURCE_DIR}/cmake/link-static
      LINK_DEPENDS ${PROJECT_SOURCE_DIR}/cmake/link-static)
  endif()
endfunction()
