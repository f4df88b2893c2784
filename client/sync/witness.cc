#include "client/sync/witness.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

using evidence::Checkpoint;
using evidence::Frontier;

// Whether the server simply has no checkpoints to give: an older one, or one without a key.
bool HasNone(const absl::Status& status) {
  return absl::IsUnimplemented(status) || absl::IsFailedPrecondition(status);
}

}  // namespace

absl::StatusOr<Frontier> Witness::TreeUpTo(uint64_t size, Frontier edge) {
  Query query(store_.db(), "SELECT seq, hash FROM entry WHERE seq > ? AND seq <= ? ORDER BY seq");
  query.Bind(static_cast<int64_t>(edge.size())).Bind(static_cast<int64_t>(size));
  while (query.Next()) {
    if (static_cast<uint64_t>(query.Int(0)) != edge.size() + 1) break;
    const std::string bytes = query.Bytes(1);
    Hash hash;
    std::copy(bytes.begin(), bytes.end(), hash.begin());
    edge.Append(hash);
  }
  if (!query.status().ok()) return query.status();
  if (edge.size() == size) return edge;
  return absl::DataLossError(absl::StrCat("place ", edge.size() + 1,
                                          " of the journal is not here: rundlet sync --repair"));
}

absl::Status Witness::Replace(const SavedCheckpoint& saved, const SavedCheckpoint& fresh,
                              std::string* kept_as) {
  *kept_as = absl::StrCat(store_.home().checkpoint(), ".broken-", now_us_ / 1'000'000);
  if (absl::Status status = WritePrivateFile(*kept_as, saved.ToText()); !status.ok()) return status;
  return WritePrivateFile(store_.home().checkpoint(), fresh.ToText());
}

absl::Status Witness::Compare(const Remote::Signed& signed_by_server, uint64_t size,
                              const std::optional<SavedCheckpoint>& saved,
                              std::vector<std::string>& alarms) {
  const auto key = evidence::ReadKey(signed_by_server.key);
  if (!key.ok()) return key.status();
  if (saved.has_value() && saved->key != *key) {
    alarms.push_back(absl::StrCat(
        "the server signs with another key than before: is it the same server? Where its keeper "
        "says that the key was replaced, move ",
        store_.home().checkpoint(), " away and sync again"));
    return absl::OkStatus();
  }
  const auto checkpoint = evidence::OpenCheckpoint(signed_by_server.note, *key);
  if (!checkpoint.ok() || checkpoint->size != size ||
      checkpoint->cellar_id != store_.device().cellar_id) {
    alarms.push_back(
        "the server gave a checkpoint that is not one of this journal: tell who keeps it");
    return absl::OkStatus();
  }
  SavedCheckpoint fresh{.key = *key, .note = signed_by_server.note};
  if (saved.has_value() && saved->edge.size() <= size) {
    auto grown = TreeUpTo(size, saved->edge);
    if (!grown.ok()) return grown.status();
    fresh.edge = *std::move(grown);
    if (fresh.edge.Root() == checkpoint->root)
      return WritePrivateFile(store_.home().checkpoint(), fresh.ToText());
  }
  // Not what grew out of what was signed before. Is it at least what was sent?
  auto sent = TreeUpTo(size, Frontier());
  if (!sent.ok()) return sent.status();
  fresh.edge = *std::move(sent);
  if (fresh.edge.Root() != checkpoint->root) {
    alarms.push_back(absl::StrCat(
        "the server signs another journal than the one that it sent here (", size,
        " entries): it shows different histories. Do not rely on it; tell who keeps it, and look "
        "with: rundlet audit"));
    return absl::OkStatus();
  }
  if (!saved.has_value()) return WritePrivateFile(store_.home().checkpoint(), fresh.ToText());
  std::string kept_as;
  if (absl::Status status = Replace(*saved, fresh, &kept_as); !status.ok()) return status;
  alarms.push_back(absl::StrCat(
      "the server's journal does not begin any more with the ", saved->edge.size(),
      " entries that it had signed: it was restored from a backup, or changed. What it signed then "
      "is kept as proof in ",
      kept_as));
  return absl::OkStatus();
}

absl::Status Witness::Check(std::vector<std::string>& alarms) {
  const auto saved = ReadSavedCheckpoint(store_.home());
  if (!saved.ok()) return saved.status();
  const auto last = store_.Get(MetaKey::kLastSeq);
  if (!last.ok()) return last.status();
  const auto size = static_cast<uint64_t>(*last);
  if (size == 0) return absl::OkStatus();
  const auto got = remote_.GetCheckpoint(size);
  if (HasNone(got.status())) {
    if (saved->has_value())
      alarms.push_back("the server gives no signed checkpoints any more, and did before");
    return absl::OkStatus();
  }
  if (!got.ok()) return got.status();
  return Compare(*got, size, *saved, alarms);
}

}  // namespace rundlet::client
