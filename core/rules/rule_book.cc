#include "core/rules/rule_book.h"

#include <google/protobuf/text_format.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/str_cat.h"
#include "core/rules/limit_check.h"
#include "core/rules/rule_check.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

constexpr absl::string_view kPractice = "common practice, no source";

std::string SourceLine(const v1::Source& source, const std::string& article) {
  return absl::StrCat(source.title(), article.empty() ? "" : ", ", article, " (",
                      Name(source.mark()), source.seen().empty() ? "" : ": ", source.seen(), ")");
}

absl::Status AddFile(const v1::RuleFile& file, RuleBook& book) {
  absl::flat_hash_map<std::string, const v1::Source*> sources;
  for (const v1::Source& source : file.sources()) {
    if (absl::Status whole = CheckSource(source); !whole.ok()) return whole;
    sources[source.id()] = &source;
  }
  if (file.review_on().size() != 10)
    return absl::InvalidArgumentError("it needs a review_on, YYYY-MM-DD");
  for (const v1::Group& group : file.groups()) book.groups.push_back(group);
  for (const v1::Rule& rule : file.rules()) {
    KnownRule known{.rule = rule, .source = std::string(kPractice), .review_on = file.review_on()};
    if (rule.has_legal_limit()) known.source = "the limits of the cellar's jurisdictions";
    if (!rule.source().empty()) {
      const auto source = sources.find(rule.source());
      if (source == sources.end()) {
        return absl::InvalidArgumentError(
            absl::StrCat(rule.id(), ": the file has no source '", rule.source(), "'"));
      }
      known.source = SourceLine(*source->second, rule.article());
    }
    book.rules.push_back(std::move(known));
  }
  return absl::OkStatus();
}

absl::flat_hash_set<std::string> GroupIds(const RuleBook& book) {
  absl::flat_hash_set<std::string> ids;
  for (const v1::Group& group : book.groups) ids.insert(group.id());
  return ids;
}

std::string FaultText(absl::string_view message) {
  return absl::StrCat("the house rule ", message, "; it does not count until it is mended");
}

void SetHouseRule(const rundlet::v1::HouseRuleSet& set, RuleBook& book) {
  const auto same = std::find_if(book.rules.begin(), book.rules.end(), [&](const KnownRule& known) {
    return known.rule.id() == set.rule_id();
  });
  if (set.text().empty()) {
    if (same != book.rules.end()) book.rules.erase(same);
    return;
  }
  auto rule = ReadHouseRule(set.rule_id(), set.text(), book);
  if (!rule.ok()) {
    book.faults.push_back(FaultText(rule.status().message()));
    return;
  }
  KnownRule known{.rule = *std::move(rule), .source = "a rule of this cellar", .house = true};
  known.rule.set_id(set.rule_id());
  if (!known.rule.source().empty()) known.source = known.rule.source();
  if (same != book.rules.end()) {
    *same = std::move(known);
  } else {
    book.rules.push_back(std::move(known));
  }
}

}  // namespace

absl::StatusOr<RuleBook> ReadRuleFiles(absl::Span<const DataFile> files) {
  RuleBook book;
  for (const DataFile& text : files) {
    v1::RuleFile file;
    if (absl::Status status = ReadMessage(text, file); !status.ok()) return status;
    if (absl::Status status = AddFile(file, book); !status.ok())
      return absl::InvalidArgumentError(absl::StrCat(text.name, ": ", status.message()));
  }
  const absl::flat_hash_set<std::string> groups = GroupIds(book);
  if (groups.size() != book.groups.size())
    return absl::InvalidArgumentError("a group is there twice");
  absl::flat_hash_set<std::string> ids;
  for (const KnownRule& known : book.rules) {
    if (absl::Status status = CheckRule(known.rule, groups); !status.ok()) return status;
    if (!ids.insert(known.rule.id()).second)
      return absl::InvalidArgumentError(absl::StrCat(known.rule.id(), " is there twice"));
  }
  return book;
}

const RuleBook& BuiltInRules() {
  // The files are part of the program, and a test reads them: a fault in one is a fault of the
  // build.
  static const RuleBook* const kBook = [] {
    absl::StatusOr<RuleBook> book = ReadRuleFiles(RuleFiles());
    if (!book.ok()) {
      std::fprintf(stderr, "built-in rules: %s\n", std::string(book.status().message()).c_str());
      std::abort();
    }
    return new RuleBook(*std::move(book));
  }();
  return *kBook;
}

RuleBook RulesOf(const Fold& fold) {
  RuleBook book = BuiltInRules();
  std::map<size_t, const rundlet::v1::HouseRuleSet*> set;
  for (const auto& [row, record] : fold.records().all()) {
    if (record.has_house_rule_set() && fold.sequence().row(row).standing == Row::Standing::kCounts)
      set[fold.sequence().PositionOf(row)] = &record.house_rule_set();
  }
  for (const auto& [position, rule] : set) SetHouseRule(*rule, book);
  return book;
}

const KnownRule* FindRule(const RuleBook& book, absl::string_view id) {
  for (const KnownRule& known : book.rules) {
    if (known.rule.id() == id) return &known;
  }
  return nullptr;
}

absl::StatusOr<v1::Rule> ReadHouseRule(absl::string_view name, absl::string_view text,
                                       const RuleBook& book) {
  v1::Rule rule;
  if (absl::Status status = ReadMessage({.name = name, .text = text, .wire = {}}, rule);
      !status.ok())
    return status;
  if (rule.id().empty()) rule.set_id(std::string(name));
  if (absl::Status status = CheckRule(rule, GroupIds(book)); !status.ok()) return status;
  return rule;
}

std::string WriteHouseRule(const KnownRule& known) {
  v1::Rule rule = known.rule;
  rule.clear_article();
  rule.set_source(known.source);
  google::protobuf::TextFormat::Printer printer;
  printer.SetUseUtf8StringEscaping(true);
  std::string text;
  printer.PrintToString(rule, &text);
  return absl::StrCat(
      "# rundlet.rules.v1.Rule, ",
      known.house ? "a rule of this cellar"
                  : absl::StrCat("a rule of the program, to be read again by ", known.review_on),
      "\n", text);
}

absl::string_view Name(v1::Severity severity) {
  switch (severity) {
    case v1::SEVERITY_STOP:
      return "stop";
    case v1::SEVERITY_WARN:
      return "warn";
    case v1::SEVERITY_NOTE:
      return "note";
    default:
      return "unknown";
  }
}

}  // namespace rundlet::rules
