# Writes a C++ file that holds the text of the given files, in order.
#   cmake -DOUTPUT=template_texts.cc -DSOURCES=<list of files> -P EmbedTemplates.cmake
set(items "")
foreach(source IN LISTS SOURCES)
  get_filename_component(name ${source} NAME_WE)
  file(READ ${source} text)
  if(text MATCHES "\\)rundlet_plan\"")
    message(FATAL_ERROR "${name} holds the mark that ends its text in C++")
  endif()
  string(APPEND items "    {\"${name}\", R\"rundlet_plan(${text})rundlet_plan\"},\n")
endforeach()
file(WRITE ${OUTPUT} "// Made from core/plans/templates by EmbedTemplates.cmake.
#include \"core/plans/templates.h\"

namespace rundlet::plans {

absl::Span<const TemplateText> Templates() {
  static constexpr TemplateText kTexts[] = {
${items}  };
  return kTexts;
}

}  // namespace rundlet::plans
")
