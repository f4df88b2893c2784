# Writes a C++ file that holds the given files, in order, behind a function that returns a span of them.
#   cmake -DOUTPUT=x.cc -DSOURCES=<list of files> -DHEADER=core/x.h -DNAMESPACE=rundlet::x -DTYPE=File -DFUNCTION=Files
#     -DNAME_PART=NAME [-DPROTOC=protoc -DPROTO_PATH=folder -DPROTO=x.proto -DMESSAGE=x.Message] -P EmbedFiles.cmake
# The type begins with the file's name (NAME_PART: NAME with its ending, NAME_WE without) and its text. With a message, the text is turned into the
# message's wire form here, once, and stands in the third field, `wire`, in place of the text.
set(items "")
foreach(source IN LISTS SOURCES)
  get_filename_component(name ${source} ${NAME_PART})
  if(DEFINED MESSAGE)
    set(wire ${OUTPUT}.${name}.wire)
    execute_process(
      COMMAND ${PROTOC} --proto_path=${PROTO_PATH} --encode=${MESSAGE} ${PROTO}
      INPUT_FILE ${source} OUTPUT_FILE ${wire} ERROR_VARIABLE why RESULT_VARIABLE failed)
    if(failed)
      message(FATAL_ERROR "${source} is no ${MESSAGE}: ${why}")
    endif()
    file(SIZE ${wire} size)
    file(READ ${wire} bytes HEX)
    file(REMOVE ${wire})
    string(REGEX REPLACE "(..)" "\\\\x\\1" bytes "${bytes}")
    string(APPEND items "    {\"${name}\", {}, absl::string_view(\"${bytes}\", ${size})},\n")
  else()
    file(READ ${source} text)
    if(text MATCHES "\\)rundlet_text\"")
      message(FATAL_ERROR "${source} holds the mark that ends its text in C++")
    endif()
    string(APPEND items "    {\"${name}\", R\"rundlet_text(${text})rundlet_text\"},\n")
  endif()
endforeach()
file(WRITE ${OUTPUT} "// Made by EmbedFiles.cmake.
#include \"${HEADER}\"

namespace ${NAMESPACE} {

absl::Span<const ${TYPE}> ${FUNCTION}() {
  static constexpr ${TYPE} kFiles[] = {
${items}  };
  return kFiles;
}

}  // namespace ${NAMESPACE}
")
