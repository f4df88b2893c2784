#ifndef RUNDLET_CORE_OENOLOGY_RANGE_H_
#define RUNDLET_CORE_OENOLOGY_RANGE_H_

#include <initializer_list>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::oenology {

// Which guesses a refusal may offer. Where more is more dangerous - a limit for breathing, copper -
// nobody shall be led to a larger number than was written.
enum class Guess { kAny, kSmaller };

// Refuses a number outside [low, high], and what is no number: OutOfRange that names the quantity
// and the range ("pH 35 is outside 2.5 to 4.5"), with a guess at what was meant where a slipped
// point explains it ("was 3.5 meant?"). A percentage (a unit that begins with %) below 1 is taken
// for a share first: 0.5 for 50 %. A guess is never the number that was given.
absl::Status CheckRange(absl::string_view name, double value, double low, double high,
                        absl::string_view unit, Guess guess = Guess::kAny);

// The same for a share, 0 to 1, which people write in per cent: the text speaks of per cent.
absl::Status CheckShare(absl::string_view name, double share, double low, double high);

// The first that is not OK, else OK: for several ranges in one go.
absl::Status FirstError(std::initializer_list<absl::Status> all);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_RANGE_H_
