# Writes a C++ file that holds the text of the given files, in order.
#   cmake -DOUTPUT=limit_texts.cc -DSOURCES=<list of files> -P EmbedLimits.cmake
set(items "")
foreach(source IN LISTS SOURCES)
  get_filename_component(name ${source} NAME)
  file(READ ${source} text)
  if(text MATCHES "\\)rundlet_limits\"")
    message(FATAL_ERROR "${name} holds the mark that ends its text in C++")
  endif()
  string(APPEND items "    {\"${name}\", R\"rundlet_limits(${text})rundlet_limits\"},\n")
endforeach()
file(WRITE ${OUTPUT} "// Made from core/rules/limits by EmbedLimits.cmake.
#include \"core/rules/limit_texts.h\"

namespace rundlet::rules {

absl::Span<const LimitText> LimitTexts() {
  static constexpr LimitText kTexts[] = {
${items}  };
  return kTexts;
}

}  // namespace rundlet::rules
")
