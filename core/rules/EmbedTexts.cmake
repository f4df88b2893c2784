# Writes a C++ file that holds the text of the given files, in order, behind a function.
#   cmake -DOUTPUT=limit_texts.cc -DFUNCTION=LimitTexts -DHEADER=core/rules/limit_texts.h -DSOURCES=<list of files>
#     -P EmbedTexts.cmake
set(items "")
foreach(source IN LISTS SOURCES)
  get_filename_component(name ${source} NAME)
  file(READ ${source} text)
  if(text MATCHES "\\)rundlet_text\"")
    message(FATAL_ERROR "${name} holds the mark that ends its text in C++")
  endif()
  string(APPEND items "    {\"${name}\", R\"rundlet_text(${text})rundlet_text\"},\n")
endforeach()
file(WRITE ${OUTPUT} "// Made by EmbedTexts.cmake.
#include \"${HEADER}\"

namespace rundlet::rules {

absl::Span<const LimitText> ${FUNCTION}() {
  static constexpr LimitText kTexts[] = {
${items}  };
  return kTexts;
}

}  // namespace rundlet::rules
")
