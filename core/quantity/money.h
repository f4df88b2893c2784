#ifndef RUNDLET_CORE_QUANTITY_MONEY_H_
#define RUNDLET_CORE_QUANTITY_MONEY_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet {

// Money is kept in hundredths of the cellar's currency, whatever that is.

// Reads "12", "12.5" or "12.50" as cents, also with the cellar's currency behind it; "" is a cellar
// that has none. InvalidArgument says what to write instead: for another currency, which is not
// converted, and for fractions of a cent.
absl::StatusOr<int64_t> ParseMoney(absl::string_view text, absl::string_view currency);

// "12.50 EUR"; without a currency "12.50".
std::string FormatMoney(int64_t cents, absl::string_view currency);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_MONEY_H_
