#ifndef RUNDLET_CORE_RULES_DATA_FILE_H_
#define RUNDLET_CORE_RULES_DATA_FILE_H_

#include <google/protobuf/message.h>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::rules {

// A message written down by people: the text form of Protocol Buffers. Of the files that are part
// of the program the build has made the wire form, which every start can read at once.
struct DataFile {
  absl::string_view name;  // "eu.textproto"
  absl::string_view text;
  absl::string_view wire;  // in place of the text
};

// Reads the message of a file. InvalidArgument names the file, the line and the column.
absl::Status ReadMessage(const DataFile& file, google::protobuf::Message& message);

// The files of core/rules/limits and of core/rules/rules, put into the program when it is built.
absl::Span<const DataFile> LimitFiles();
absl::Span<const DataFile> RuleFiles();

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_DATA_FILE_H_
