#include "core/reports/csv.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/strip.h"

namespace rundlet::reports {
namespace {

std::string CsvField(const std::string& field) {
  if (field.find_first_of(",\"\r\n") == std::string::npos) return field;
  return absl::StrCat("\"", absl::StrReplaceAll(field, {{"\"", "\"\""}}), "\"");
}

class Reader {
 public:
  Reader(absl::string_view text, char separator) : text_(text), separator_(separator) {}

  absl::StatusOr<std::vector<CsvRecord>> Read() {
    std::vector<CsvRecord> records;
    while (at_ < text_.size()) {
      CsvRecord record{.line = line_};
      do {
        if (absl::Status status = TakeField(record); !status.ok()) return status;
      } while (TakeIf(separator_));
      TakeLineEnd();
      if (record.fields.size() > 1 || !record.fields[0].empty() || quoted_)
        records.push_back(std::move(record));
    }
    return records;
  }

 private:
  bool TakeIf(char c) {
    if (at_ == text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }

  // The size of the line end that stands here; 0 for none.
  size_t LineEnd() const {
    const absl::string_view rest = text_.substr(at_);
    if (rest.substr(0, 2) == "\r\n") return 2;
    return rest.substr(0, 1) == "\n" ? 1 : 0;
  }

  void TakeLineEnd() {
    at_ += LineEnd();
    ++line_;
  }

  bool AtFieldEnd() const {
    return at_ == text_.size() || text_[at_] == separator_ || LineEnd() > 0;
  }

  absl::Status TakeField(CsvRecord& record) {
    std::string& field = record.fields.emplace_back();
    quoted_ = TakeIf('"');
    if (quoted_) return TakeQuoted(field);
    for (; !AtFieldEnd(); ++at_) {
      if (text_[at_] == '"') {
        return absl::InvalidArgumentError(
            absl::StrCat("line ", line_,
                         ": a quote stands in the middle of a field; the whole field belongs in "
                         "quotes then, and a quote in it is written twice"));
      }
      field += text_[at_];
    }
    return absl::OkStatus();
  }

  absl::Status TakeQuoted(std::string& field) {
    const int64_t begin = line_;
    for (; at_ < text_.size(); ++at_) {
      if (text_[at_] == '\n') ++line_;
      if (text_[at_] != '"') {
        field += text_[at_];
      } else if (at_ + 1 < text_.size() && text_[at_ + 1] == '"') {
        field += '"';
        ++at_;
      } else {
        ++at_;
        if (AtFieldEnd()) return absl::OkStatus();
        return absl::InvalidArgumentError(
            absl::StrCat("line ", line_, ": something stands after the quote that ends a field"));
      }
    }
    return absl::InvalidArgumentError(
        absl::StrCat("line ", begin, ": a quote is opened here and never closed"));
  }

  const absl::string_view text_;
  const char separator_;
  size_t at_ = 0;
  int64_t line_ = 1;
  bool quoted_ = false;  // the last field stood in quotes
};

}  // namespace

std::string CsvLine(absl::Span<const std::string> fields) {
  std::string line;
  for (const std::string& field : fields)
    absl::StrAppend(&line, &field == fields.data() ? "" : ",", CsvField(field));
  // A lone empty field would be an empty line, which readers leave out.
  if (fields.size() == 1 && line.empty()) line = "\"\"";
  return absl::StrCat(line, "\r\n");
}

absl::StatusOr<std::vector<CsvRecord>> ReadCsv(absl::string_view text, char separator) {
  return Reader(absl::StripPrefix(text, "\xef\xbb\xbf"), separator).Read();
}

}  // namespace rundlet::reports
