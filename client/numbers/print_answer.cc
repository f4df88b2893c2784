#include "client/numbers/print_answer.h"

#include <algorithm>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"

namespace rundlet::client {
namespace {

using oenology::Answer;
using oenology::Equation;
using oenology::Figure;

// "4.3 g" in US units, or nothing.
std::string InUsUnits(const Figure& figure) {
  const auto amount = ParseAmount(oenology::PrintFigure(figure));
  return amount.ok() ? absl::StrCat(" (", FormatAmount(*amount, UnitSystem::kUs), ")") : "";
}

void PrintFigures(const Answer& answer, bool amount_first, std::ostream& out) {
  size_t label = 0;
  for (const Figure& figure : answer.figures) label = std::max(label, WidthOf(figure.label));
  for (const Figure& figure : answer.figures) {
    out << figure.label << std::string(label - WidthOf(figure.label) + 2, ' ')
        << oenology::PrintFigure(figure);
    if (amount_first && &figure == &answer.figures.front()) out << InUsUnits(figure);
    if (figure.error > 0)
      out << ", give or take " << oenology::Print(figure.error, figure.decimals);
    out << "\n";
  }
}

void PrintList(const char* heading, const std::vector<std::string>& lines, std::ostream& out) {
  if (lines.empty()) return;
  out << "\n" << heading << "\n";
  for (const std::string& line : lines) out << "  " << line << "\n";
}

void PrintSources(const Answer& answer, std::ostream& out) {
  if (answer.equations.empty()) return;
  out << "\nIt rests on\n";
  for (const Equation* equation : answer.equations) {
    out << "  " << equation->name << ": " << equation->formula << "\n"
        << "    holds for " << equation->range << "; error: " << equation->error << "\n"
        << "    " << equation->source << " (" << StandingWords(equation->standing) << ")\n";
  }
}

}  // namespace

void PrintAnswer(const Answer& answer, const AnswerOptions& options, Session& session) {
  if (options.json) {
    session.out() << JsonOfAnswer(answer) << "\n";
    return;
  }
  PrintFigures(answer, options.amount_first, session.out());
  if (options.explain) {
    PrintList("How it came about", answer.working, session.out());
    PrintList("Taken for granted", answer.assumptions, session.out());
    PrintSources(answer, session.out());
  }
  session.out() << std::flush;
  for (const std::string& warning : answer.warnings) session.err() << "note: " << warning << "\n";
  for (const oenology::Caution caution : answer.cautions) {
    session.err() << "caution: " << CautionText(caution);
    if (options.explain) session.err() << " " << CautionMore(caution);
    session.err() << "\n";
  }
}

std::string JsonOfAnswer(const Answer& answer) {
  std::vector<std::string> figures, equations, cautions;
  for (const Figure& figure : answer.figures) {
    JsonObject json;
    json.Text("label", figure.label)
        .Raw("value", oenology::Print(figure.value, figure.decimals))
        .Text("unit", figure.unit);
    if (figure.error > 0) json.Raw("error", oenology::Print(figure.error, figure.decimals));
    figures.push_back(json.Finish());
  }
  for (const Equation* equation : answer.equations) {
    equations.push_back(JsonObject()
                            .Text("id", equation->id)
                            .Text("name", equation->name)
                            .Text("formula", equation->formula)
                            .Text("range", equation->range)
                            .Text("error", equation->error)
                            .Text("source", equation->source)
                            .Text("standing", StandingWords(equation->standing))
                            .Finish());
  }
  for (const oenology::Caution caution : answer.cautions)
    cautions.emplace_back(CautionText(caution));
  return JsonObject()
      .Raw("figures", JsonArray(figures))
      .Raw("working", JsonTexts(answer.working))
      .Raw("assumptions", JsonTexts(answer.assumptions))
      .Raw("warnings", JsonTexts(answer.warnings))
      .Raw("cautions", JsonTexts(cautions))
      .Raw("equations", JsonArray(equations))
      .Finish();
}

}  // namespace rundlet::client
