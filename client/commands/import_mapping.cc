#include "client/commands/import_mapping.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "client/cli/near.h"
#include "client/cli/planner.h"

namespace rundlet::client {
namespace {

constexpr char kAllOthers[] = "*";

std::string Lower(absl::string_view text) {
  return absl::AsciiStrToLower(absl::StripAsciiWhitespace(text));
}

}  // namespace

absl::StatusOr<LogMapping> LogMapping::Read(absl::string_view text) {
  LogMapping mapping;
  int64_t number = 0;
  for (absl::string_view line : absl::StrSplit(text, '\n')) {
    ++number;
    line = absl::StripAsciiWhitespace(line);
    if (line.empty() || line[0] == '#') continue;
    const size_t colon = line.find(':');
    const absl::Status status =
        colon == absl::string_view::npos
            ? Usage("write 'key: value', or begin the line with # to say something")
            : mapping.Take(absl::StripAsciiWhitespace(line.substr(0, colon)),
                           absl::StripAsciiWhitespace(line.substr(colon + 1)));
    if (!status.ok()) return Usage(absl::StrCat("mapping, line ", number, ": ", status.message()));
  }
  if (mapping.day_.empty())
    return Usage("the mapping lacks 'day: {Date}', with your column's name");
  if (mapping.templates_.empty())
    return Usage("the mapping lacks a line such as 'line racked: rack {From} {To}'");
  const bool only_others =
      mapping.templates_.size() == 1 && mapping.templates_.contains(kAllOthers);
  if (mapping.kind_.empty() && !only_others)
    return Usage("the mapping lacks 'kind: {Done}', the column that says what was done");
  return mapping;
}

absl::Status LogMapping::Take(absl::string_view key, absl::string_view value) {
  const auto words_into = [&](std::vector<Word>& into) {
    auto words = ReadWords(value);
    if (words.ok()) into = *std::move(words);
    return words.status();
  };
  if (key == "separator") {
    if (value == "tab") value = "\t";
    if (value != "," && value != ";" && value != "\t")
      return Usage("separator: write , or ; or tab");
    separator_ = value[0];
    return absl::OkStatus();
  }
  if (key == "day-order") {
    if (value != "ymd" && value != "dmy" && value != "mdy")
      return Usage("day-order: write ymd, dmy or mdy");
    day_order_ = std::string(value);
    return absl::OkStatus();
  }
  if (key == "day") return words_into(day_);
  if (key == "time") return words_into(time_);
  if (key == "kind") return words_into(kind_);
  if (key == "skip") {
    templates_[Lower(value)].clear();
    return absl::OkStatus();
  }
  if (absl::ConsumePrefix(&key, "line ")) {
    if (value.empty()) return Usage("a command belongs behind the colon, or write 'skip:'");
    return words_into(templates_[Lower(key)]);
  }
  return Usage(absl::StrCat("'", key,
                            "' is no key: write separator, day, day-order, time, kind, skip, or "
                            "'line' and what the log calls it"));
}

absl::StatusOr<std::vector<LogMapping::Word>> LogMapping::ReadWords(absl::string_view text) {
  std::vector<Word> words;
  bool quoted = false;
  bool in_word = false;
  const auto piece = [&words](bool column) -> Piece& {
    Word& word = words.back();
    if (column || word.empty() || word.back().column) word.push_back({.column = column});
    return word.back();
  };
  for (size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == ' ' && !quoted) {
      in_word = false;
      continue;
    }
    if (!in_word) words.emplace_back();
    in_word = true;
    if (c == '"') {
      quoted = !quoted;
    } else if (c == '{') {
      const size_t end = text.find('}', i);
      if (end == absl::string_view::npos) return Usage("a brace is opened and never closed");
      piece(true).text = std::string(absl::StripAsciiWhitespace(text.substr(i + 1, end - i - 1)));
      i = end;
    } else {
      piece(false).text += c;
    }
  }
  if (quoted) return Usage("a quote is opened and never closed");
  return words;
}

absl::Status LogMapping::Bind(const std::vector<std::string>& headings) {
  columns_.clear();
  for (size_t i = 0; i < headings.size(); ++i) {
    const std::string name(absl::StripAsciiWhitespace(headings[i]));
    if (!name.empty() && !columns_.emplace(name, i).second)
      return Usage(absl::StrCat("two columns are called '", name, "': give one another name"));
  }
  for (const auto* words : {&day_, &time_, &kind_}) {
    if (absl::Status status = CheckColumns(*words); !status.ok()) return status;
  }
  for (const auto& [kind, words] : templates_) {
    if (absl::Status status = CheckColumns(words); !status.ok()) return status;
  }
  return absl::OkStatus();
}

