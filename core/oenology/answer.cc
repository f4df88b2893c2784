#include "core/oenology/answer.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"

namespace rundlet::oenology {
namespace {

template <typename T>
void AddOnce(std::vector<T>& all, const T& one) {
  if (std::find(all.begin(), all.end(), one) == all.end()) all.push_back(one);
}

template <typename T>
void AddAllOnce(std::vector<T>& all, const std::vector<T>& more) {
  for (const T& one : more) AddOnce(all, one);
}

}  // namespace

void Answer::Mind(Caution caution) { AddOnce(cautions, caution); }

void Answer::Rest(const Equation& equation) { AddOnce(equations, &equation); }

void Answer::TakeOver(const Answer& part) {
  working.insert(working.end(), part.working.begin(), part.working.end());
  AddAllOnce(assumptions, part.assumptions);
  AddAllOnce(warnings, part.warnings);
  AddAllOnce(cautions, part.cautions);
  AddAllOnce(equations, part.equations);
}

std::string Print(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  if (std::fabs(value) * scale < 0.5) value = 0;  // no "-0.0"
  return absl::StrFormat("%.*f", decimals, value);
}

std::string PrintFigure(const Figure& figure) {
  const std::string number = Print(figure.value, figure.decimals);
  return figure.unit.empty() ? number : absl::StrCat(number, " ", figure.unit);
}

}  // namespace rundlet::oenology
