#ifndef RUNDLET_CLIENT_CELLAR_MOMENT_H_
#define RUNDLET_CLIENT_CELLAR_MOMENT_H_

#include <cstdint>
#include <memory>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"
#include "core/base/uuid.h"

namespace rundlet::client {

// The cellar as it is where an entry is about to be filed: what the vessels hold then, by the ids
// of things (handles differ between folds).
class Moment {
 public:
  // After everything in the book. Stands on the cellar, which must outlive it.
  static Moment Latest(const Cellar& cellar);

  // Before the entry at a position of the cellar's order, with all things known, and without the
  // entry `without` (nil: with all). Reads and folds the journal up to there.
  static absl::StatusOr<Moment> Before(Cellar& cellar, size_t position,
                                       const Uuid& without = Uuid());

  int64_t VolumeOf(const Uuid& vessel) const;
  std::vector<Uuid> VesselsHolding(const Uuid& lot) const;  // by name
  // How many bottles of a run and size a bin has.
  int64_t BottlesIn(const Uuid& bin, const Uuid& bottling, int64_t size_ul) const;

  const Fold& fold() const { return *fold_; }

 private:
  std::unique_ptr<Fold> past_;
  const Fold* fold_ = nullptr;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_MOMENT_H_
