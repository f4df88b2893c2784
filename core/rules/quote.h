#ifndef RUNDLET_CORE_RULES_QUOTE_H_
#define RUNDLET_CORE_RULES_QUOTE_H_

#include <string>

#include "core/rules/limit.h"

// How a limit is told to a person. A limit is never shown without its caveat where it has one.
namespace rundlet::rules {

struct Quote {
  std::string name;    // whose, and for which wine: "EU, red, under 5 g/L sugar, still, of grapes"
  std::string figure;  // "at most 150 mg/L of total sulfur dioxide in the wine"
  std::string condition;  // "on release to the market ..."; may be empty
  std::string citation;   // text and article
  std::string caveat;     // how far to trust it; empty only where the text in force was read and
                          // nothing is in doubt: "from memory: check it before you rely on it"
};

Quote QuoteOf(const Limit& limit);

// All of it in one line: "name: figure; condition (citation; caveat)".
std::string QuoteLine(const Limit& limit);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_QUOTE_H_
