#include "client/sync/seals.h"

#include "absl/strings/str_cat.h"
#include "client/store/seal_store.h"
#include "core/evidence/seal_check.h"

namespace rundlet::client {
namespace {

constexpr char kWhatThen[] =
    ". Whoever runs the server, or somebody on the way, may have made them up. Tell the others, "
    "and look with: rundlet audit";

}  // namespace

absl::Status CheckSeals(Store& store, std::vector<std::string>& alarms) {
  const auto checked = store.Get(MetaKey::kSealedUpTo);
  if (!checked.ok()) return checked.status();
  const auto last = store.Get(MetaKey::kLastSeq);
  if (!last.ok()) return last.status();
  SealStore kept(store.db());
  const auto keys = kept.Keys();
  if (!keys.ok()) return keys.status();
  const auto seals = kept.After(static_cast<uint64_t>(*checked));
  if (!seals.ok()) return seals.status();
  // A journal in which no device has said a key is of a time before there were any.
  if (keys->devices() == 0 && seals->empty()) return absl::OkStatus();

  auto before = static_cast<uint64_t>(*checked);
  const uint64_t begun_at = before;
  for (const v1::Seal& seal : *seals) {
    const auto first = evidence::CheckSeal(seal, store.device().cellar_id, before, *keys,
                                           [&](uint64_t seq) { return kept.At(seq); });
    if (absl::IsFailedPrecondition(first.status())) {
      alarms.push_back(absl::StrCat(first.status().message(), kWhatThen));
      break;
    }
    if (!first.ok()) return first.status();
    // At the beginning there may be entries from before any device had said a key.
    if (*first != before + 1 && !(before == 0 && keys->first_place() >= *first)) {
      alarms.push_back(absl::StrCat("places ", before + 1, " to ", *first - 1,
                                    " of the journal bear nobody's signature", kWhatThen));
      break;
    }
    before = seal.last_seq();
  }
  if (before < static_cast<uint64_t>(*last) && alarms.empty())
    alarms.push_back(absl::StrCat("places ", before + 1, " to ", *last,
                                  " of the journal bear nobody's signature", kWhatThen));
  if (before == begun_at) return absl::OkStatus();
  return store.Set(MetaKey::kSealedUpTo, static_cast<int64_t>(before));
}

}  // namespace rundlet::client