absl::Status LogMapping::CheckColumns(const std::vector<Word>& words) const {
  for (const Word& word : words) {
    for (const Piece& piece : word) {
      if (!piece.column || columns_.contains(piece.text)) continue;
      std::vector<std::string> names;
      for (const auto& [name, at] : columns_) names.push_back(name);
      return Usage(absl::StrCat("the mapping speaks of a column {", piece.text, "}; the file has ",
                                Enumerate(names, ", ", " and ")));
    }
  }
  return absl::OkStatus();
}

const std::string& LogMapping::Field(const std::vector<std::string>& fields,
                                     const std::string& column) const {
  static const std::string* const kNone = new std::string;
  const auto it = columns_.find(column);
  return it == columns_.end() || it->second >= fields.size() ? *kNone : fields[it->second];
}

LogMapping::Filled LogMapping::Fill(const Word& word,
                                    const std::vector<std::string>& fields) const {
  Filled filled;
  for (const Piece& piece : word) {
    const absl::string_view text = piece.column
                                       ? absl::StripAsciiWhitespace(Field(fields, piece.text))
                                       : absl::string_view(piece.text);
    if (piece.column && text.empty()) filled.complete = false;
    if (piece.column && filled.text.empty()) filled.from_file = true;
    absl::StrAppend(&filled.text, text);
  }
  return filled;
}

std::string LogMapping::FillAll(const std::vector<Word>& words,
                                const std::vector<std::string>& fields) const {
  std::string all;
  for (const Word& word : words) {
    const std::string text = Fill(word, fields).text;
    if (!text.empty()) absl::StrAppend(&all, all.empty() ? "" : " ", text);
  }
  return all;
}

// A day in the order of the log as one in the order of ISO 8601; other words stay as they are.
absl::StatusOr<std::string> LogMapping::Day(std::string text) const {
  if (text.empty()) return Usage("it has no day");
  if (day_order_ == "ymd") return text;
  const std::vector<std::string> parts = absl::StrSplit(text, absl::ByAnyChar("./-"));
  int numbers[3] = {};
  for (size_t i = 0; i < 3; ++i) {
    if (parts.size() != 3 || !absl::SimpleAtoi(parts[i], &numbers[i]))
      return Usage(absl::StrCat("'", text, "' is no day such as ",
                                day_order_ == "dmy" ? "31.12.2025" : "12/31/2025"));
  }
  const int year = numbers[2];
  if (year < 100)
    return Usage(absl::StrCat("'", text, "': write the year with four digits in the file"));
  const int month = day_order_ == "dmy" ? numbers[1] : numbers[0];
  const int day = day_order_ == "dmy" ? numbers[0] : numbers[1];
  return absl::StrFormat("%04d-%02d-%02d", year, month, day);
}

absl::StatusOr<LogMapping::Said> LogMapping::Apply(const std::vector<std::string>& fields) const {
  const std::string kind = FillAll(kind_, fields);
  auto found = templates_.find(Lower(kind));
  if (found == templates_.end()) found = templates_.find(kAllOthers);
  if (found == templates_.end())
    return Usage(absl::StrCat("the mapping does not say what '", kind, "' is: add 'line ", kind,
                              ": ...' or 'skip: ", kind, "'"));
  if (found->second.empty()) return Said{};
  auto day = Day(FillAll(day_, fields));
  if (!day.ok()) return day.status();
  Said said;
  const std::string time = FillAll(time_, fields);
  said.when = time.empty() ? *day : absl::StrCat(*day, " ", time);
  for (const Word& word : found->second) {
    Filled filled = Fill(word, fields);
    const bool after_option = !said.words.empty() && absl::StartsWith(said.words.back(), "--") &&
                              !absl::StrContains(said.words.back(), '=');
    if (!filled.complete) {
      if (after_option) said.words.pop_back();
    } else if (after_option && filled.from_file) {
      // One word with its option: what stands in the file is never taken for another option.
      absl::StrAppend(&said.words.back(), "=", filled.text);
    } else if (filled.from_file && absl::StartsWith(filled.text, "-")) {
      return Usage(absl::StrCat("'", filled.text, "' begins with a dash, as options do"));
    } else {
      said.words.push_back(std::move(filled.text));
    }
  }
  return said;
}

}  // namespace rundlet::client
