#ifndef RUNDLET_CORE_OENOLOGY_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWER_H_

#include <string>
#include <utility>
#include <vector>

#include "absl/strings/string_view.h"
#include "core/oenology/caution.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// One figure of an answer.
struct Figure {
  std::string label;  // "alcohol, by extract"
  double value = 0;
  int decimals = 1;  // that the figure deserves
  std::string unit;  // "% vol", "g/L", "mg/L", "g"
  double error = 0;  // to expect either way, in the same unit; 0: no source states one
};

// A number and how it came about, ready to be shown as text or JSON. Plain data.
struct Answer {
  std::vector<Figure> figures;             // what was asked for first
  std::vector<std::string> working;        // a step a line, with the numbers put in
  std::vector<std::string> assumptions;    // what was taken for granted
  std::vector<std::string> warnings;       // extrapolated, clamped, unusual
  std::vector<Caution> cautions;           // what can hurt
  std::vector<const Equation*> equations;  // what it rests on

  void Add(absl::string_view label, double value, int decimals, absl::string_view unit,
           double error = 0) {
    figures.push_back({std::string(label), value, decimals, std::string(unit), error});
  }
  void Step(std::string text) { working.push_back(std::move(text)); }
  void Assume(std::string text) { assumptions.push_back(std::move(text)); }
  void Warn(std::string text) { warnings.push_back(std::move(text)); }
  void Mind(Caution caution);           // once each
  void Rest(const Equation& equation);  // once each
  void TakeOver(const Answer& part);    // all of a part's but its figures
};

// "13.7 % vol", "0.9962", "-0.3 g/L": rounded to the decimals, never "-0.0".
std::string PrintFigure(const Figure& figure);
// A plain number with that many decimals, for lines of working.
std::string Print(double value, int decimals);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWER_H_
