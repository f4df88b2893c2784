#ifndef RUNDLET_CLIENT_COMMANDS_SUPPLIES_H_
#define RUNDLET_CLIENT_COMMANDS_SUPPLIES_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// What came from a supplier, or under a supplier's lot, as a recall names it: deliveries of wine,
// juice and fruit with the lot that each became, and packets.
struct Supplies {
  struct Delivery {
    RowId row = kNone;
    std::string entry_id;
    When when;
    std::string what;  // "juice"
    int64_t volume_ul = 0;
    std::string lot;
    std::string supplier, supplier_lot;
  };
  struct Packet {
    Handle thing = kNoHandle;
    std::string name, material, supplier, supplier_lot;
  };
  std::vector<Delivery> deliveries;  // in order of time
  std::vector<Packet> packets;       // by name

  bool empty() const { return deliveries.empty() && packets.empty(); }
};

// Those whose supplier, or supplier's lot, is `word`, in any case of letters. Errors are those of
// the store.
absl::StatusOr<Supplies> FindSupplies(Cellar& cellar, absl::string_view word);

// What a person who traces or recalls something means by a word: a thing by its name, or, where
// none is called so, all that came from such a supplier or under such a code. Several packets may
// bear one code, and a delivery of wine too: then it is those, not the packet that was found first.
struct Meant {
  Handle thing = kNoHandle;  // kNoHandle: the supplies
  Supplies supplies;
};
// NotFound and FailedPrecondition as FindByName says, where no supplies are called so either.
absl::StatusOr<Meant> FindMeant(Cellar& cellar, absl::string_view word);

std::string TextOfSupplies(const Supplies& supplies, size_t width);
std::string JsonOfSupplies(const Supplies& supplies);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_SUPPLIES_H_
