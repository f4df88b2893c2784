# Writes a C++ file that holds the text of the given SQL files, in order.
#   cmake -DOUTPUT=migrations_data.cc -DSOURCES=<list of files> -P EmbedMigrations.cmake
set(items "")
foreach(source IN LISTS SOURCES)
  get_filename_component(file ${source} NAME)
  if(NOT file MATCHES "^0*([1-9][0-9]*)_([a-z0-9_]+)\\.sql$")
    message(FATAL_ERROR "${file}: a migration is named like 0001_journal.sql")
  endif()
  set(number ${CMAKE_MATCH_1})
  set(name ${CMAKE_MATCH_2})
  file(READ ${source} text)
  if(text MATCHES "\\)rundlet_sql\"")
    message(FATAL_ERROR "${file} holds the mark that ends its text in C++")
  endif()
  string(APPEND items "    {${number}, \"${name}\", R\"rundlet_sql(${text})rundlet_sql\"},\n")
endforeach()
file(WRITE ${OUTPUT} "// Made from schema/*.sql by EmbedMigrations.cmake.
#include \"server/pg/migrate.h\"

namespace rundlet::server {

absl::Span<const Migration> BuiltInMigrations() {
  static constexpr Migration kMigrations[] = {
${items}  };
  return kMigrations;
}

}  // namespace rundlet::server
")
