#include "core/rules/data_file.h"

#include <google/protobuf/io/tokenizer.h>
#include <google/protobuf/text_format.h>

#include <string>

#include "absl/strings/str_cat.h"

namespace rundlet::rules {
namespace {

// Keeps the first complaint: those after it follow from it.
class FirstError : public google::protobuf::io::ErrorCollector {
 public:
  void AddError(int line, int column, const std::string& message) override {
    if (text_.empty()) text_ = absl::StrCat(line + 1, ":", column + 1, ": ", message);
  }
  void AddWarning(int line, int column, const std::string& message) override {
    AddError(line, column, message);
  }
  const std::string& text() const { return text_; }

 private:
  std::string text_;
};

}  // namespace

absl::Status ReadMessage(const DataFile& file, google::protobuf::Message& message) {
  if (!file.wire.empty()) {
    return message.ParseFromArray(file.wire.data(), static_cast<int>(file.wire.size()))
               ? absl::OkStatus()
               : absl::InvalidArgumentError(absl::StrCat(file.name, " is damaged in this program"));
  }
  FirstError error;
  google::protobuf::TextFormat::Parser parser;
  parser.RecordErrorsTo(&error);
  if (parser.ParseFromString(std::string(file.text), &message)) return absl::OkStatus();
  return absl::InvalidArgumentError(absl::StrCat(file.name, ":", error.text()));
}

}  // namespace rundlet::rules
