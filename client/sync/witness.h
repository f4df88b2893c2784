#ifndef RUNDLET_CLIENT_SYNC_WITNESS_H_
#define RUNDLET_CLIENT_SYNC_WITNESS_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "client/store/checkpoint_file.h"
#include "client/store/store.h"
#include "client/sync/remote.h"

namespace rundlet::client {

// Holds the server to what it has signed. After every sync it asks for a checkpoint of the journal
// as far as it is here, and compares it with the tree over what was received: a server that rewrote
// its history, lost some of it, or signs other than it sends is found out by the first device that
// has seen something else. (Two whole histories, each for one device, are told apart only when
// people compare the roots that audit prints.)
//
// Nothing of the device's own book depends on it: what is found is said in `alarms`, and the last
// checkpoint that held is kept beside as proof.
class Witness {
 public:
  Witness(Store& store, Remote& remote, int64_t now_us)
      : store_(store), remote_(remote), now_us_(now_us) {}

  // Errors are those of Remote and Store.
  absl::Status Check(std::vector<std::string>& alarms);

 private:
  absl::Status Compare(const Remote::Signed& signed_by_server, uint64_t size,
                       const std::optional<SavedCheckpoint>& saved,
                       std::vector<std::string>& alarms);
  // The tree over places 1 to `size` of the journal, going on from `edge`.
  absl::StatusOr<evidence::Frontier> TreeUpTo(uint64_t size, evidence::Frontier edge);
  // Keeps the checkpoint that was broken, and begins anew with the other.
  absl::Status Replace(const SavedCheckpoint& saved, const SavedCheckpoint& fresh,
                       std::string* kept_as);

  Store& store_;
  Remote& remote_;
  const int64_t now_us_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_WITNESS_H_
