# The migrations, in order of their numbers. A migration that was released never changes: a change is a
# new file, and a line here.
set(RUNDLET_MIGRATIONS
  ${CMAKE_CURRENT_LIST_DIR}/0001_journal.sql
  ${CMAKE_CURRENT_LIST_DIR}/0002_projections.sql
  ${CMAKE_CURRENT_LIST_DIR}/0003_counts.sql
  ${CMAKE_CURRENT_LIST_DIR}/0004_tree.sql
  ${CMAKE_CURRENT_LIST_DIR}/0005_identity.sql)
