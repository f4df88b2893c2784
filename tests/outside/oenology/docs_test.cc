// Goal: docs/oenology.md lists every equation with its range, error, source and checks, and every
// check belongs to an equation. Method: the list is made anew from AllEquations() and the CSV files
// and compared with what stands between two marker lines. To take over a change, run
//   RUNDLET_WRITE_DOCS=1 oenology_docs_test
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/oenology/equation.h"
#include "tests/outside/oenology/check_rows.h"
#include "tests/outside/page.h"

namespace rundlet::oenology {
namespace {

constexpr absl::string_view kBegin =
    "<!-- equations: begin (made by oenology_docs_test; RUNDLET_WRITE_DOCS=1 rewrites it) -->\n";
constexpr absl::string_view kEnd = "<!-- equations: end -->\n";

// A check is named after its equation, with ":" and a word where there are several. These are not.
const std::map<std::string, std::string>& EquationOfCheck() {
  static const auto* const kMap = new std::map<std::string, std::string>{
      {"free-for-molecular", "molecular-so2"},
      {"molecular-percent", "molecular-so2"},
      {"molecular-by-table", "molecular-so2"},
      {"pk1", "so2-pk1"},
      {"pk-in-wine", "so2-pk-in-wine"},
      {"so2-per-unit", "sulfite-yield"},
      {"sulfite-units", "sulfite-yield"},
      {"sulfite-rise", "sulfite-yield"},
      {"acidity-as", "acid-equivalents"},
      {"acidity-meq", "acid-equivalents"},
      {"acid-rise", "acid-addition"},
      {"acid-pounds", "acid-addition"},
      {"carbonate-grams", "deacidification"},
      {"carbonate-drop-as-sulfuric", "deacidification"},
      {"acid-for-ph", "ph-shift"},
      {"sugar-volume", "sugar-to-brix"},
      {"make-up-brix", "make-up"},
      {"make-up-gravity", "make-up"},
      {"mix-volume", "spirit"},
      {"mix-strength", "spirit"},
      {"nitrogen-of-dap", "nutrient-nitrogen"},
      {"nutrient-grams", "nutrient-nitrogen"},
      {"nutrient-rise", "nutrient-nitrogen"},
      {"inoculum-cells", "inoculum"},
      {"sorbic-acid-share", "sorbic-acid"},
      {"sorbic-acid-by-alcohol", "sorbate-dose"},
      {"fining-low", "fining-ranges"},
      {"fining-high", "fining-ranges"},
      {"bentonite-water", "bentonite-slurry"},
      {"copper-of-sulfate", "copper-sulfate"},
  };
  return *kMap;
}

std::string EquationIdOf(const std::string& check) {
  const std::string name = check.substr(0, check.find(':'));
  const auto found = EquationOfCheck().find(name);
  return found == EquationOfCheck().end() ? name : found->second;
}

// Equation id -> mark -> rows.
using Counts = std::map<std::string, std::map<std::string, int>>;

Counts CountChecks() {
  Counts counts;
  for (const char* file : {"measures.csv", "additions.csv"}) {
    for (const CheckRow& row : ReadCheckRows(file)) ++counts[EquationIdOf(row.check)][row.mark];
  }
  return counts;
}

std::string ChecksText(const std::map<std::string, int>& by_mark) {
  if (by_mark.empty()) return "no published value";
  int all = 0;
  std::vector<std::string> parts;
  for (const char* mark : {"read", "second-hand", "memory", "derived", "practice"}) {
    const auto found = by_mark.find(mark);
    if (found == by_mark.end()) continue;
    all += found->second;
    parts.push_back(absl::StrCat(found->second, " ", mark));
  }
  return absl::StrCat(all, all == 1 ? " value (" : " values (", absl::StrJoin(parts, ", "), ")");
}

// "*" and "_" in a formula are no emphasis, so formulas stand as code.
std::string EquationText(const Equation& e, const std::map<std::string, int>& checks) {
  return absl::StrCat("### ", e.name, "\n\n`", e.id, "`: `", e.formula, "`\n\n- range: ", e.range,
                      "\n- error: ", e.error, "\n- source: ", e.source, " (",
                      StandingWords(e.standing), ")\n- checked against: ", ChecksText(checks),
                      "\n\n");
}

std::string ListText() {
  const Counts counts = CountChecks();
  std::string text = "\n";
  for (const Equation* e : AllEquations()) {
    const auto found = counts.find(std::string(e->id));
    absl::StrAppend(&text, EquationText(*e, found == counts.end() ? std::map<std::string, int>()
                                                                  : found->second));
  }
  return text;
}

TEST(OenologyDocsTest, EveryEquationIsWhole) {
  std::set<absl::string_view> ids;
  for (const Equation* e : AllEquations()) {
    EXPECT_TRUE(ids.insert(e->id).second) << e->id << " is there twice";
    for (const absl::string_view field :
         {e->id, e->name, e->formula, e->range, e->error, e->source}) {
      EXPECT_FALSE(field.empty()) << e->id;
      EXPECT_EQ(field.find('`'), absl::string_view::npos) << e->id;
      EXPECT_EQ(field.find('\n'), absl::string_view::npos) << e->id;
    }
    EXPECT_EQ(e->id, absl::AsciiStrToLower(e->id));
  }
  EXPECT_GE(ids.size(), 49u);
}

TEST(OenologyDocsTest, EveryCheckBelongsToAnEquation) {
  std::set<std::string> ids;
  for (const Equation* e : AllEquations()) ids.insert(std::string(e->id));
  for (const auto& [id, unused] : CountChecks()) {
    EXPECT_TRUE(ids.contains(id))
        << "rows are named after " << id
        << ", which is no equation: list it in core/oenology/equations.cc, "
           "or name its equation in EquationOfCheck() here";
  }
}

TEST(OenologyDocsTest, ThePageListsThemAll) {
  EXPECT_EQ(testing::KeepPageEqual(RUNDLET_OENOLOGY_PAGE, kBegin, kEnd, ListText()), "");
}

}  // namespace
}  // namespace rundlet::oenology
