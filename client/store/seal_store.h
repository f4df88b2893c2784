#ifndef RUNDLET_CLIENT_STORE_SEAL_STORE_H_
#define RUNDLET_CLIENT_STORE_SEAL_STORE_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "client/store/db.h"
#include "core/evidence/key_ring.h"
#include "core/evidence/seal_check.h"
#include "rundlet/v1/seal.pb.h"

namespace rundlet::client {

// Who signed what, as the journal and the server say. Whether it holds is for core/evidence to
// find out. Errors are those of Db; DataLoss: what is kept is damaged, and `rundlet sync --repair`
// fetches it again.
class SealStore {
 public:
  explicit SealStore(Db& db) : db_(db) {}

  absl::Status Keep(absl::Span<const v1::Seal> seals);
  // The entry at a place says by which key its device signs.
  absl::Status KeepKey(const Uuid& device, uint64_t seq, const std::string& key);
  // The journal is fetched again.
  absl::Status Forget();

  absl::StatusOr<evidence::KeyRing> Keys();
  absl::Status ForEachKey(
      absl::FunctionRef<void(const Uuid& device, uint64_t seq, const evidence::PublicKey& key)>
          visit);
  // Those whose last place lies after `after`, in their order.
  absl::StatusOr<std::vector<v1::Seal>> After(uint64_t after);

  // What stands at a place, read from its bytes. NotFound; DataLoss where they are not whole.
  absl::StatusOr<evidence::SealedPlace> At(uint64_t seq);

 private:
  Db& db_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_SEAL_STORE_H_
