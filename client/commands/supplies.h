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
    std::string entry_id;
    When when;
    std::string what;  // "juice"
    int64_t volume_ul = 0;
    std::string lot;
    std::string supplier, supplier_lot;
  };
  struct Packet {
    std::string name, material, supplier, supplier_lot;
  };
  std::vector<Delivery> deliveries;  // in order of time
  std::vector<Packet> packets;       // by name

  bool empty() const { return deliveries.empty() && packets.empty(); }
};

// Those whose supplier, or supplier's lot, is `word`, in any case of letters. Errors are those of
// the store.
absl::StatusOr<Supplies> FindSupplies(Cellar& cellar, absl::string_view word);

std::string TextOfSupplies(const Supplies& supplies);
std::string JsonOfSupplies(const Supplies& supplies);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_SUPPLIES_H_
