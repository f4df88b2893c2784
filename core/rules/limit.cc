#include "core/rules/limit.h"

#include <algorithm>

namespace rundlet::rules {
namespace {

// Narrows `fit` by one trait: a class without the trait is for all wines.
template <typename T>
void Narrow(const std::vector<T>& wanted, const std::optional<T>& known, Missing trait, Fit& fit) {
  if (wanted.empty()) return;
  if (!known.has_value()) {
    fit.missing.push_back(trait);
  } else if (std::find(wanted.begin(), wanted.end(), *known) == wanted.end()) {
    fit.possible = false;
  }
}

bool Below(const SugarBorder& from, int64_t sugar_ug_l) {
  return from.itself ? sugar_ug_l < from.sugar_ug_l : sugar_ug_l <= from.sugar_ug_l;
}

bool Above(const SugarBorder& to, int64_t sugar_ug_l) {
  return to.itself ? sugar_ug_l > to.sugar_ug_l : sugar_ug_l >= to.sugar_ug_l;
}

void NarrowBySugar(const Scope& scope, const std::optional<int64_t>& sugar_ug_l, Fit& fit) {
  if (!scope.sugar_from.has_value() && !scope.sugar_to.has_value()) return;
  if (!sugar_ug_l.has_value()) {
    fit.missing.push_back(Missing::kSugar);
  } else if ((scope.sugar_from.has_value() && Below(*scope.sugar_from, *sugar_ug_l)) ||
             (scope.sugar_to.has_value() && Above(*scope.sugar_to, *sugar_ug_l))) {
    fit.possible = false;
  }
}

}  // namespace

bool Crosses(const Limit& limit, int64_t value) {
  switch (limit.kind) {
    case v1::KIND_CEILING:
      return limit.value_excluded ? value >= limit.value : value > limit.value;
    case v1::KIND_FLOOR:
      return limit.value_excluded ? value <= limit.value : value < limit.value;
    case v1::KIND_STATEMENT:
      return limit.value_excluded ? value > limit.value : value >= limit.value;
    case v1::KIND_FORBIDDEN:
      return value > 0;
    default:
      return false;
  }
}

Fit FitOf(const Scope& scope, const WineClass& wine) {
  Fit fit{.possible = true, .missing = {}};
  Narrow(scope.colours, wine.colour, Missing::kColour, fit);
  NarrowBySugar(scope, wine.sugar_ug_l, fit);
  Narrow(scope.styles, wine.style, Missing::kStyle, fit);
  Narrow(scope.fruits, wine.fruit, Missing::kFruit, fit);
  Narrow(scope.stages, wine.stage, Missing::kStage, fit);
  Narrow(scope.schemes, wine.scheme, Missing::kScheme, fit);
  if (scope.special.has_value() && std::find(wine.special.begin(), wine.special.end(),
                                             scope.special->id) == wine.special.end()) {
    fit.missing.push_back(Missing::kSpecialClass);
  }
  if (!fit.possible) fit.missing.clear();
  return fit;
}

}  // namespace rundlet::rules
