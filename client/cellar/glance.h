#ifndef RUNDLET_CLIENT_CELLAR_GLANCE_H_
#define RUNDLET_CLIENT_CELLAR_GLANCE_H_

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "core/fold/fold.h"

namespace rundlet::client {

// What is where, copied out of a fold so that it can be compared with a later one: the vessels'
// content and make-up, the bottles in bins, the stock, and which entries are held.
class Glance {
 public:
  static Glance Of(const Fold& fold);

  // One place whose content differs.
  struct Difference {
    std::string place;   // "C1"
    std::string before;  // "20 L Orchard White 26"
    std::string after;   // "empty"
    Handle vessel = kNoHandle;
    bool more = false;  // a vessel that holds more than before
  };
  // Vessels by name, then bins, then stock. Texts by the names that `fold` knows, which is the
  // later one.
  std::vector<Difference> DifferencesTo(const Glance& after, const Fold& fold) const;

  // Entries held in the other and not in this one.
  std::vector<RowId> NewlyHeldIn(const Glance& after) const;

 private:
  // A parcel by the entry that made it: numbers change when the past does.
  using ParcelKey = std::pair<RowId, uint32_t>;
  struct Content {
    int64_t volume_ul = 0;
    Handle lot = kNoHandle;
    std::map<ParcelKey, int64_t> origins;
    std::map<Commodity, int64_t> doses;
    friend bool operator==(const Content&, const Content&) = default;
  };

  static std::string Say(const Content& content, const Fold& fold);
  static void Compare(const Content& before, const Content& after, const Fold& fold,
                      Difference& difference);
  void CompareBalances(const Glance& after, const Fold& fold,
                       std::vector<Difference>& differences) const;

  absl::flat_hash_map<Handle, Content> vessels_;
  absl::flat_hash_map<std::pair<Place, Commodity>, int64_t> balances_;
  std::vector<RowId> held_;  // sorted
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_GLANCE_H_
