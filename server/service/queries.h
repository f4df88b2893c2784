#ifndef RUNDLET_SERVER_SERVICE_QUERIES_H_
#define RUNDLET_SERVER_SERVICE_QUERIES_H_

#include "absl/status/status.h"
#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/cellar_service.pb.h"
#include "server/cellar/cellar_cache.h"
#include "server/store/cellar_transaction.h"
#include "server/store/device_store.h"

namespace rundlet::server {

class Authenticator;

// What each reading call answers, from a transaction on the device's cellar. Requests are validated
// before a transaction is begun: see Validate.
struct QueryContext {
  CellarTransaction& transaction;
  CellarCache& cache;
  const Device& device;
  absl::Time now;
  Authenticator& authenticator;                       // to be told what has changed
  const evidence::SigningKey* signing_key = nullptr;  // null: nothing is signed here
};

// What a device is told of itself; a part of two answers.
absl::Status FillDevice(CellarTransaction& transaction, const Device& device,
                        v1::GetDeviceResponse& response);

absl::Status Validate(const v1::GetDeviceRequest& request);
absl::Status Validate(const v1::PullRequest& request);
absl::Status Validate(const v1::GetCheckpointRequest& request);
absl::Status Validate(const v1::GetInclusionRequest& request);
absl::Status Validate(const v1::GetBoardRequest& request);
absl::Status Validate(const v1::ListJournalRequest& request);
absl::Status Validate(const v1::GetTraceRequest& request);
absl::Status Validate(const v1::ListHeldRequest& request);

absl::Status Answer(const QueryContext& context, const v1::GetDeviceRequest& request,
                    v1::GetDeviceResponse& response);
absl::Status Answer(const QueryContext& context, const v1::PullRequest& request,
                    v1::PullResponse& response);
absl::Status Answer(const QueryContext& context, const v1::GetCheckpointRequest& request,
                    v1::GetCheckpointResponse& response);
absl::Status Answer(const QueryContext& context, const v1::GetInclusionRequest& request,
                    v1::GetInclusionResponse& response);
absl::Status Answer(const QueryContext& context, const v1::GetBoardRequest& request,
                    v1::GetBoardResponse& response);
// In fold order. A page token whose entry is not in the journal is a bad one.
absl::Status Answer(const QueryContext& context, const v1::ListJournalRequest& request,
                    v1::ListJournalResponse& response);
absl::Status Answer(const QueryContext& context, const v1::GetTraceRequest& request,
                    v1::GetTraceResponse& response);
// In fold order.
absl::Status Answer(const QueryContext& context, const v1::ListHeldRequest& request,
                    v1::ListHeldResponse& response);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_QUERIES_H_
