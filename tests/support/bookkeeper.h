#ifndef RUNDLET_TESTS_SUPPORT_BOOKKEEPER_H_
#define RUNDLET_TESTS_SUPPORT_BOOKKEEPER_H_

#include <cstdint>
#include <map>
#include <string>
#include <tuple>

#include "absl/status/status.h"
#include "core/fold/fold.h"

namespace rundlet::testing {

// A second set of books, kept from the movements alone and in the plainest way, to check the ones
// that the fold keeps.
class Bookkeeper {
 public:
  // Replays the movements of every entry. Internal, with a text that names entry and place, where
  // one is not above zero, ends nowhere, or leaves less than nothing behind after its entry.
  absl::Status Replay(const Fold& fold);

  // Whether the balance of every vessel, bin and of the stock is what the movements make of it.
  absl::Status Compare(const Fold& fold) const;

 private:
  using Key = std::tuple<Place::Kind, Handle, Commodity>;

  absl::Status Post(const Fold& fold, const Movement& movement);

  // Wide, as nothing bounds what has ever come out of the world outside.
  std::map<Key, __int128> balances_;
};

// Both, and what must hold of the state by itself: the origins of every holding and parcel add up
// to its volume; no amount of a share is zero or less; lists are sorted; an entry that is held
// moves nothing; every row is named by its own movements, parcels and facts.
absl::Status AuditFold(const Fold& fold);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_BOOKKEEPER_H_
