#ifndef RUNDLET_CORE_RULES_JUDGE_AMOUNT_H_
#define RUNDLET_CORE_RULES_JUDGE_AMOUNT_H_

#include <optional>
#include <string>
#include <vector>

#include "core/rules/judge.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"

// How much of a substance is in a wine, as limits of law count it. Only for the files of judges.
namespace rundlet::rules {

// How much, in the unit of the limit that asks, and how that is known.
struct Amount {
  int64_t value = 0;
  v1::Unit unit = v1::UNIT_UNSPECIFIED;
  RowId entry = kNone;  // the cause
  std::string how;      // "added in all"
};

// By the latest reading of a kind, in micrograms a litre. Nothing where there is none, or sulfite
// was added after one of sulfur dioxide.
std::optional<Amount> Measured(const Case& c, rundlet::v1::ReadingKind kind);

// What was added, as the limit counts it: by mass, by volume, or by the alcohol that sugar gives.
// Nothing where none of it was added, or where the limit counts otherwise.
std::optional<Amount> AddedFor(const Case& c, const Limit& limit);

// By mass, in micrograms a litre.
std::optional<Amount> AddedByMass(const Case& c, absl::Span<const v1::Substance> substances,
                                  absl::string_view counted_as);

// Whether the law has a name for something among the doses of the wine.
bool AnyDoseOf(const Case& c, v1::Substance substance);

// "201 mg/L", rounded up so that what is past a figure never looks like it.
std::string AmountText(const Amount& amount);

// Whose limit it is, its figure and its condition; what it is to a wine that is not for sale.
std::string LimitWords(const Case& c, const Quote& quote);

// Writes a finding about a limit down: the rule's, with the limit's id and source. Of a wine that
// is not for sale it is a note.
Finding& AddLegal(const Case& c, const Limit& limit, RowId entry, Filled filled);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_JUDGE_AMOUNT_H_
