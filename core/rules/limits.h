#ifndef RUNDLET_CORE_RULES_LIMITS_H_
#define RUNDLET_CORE_RULES_LIMITS_H_

#include <string>
#include <vector>

#include "absl/types/span.h"
#include "core/rules/limit.h"

// The legal limits that this program knows: the files of core/rules/limits, built in, read at first
// use.
//
// They are what texts say, with how well each was seen (Source::mark); quote.h says how to tell a
// person. A limit is a ceiling and not a dose, and none of this is advice: who shows one adds that
// the authority has the last word. That nothing is listed for a substance is not leave to use it.
//
// All functions are safe to call from any thread; what they point to lives as long as the program.
namespace rundlet::rules {

// All of them, file by file, in the order of the files. Ids are unique.
absl::Span<const Limit> AllLimits();

// The codes of the jurisdictions that there are limits for, in the order of AllLimits().
absl::Span<const std::string> KnownJurisdictions();

struct PossibleLimit {
  const Limit* limit = nullptr;
  std::vector<Missing> missing;  // what would settle whether it applies; never empty
};

struct LimitsFound {
  // These are for this wine. One that another of them takes the place of is left out.
  std::vector<const Limit*> applying;
  // These are for it or not, as what is missing may show. One that would take the place of an
  // applying limit stands here beside it until that is known.
  std::vector<PossibleLimit> possible;
  // Codes asked for under which nothing at all is known of this substance.
  std::vector<std::string> silent;
};

// What the jurisdictions say of a substance (any basis and kind: sums of doses, readings,
// statements) for a wine. In the order of AllLimits(); a code given twice, or one that is not
// known, does no harm.
LimitsFound LimitsFor(absl::Span<const std::string> jurisdictions, v1::Substance substance,
                      const WineClass& wine);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LIMITS_H_
