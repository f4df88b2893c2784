#ifndef RUNDLET_CORE_RULES_WORDS_H_
#define RUNDLET_CORE_RULES_WORDS_H_

#include <string>

#include "absl/strings/string_view.h"
#include "core/rules/limit.h"

// The words of limits in plain English, lower case. A value that is not in the schema is "unknown".
namespace rundlet::rules {

absl::string_view Name(v1::Substance substance);  // "total sulfur dioxide"
absl::string_view Name(v1::Colour colour);        // "rosé"
absl::string_view Name(v1::Style style);
absl::string_view Name(v1::Fruit fruit);
absl::string_view Name(v1::Stage stage);
absl::string_view Name(v1::Scheme scheme);
absl::string_view Name(v1::Mark mark);  // "read-older", as in the lists of sources

// What a person would have to say or measure: "its colour", "its sugar".
absl::string_view Name(Missing missing);

// A figure in its unit, exact: "150 mg/L", "0.24 g/L", "18 meq/L", "1.5 % vol". Empty without a
// unit.
std::string FigureText(int64_t value, v1::Unit unit);

// "white or rosé, under 5 g/L sugar, still"; "any wine" where the scope is empty.
std::string ScopeText(const Scope& scope);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_WORDS_H_
