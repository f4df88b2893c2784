#ifndef RUNDLET_CORE_CLOSING_PAST_H_
#define RUNDLET_CORE_CLOSING_PAST_H_

#include <cstdint>
#include <memory>
#include <vector>

#include "absl/container/flat_hash_set.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/fold/fold.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::closing {

// The cellar as it was at a time, by what is known now: a fold of the entries that count and are
// dated before it, and of what is said of the things that those name, whenever it was said. Its
// digest is what a closing keeps.
//
// Left out are voids (what they void does not count), retiring, and entries about keys, invitations
// and closings: none of them changes what a report of the time shows, and all may come later.
//
// Hand in every entry of the book that counts (Row::Standing::kCounts), in any order; then ask.
class Past {
 public:
  explicit Past(int64_t until_us) : until_us_(until_us) {}

  // `early`: it was in the book when the period was closed; only WithEarlyNames asks.
  void Add(const v1::Entry& entry, bool early = true);

  // How many entries are dated before the time.
  size_t entries() const { return entries_; }

  // The cellar then. With what is known of things now; or, of what is said of things, only with
  // what was said early, so that what is said of them since is told apart from what was done.
  std::unique_ptr<Fold> Now() const { return Make(false); }
  std::unique_ptr<Fold> WithEarlyNames() const { return Make(true); }

  // The ids that are named by entries dated before the time, and by what these stand for in turn.
  absl::flat_hash_set<Uuid> Named() const;

 private:
  struct Saying {
    v1::Entry entry;
    bool early = true;
  };

  std::unique_ptr<Fold> Make(bool early_only) const;

  const int64_t until_us_;
  size_t entries_ = 0;
  std::vector<v1::Entry> dated_;
  std::vector<Saying> sayings_;  // of things
  absl::flat_hash_set<Uuid> named_;
};

}  // namespace rundlet::closing

#endif  // RUNDLET_CORE_CLOSING_PAST_H_
