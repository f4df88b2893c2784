#include "server/service/queries.h"

#include <algorithm>

#include "core/evidence/checkpoint.h"
#include "core/lineage/trace.h"
#include "core/view/board.h"
#include "server/cellar/limits.h"
#include "server/cellar/proofs.h"
#include "server/errors.h"
#include "server/service/read_entries.h"
#include "server/store/journal_store.h"
#include "server/store/seal_store.h"

namespace rundlet::server {
namespace {

// A tree that lacks tiles is one that is still to be grown; the journal itself is whole.
absl::Status OfTree(const absl::Status& status) {
  return absl::IsDataLoss(status) ? MakeError(Error::kNoTree) : status;
}

// Id bytes of a request as a thing that the cellar has heard of.
absl::StatusOr<Handle> FindThing(const Fold& fold, const std::string& id_bytes) {
  const absl::StatusOr<Uuid> id = Uuid::FromBytes(id_bytes);
  if (!id.ok()) return MakeError(Error::kBadSubject);
  const Handle handle = fold.interner().Find(*id);
  if (handle == kNoHandle) return MakeError(Error::kUnknownThing, id->ToString());
  return handle;
}

}  // namespace

absl::Status Validate(const v1::GetDeviceRequest&) { return absl::OkStatus(); }

absl::Status Validate(const v1::PullRequest& request) {
  return request.page_size() < 0 ? MakeError(Error::kBadPageSize) : absl::OkStatus();
}

absl::Status Validate(const v1::GetCheckpointRequest& request) {
  return request.size() != 0 && request.old_size() > request.size() ? MakeError(Error::kBadTreeSize)
                                                                    : absl::OkStatus();
}

absl::Status Validate(const v1::GetInclusionRequest& request) {
  return Uuid::FromBytes(request.entry_id()).ok() ? absl::OkStatus()
                                                  : MakeError(Error::kBadSubject);
}

absl::Status Validate(const v1::GetBoardRequest&) { return absl::OkStatus(); }

absl::Status Validate(const v1::GetTraceRequest& request) {
  if (!Uuid::FromBytes(request.subject_id()).ok()) return MakeError(Error::kBadSubject);
  if (request.direction() != v1::TRACE_DIRECTION_BACK &&
      request.direction() != v1::TRACE_DIRECTION_FORWARD) {
    return MakeError(Error::kBadDirection);
  }
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::GetDeviceRequest&,
                    v1::GetDeviceResponse& response) {
  // As it is now: what was believed of it a moment ago may be before it changed its key.
  const absl::StatusOr<Device> device =
      DeviceStore(context.transaction).Find(context.device.device_id);
  if (!device.ok()) return device.status();
  return FillDevice(context.transaction, *device, response);
}

absl::Status FillDevice(CellarTransaction& transaction, const Device& device,
                        v1::GetDeviceResponse& response) {
  const absl::StatusOr<uint64_t> last = JournalStore(transaction).LastDeviceSeq(device.device_id);
  if (!last.ok()) return last.status();
  response.set_cellar_id(device.cellar_id.ToBytes());
  response.set_cellar_name(device.cellar_name);
  response.set_device_id(device.device_id.ToBytes());
  response.set_device_name(device.device_name);
  response.set_member_id(device.member_id.ToBytes());
  response.set_member_name(device.member_name);
  response.set_role(std::string(RoleName(device.role)));
  response.set_last_device_seq(*last);
  if (device.public_key.has_value())
    response.set_public_key(std::string(device.public_key->bytes()));
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::PullRequest& request,
                    v1::PullResponse& response) {
  JournalStore journal(context.transaction);
  // The head first: rows that come in after it are a later page's.
  const absl::StatusOr<uint64_t> size = journal.ReadHead();
  if (!size.ok()) return size.status();
  response.set_journal_size(*size);
  if (request.after_seq() >= *size) return absl::OkStatus();
  const int wanted = request.page_size() == 0 ? kDefaultPullPage : request.page_size();
  absl::StatusOr<std::vector<JournalRecord>> records =
      journal.Read(request.after_seq(), std::min(wanted, kMaxPullPage), kMaxPullBytes);
  if (!records.ok()) return records.status();
  for (JournalRecord& record : *records) {
    if (record.seq > *size) break;
    v1::JournalRow* row = response.add_rows();
    row->set_seq(record.seq);
    row->set_entry(std::move(record.bytes));
    row->set_received_at_us(record.received_at_us);
  }
  if (response.rows().empty()) return absl::OkStatus();
  // Where the seals fill the page, the rows whose seals are not in it are the next page's.
  uint64_t last = response.rows().rbegin()->seq();
  absl::StatusOr<std::vector<v1::Seal>> seals =
      SealStore(context.transaction).Read(request.after_seq(), &last, kMaxPullSealBytes);
  if (!seals.ok()) return seals.status();
  while (response.rows().rbegin()->seq() > last) response.mutable_rows()->RemoveLast();
  for (v1::Seal& seal : *seals) *response.add_seals() = std::move(seal);
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::GetCheckpointRequest& request,
                    v1::GetCheckpointResponse& response) {
  if (context.signing_key == nullptr) return MakeError(Error::kNoSigningKey);
  const absl::StatusOr<uint64_t> journal_size = JournalStore(context.transaction).ReadHead();
  if (!journal_size.ok()) return journal_size.status();
  const uint64_t size = request.size() == 0 ? *journal_size : request.size();
  if (size > *journal_size || request.old_size() > size) return MakeError(Error::kBadTreeSize);
  const absl::StatusOr<Hash> root = ReadRoot(context.transaction, size, *journal_size);
  if (!root.ok()) return OfTree(root.status());
  const auto note = evidence::SignCheckpoint(
      {.cellar_id = context.device.cellar_id, .size = size, .root = *root}, *context.signing_key);
  if (!note.ok()) return note.status();
  response.set_note(*note);
  response.set_key(evidence::PrintKey(context.signing_key->public_key()));
  const auto proof =
      ReadConsistencyProof(context.transaction, request.old_size(), size, *journal_size);
  if (!proof.ok()) return OfTree(proof.status());
  for (const Hash& hash : *proof) response.add_consistency(std::string(HashBytes(hash)));
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::GetInclusionRequest& request,
                    v1::GetInclusionResponse& response) {
  JournalStore journal(context.transaction);
  const absl::StatusOr<uint64_t> journal_size = journal.ReadHead();
  if (!journal_size.ok()) return journal_size.status();
  const uint64_t size = request.tree_size() == 0 ? *journal_size : request.tree_size();
  if (size > *journal_size) return MakeError(Error::kBadTreeSize);
  const absl::StatusOr<uint64_t> seq = journal.SeqOf(*Uuid::FromBytes(request.entry_id()));
  if (absl::IsNotFound(seq.status()) || (seq.ok() && *seq > size))
    return MakeError(Error::kUnknownEntry);
  if (!seq.ok()) return seq.status();
  const auto proof = ReadInclusionProof(context.transaction, *seq - 1, size, *journal_size);
  if (!proof.ok()) return OfTree(proof.status());
  response.set_seq(*seq);
  response.set_tree_size(size);
  for (const Hash& hash : *proof) response.add_proof(std::string(HashBytes(hash)));
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::GetBoardRequest&,
                    v1::GetBoardResponse& response) {
  const absl::Status status =
      ReadCellar(context.transaction, context.cache, [&](const LoadedCellar& cellar) {
        *response.mutable_board() = MakeBoard(cellar.fold(), {});
        return absl::OkStatus();
      });
  if (response.board().cellar_name().empty()) {
    response.mutable_board()->set_cellar_name(context.device.cellar_name);
  }
  return status;
}

absl::Status Answer(const QueryContext& context, const v1::GetTraceRequest& request,
                    v1::GetTraceResponse& response) {
  return ReadCellar(
      context.transaction, context.cache, [&](const LoadedCellar& cellar) -> absl::Status {
        const absl::StatusOr<Handle> thing = FindThing(cellar.fold(), request.subject_id());
        if (!thing.ok()) return thing.status();
        absl::StatusOr<v1::Trace> trace =
            MakeTrace(cellar.fold(), *thing, request.direction(), [&](const Uuid& entry_id) {
              return ReadEntryOf(context.transaction, cellar.fold(), entry_id);
            });
        if (absl::IsFailedPrecondition(trace.status())) {
          return MakeError(Error::kNothingToTrace, trace.status().message());
        }
        if (absl::IsInvalidArgument(trace.status())) {
          return MakeError(Error::kCannotTrace, trace.status().message());
        }
        if (!trace.ok()) return trace.status();
        *response.mutable_trace() = *std::move(trace);
        return absl::OkStatus();
      });
}

}  // namespace rundlet::server
