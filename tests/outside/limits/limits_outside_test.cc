// Goal: the built-in limits say what the reference says, and nothing else: no row without a limit,
// no limit without a row. Method: rows and limits are written as the same line of text (whose,
// what, how much, for which wine, from where, how well seen), and the two sorted lists are
// compared. The rows were written apart from the files of limits, with figures and units as the
// reference prints them, so that a slip on one side stands out twice: as a row without a limit and
// as a limit without a row.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <string>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/number.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"
#include "core/rules/words.h"
#include "tests/outside/limits/limit_rows.h"

namespace rundlet::rules {
namespace {

std::string KindWords(const Limit& limit) {
  switch (limit.kind) {
    case v1::KIND_CEILING:
      return limit.value_excluded ? "ceiling less than" : "ceiling";
    case v1::KIND_FLOOR:
      return "floor";
    case v1::KIND_RAISE:
      return "raise";
    case v1::KIND_CUT:
      return "cut";
    case v1::KIND_ALLOWED:
      return "allowed";
    case v1::KIND_FORBIDDEN:
      return "forbidden";
    case v1::KIND_STATEMENT:
      return limit.value_excluded ? "statement more than" : "statement";
    default:
      return "?";
  }
}

std::string BasisWords(v1::Basis basis) {
  switch (basis) {
    case v1::BASIS_ADDED:
      return "added";
    case v1::BASIS_RESIDUAL:
      return "residual";
    case v1::BASIS_TOTAL:
      return "total";
    default:
      return "?";
  }
}

std::string SmallUnits(const Limit& limit) {
  static const auto* const kUnits = new std::map<v1::Unit, std::string>{
      {v1::UNIT_UG_PER_L, "ug/L"},           {v1::UNIT_UG_PER_KG, "ug/kg"},
      {v1::UNIT_UEQ_PER_L, "ueq/L"},         {v1::UNIT_PPM_VOLUME, "ppm volume"},
      {v1::UNIT_PPM_ALCOHOL, "ppm alcohol"}, {v1::UNIT_MILLIBRIX, "milli Brix"},
      {v1::UNIT_MILLIPH, "milli pH"}};
  if (limit.unit == v1::UNIT_UNSPECIFIED) return "";
  return absl::StrCat(limit.value, " ", kUnits->at(limit.unit));
}

std::string SugarWords(const Scope& scope) {
  const auto grams = [](const SugarBorder& border) {
    return PrintRatio(border.sugar_ug_l, 1'000'000, 0, 6);
  };
  std::string text;
  if (scope.sugar_from.has_value()) {
    text = absl::StrCat(scope.sugar_from->itself ? ">=" : ">", grams(*scope.sugar_from));
  }
  if (scope.sugar_to.has_value()) {
    absl::StrAppend(&text, text.empty() ? "" : " ", scope.sugar_to->itself ? "<=" : "<",
                    grams(*scope.sugar_to));
  }
  return text;
}

// The rows have short words for these.
std::string Short(absl::string_view name) {
  static const auto* const kShort = new std::map<std::string, std::string>{
      {"rosé", "rose"},         {"grapes", "grape"},         {"pome fruit", "pome"},
      {"other fruit", "other"}, {"vegetables", "vegetable"},
  };
  const auto found = kShort->find(std::string(name));
  return found == kShort->end() ? std::string(name) : found->second;
}

template <typename T>
std::string Joined(const std::vector<T>& list) {
  return absl::StrJoin(list, "+",
                       [](std::string* out, T item) { absl::StrAppend(out, Short(Name(item))); });
}

std::string LineOf(const LimitRow& row) {
  return absl::StrJoin(
      {row.jurisdiction, row.substances, row.basis, row.kind, InSmallUnits(row), row.colour,
       row.sugar, row.style, row.fruit, row.stage, row.scheme, row.special, row.citation, row.mark},
      " | ");
}

std::string LineOf(const Limit& limit) {
  const std::string substances =
      absl::StrJoin(limit.substances, " + ",
                    [](std::string* out, v1::Substance s) { absl::StrAppend(out, Name(s)); });
  const Scope& scope = limit.scope;
  return absl::StrJoin(
      {limit.jurisdiction, substances, BasisWords(limit.basis), KindWords(limit), SmallUnits(limit),
       Joined(scope.colours), SugarWords(scope), Joined(scope.styles), Joined(scope.fruits),
       Joined(scope.stages), Joined(scope.schemes),
       scope.special.has_value() ? scope.special->id : std::string(), QuoteOf(limit).citation,
       std::string(Name(limit.source.mark))},
      " | ");
}

TEST(LimitsOutsideTest, EveryRowHasItsLimitAndEveryLimitItsRow) {
  std::multimap<std::string, std::string> limits;
  for (const Limit& limit : AllLimits()) limits.emplace(LineOf(limit), limit.id);
  const std::vector<LimitRow> rows = ReadLimitRows();
  EXPECT_GE(rows.size(), 250u);
  for (const LimitRow& row : rows) {
    const auto found = limits.find(LineOf(row));
    if (found == limits.end()) {
      ADD_FAILURE() << "limits.csv:" << row.line << " has no limit\n  " << LineOf(row);
    } else {
      limits.erase(found);
    }
  }
  for (const auto& [line, id] : limits) ADD_FAILURE() << id << " has no row\n  " << line;
}

}  // namespace
}  // namespace rundlet::rules
