# Compiler settings shared by all our targets. Generated code is left out of the warnings and the sanitizers:
# sanitising the protobuf output multiplies compile time and finds nothing of ours.

if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "Build type" FORCE)
endif()

find_program(RUNDLET_CCACHE ccache)
if(RUNDLET_CCACHE)
  # base_dir and no hash_dir: build folders beside each other share one cache.
  # The sloppiness is what ccache asks for where precompiled headers are used.
  set(CMAKE_CXX_COMPILER_LAUNCHER
      ${CMAKE_COMMAND} -E env
      CCACHE_BASEDIR=${CMAKE_SOURCE_DIR} CCACHE_NOHASHDIR=1
      CCACHE_SLOPPINESS=pch_defines,time_macros,include_file_mtime,include_file_ctime
      ${RUNDLET_CCACHE})
endif()

find_program(RUNDLET_MOLD mold)
if(RUNDLET_MOLD)
  add_link_options(-fuse-ld=mold)
endif()
add_link_options(-Wl,--as-needed)

# Everything of ours links this.
add_library(rundlet_options INTERFACE)
target_include_directories(rundlet_options INTERFACE ${CMAKE_SOURCE_DIR})
target_compile_options(rundlet_options INTERFACE
  -Wall -Wextra -Werror -Wno-missing-field-initializers
  $<$<CXX_COMPILER_ID:Clang>:-Wthread-safety>)
if(RUNDLET_SANITIZE)
  target_compile_options(rundlet_options INTERFACE
    -fsanitize=${RUNDLET_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
  target_link_options(rundlet_options INTERFACE -fsanitize=${RUNDLET_SANITIZE})
endif()
