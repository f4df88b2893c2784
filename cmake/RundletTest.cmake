# rundlet_test(NAME fold_test SOURCES fold_test.cc LIBS rundlet_core [TIMEOUT 120] [LABELS unit] [ONE_PROCESS])
# One GoogleTest program, registered with CTest test by test, or with ONE_PROCESS as a whole: for tests that share
# something costly, such as a database cluster.
include(GoogleTest)

function(rundlet_test)
  cmake_parse_arguments(T "ONE_PROCESS" "NAME;TIMEOUT;LABELS" "SOURCES;LIBS" ${ARGN})
  if(NOT T_TIMEOUT)
    set(T_TIMEOUT 120)
  endif()
  if(NOT T_LABELS)
    set(T_LABELS unit)
  endif()
  add_executable(${T_NAME} ${T_SOURCES})
  target_link_libraries(${T_NAME} PRIVATE rundlet_options ${T_LIBS} GTest::gmock GTest::gtest_main)
  if(T_ONE_PROCESS)
    add_test(NAME ${T_NAME} COMMAND ${T_NAME})
    set_tests_properties(${T_NAME} PROPERTIES TIMEOUT ${T_TIMEOUT} LABELS ${T_LABELS})
  else()
    gtest_discover_tests(${T_NAME}
      DISCOVERY_MODE PRE_TEST
      PROPERTIES TIMEOUT ${T_TIMEOUT} LABELS ${T_LABELS})
  endif()
endfunction()
