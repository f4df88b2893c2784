# Programs, their manual and the completion of shells, where Debian and others look for them. The programs themselves
# print pages and scripts, so that both always fit.
include(GNUInstallDirs)

set(man ${CMAKE_BINARY_DIR}/share/man)
add_custom_command(
  OUTPUT ${man}/rundletd.8
  COMMAND ${CMAKE_COMMAND} -E rm -rf ${man}
  COMMAND ${CMAKE_COMMAND} -E make_directory ${man}
  COMMAND rundlet manual --to ${man}
  COMMAND rundletd manual > ${man}/rundletd.8
  DEPENDS rundlet rundletd
  COMMENT "Printing the manual"
  VERBATIM)
add_custom_target(rundlet_manual ALL DEPENDS ${man}/rundletd.8)

install(TARGETS rundlet rundlet-sync rundletd)
foreach(section 1 7 8)
  install(DIRECTORY ${man}/ DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section} FILES_MATCHING PATTERN "*.${section}")
endforeach()
set(completion ${CMAKE_SOURCE_DIR}/client/completion)
install(FILES ${completion}/rundlet.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME rundlet)
install(FILES ${completion}/rundlet.zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/site-functions RENAME _rundlet)
install(FILES ${completion}/rundlet.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
