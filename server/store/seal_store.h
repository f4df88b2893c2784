#ifndef RUNDLET_SERVER_STORE_SEAL_STORE_H_
#define RUNDLET_SERVER_STORE_SEAL_STORE_H_

#include <cstdint>
#include <pqxx/pqxx>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "rundlet/v1/seal.pb.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// What the devices of a transaction's cellar signed: all SQL about it is here. Errors are as Guard
// maps them; DataLoss: a row holds no seal.
class SealStore {
 public:
  static void Prepare(Statements& statements);

  explicit SealStore(CellarTransaction& transaction) : tx_(transaction) {}

  absl::Status Append(absl::Span<const v1::Seal> seals);

  // Those whose last place lies after `after` and not after `upto`, in their order: at most
  // `max_bytes` of them together, but at least one if there is one. `upto` becomes the last place
  // up to which there are no others.
  absl::StatusOr<std::vector<v1::Seal>> Read(uint64_t after, uint64_t* upto, int64_t max_bytes);

 private:
  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_SEAL_STORE_H_
