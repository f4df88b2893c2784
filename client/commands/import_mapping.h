#ifndef RUNDLET_CLIENT_COMMANDS_IMPORT_MAPPING_H_
#define RUNDLET_CLIENT_COMMANDS_IMPORT_MAPPING_H_

#include <map>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/reports/csv.h"

namespace rundlet::client {

// How an old log in CSV becomes commands: a text that a person writes once, in lines of `key:
// value`. docs/import.md is its manual.
//
//   separator: ;
//   day: {Date}
//   day-order: dmy
//   kind: {Done}
//   line racked: rack {Vessel} {Into} --lees {Lees}L --note {Remark}
//   line *: note {Vessel} --note {Remark}
//   skip: holiday
//
// A word in braces is a column. Words of a command stand apart by spaces, or in double quotes. A
// word with a column that is empty is left out, and so is the option before it.
class LogMapping {
 public:
  // InvalidArgument with the number of the line and what to write.
  static absl::StatusOr<LogMapping> Read(absl::string_view text);

  char separator() const { return separator_; }

  // Whether every column that is spoken of is among the headings of a file, each of which must be
  // there once. InvalidArgument with those that there are.
  absl::Status Bind(const std::vector<std::string>& headings);

  // What a line of the file says. After Bind.
  struct Said {
    std::string when;                // as ParseWhen reads it
    std::vector<std::string> words;  // of the command; empty where the line is to be skipped
  };
  // InvalidArgument where the line cannot be understood; without the number of the line.
  absl::StatusOr<Said> Apply(const std::vector<std::string>& fields) const;

 private:
  // A word of a template: plain text and columns in turn.
  struct Piece {
    bool column = false;
    std::string text;  // the text, or the column's name
  };
  using Word = std::vector<Piece>;

  struct Filled {
    std::string text;
    bool complete = true;    // false: a column is empty
    bool from_file = false;  // it begins with what a column says
  };

  absl::Status Take(absl::string_view key, absl::string_view value);
  static absl::StatusOr<std::vector<Word>> ReadWords(absl::string_view text);
  absl::Status CheckColumns(const std::vector<Word>& words) const;
  const std::string& Field(const std::vector<std::string>& fields, const std::string& column) const;
  Filled Fill(const Word& word, const std::vector<std::string>& fields) const;
  std::string FillAll(const std::vector<Word>& words, const std::vector<std::string>& fields) const;
  absl::StatusOr<std::string> Day(std::string text) const;

  char separator_ = ',';
  std::string day_order_ = "ymd";
  std::vector<Word> day_, time_, kind_;
  std::map<std::string, std::vector<Word>> templates_;  // by kind, in lower case; "*": all others
  std::map<std::string, size_t> columns_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_IMPORT_MAPPING_H_
