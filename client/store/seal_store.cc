#include "client/store/seal_store.h"

#include "absl/strings/str_cat.h"
#include "client/store/store.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::client {
namespace {

absl::Status Damaged(absl::string_view what) {
  return absl::DataLossError(
      absl::StrCat(what, " is damaged here; fetch it again: rundlet sync --repair"));
}

}  // namespace

absl::Status SealStore::Keep(absl::Span<const v1::Seal> seals) {
  if (seals.empty()) return absl::OkStatus();
  Query insert(db_, "INSERT OR IGNORE INTO seal (last_seq, bytes) VALUES (?, ?)");
  for (const v1::Seal& seal : seals) {
    insert.Bind(static_cast<int64_t>(seal.last_seq())).Bind(seal.SerializeAsString());
    if (absl::Status status = insert.Run(); !status.ok()) return status;
  }
  return absl::OkStatus();
}

absl::Status SealStore::KeepKey(const Uuid& device, uint64_t seq, const std::string& key) {
  if (key.size() != evidence::PublicKey::kSize) return absl::OkStatus();  // no entry of ours
  Query insert(db_,
               "INSERT OR REPLACE INTO device_key (device_id, seq, public_key) VALUES (?, ?, ?)");
  return insert.Bind(device.bytes()).Bind(static_cast<int64_t>(seq)).Bind(key).Run();
}

absl::Status SealStore::Forget() {
  if (absl::Status status = db_.Exec("DELETE FROM seal"); !status.ok()) return status;
  return db_.Exec("DELETE FROM device_key");
}

absl::Status SealStore::ForEachKey(
    absl::FunctionRef<void(const Uuid& device, uint64_t seq, const evidence::PublicKey& key)>
        visit) {
  Query query(db_, "SELECT device_id, seq, public_key FROM device_key");
  while (query.Next()) {
    const auto device = Uuid::FromBytes(query.Bytes(0));
    const auto key = evidence::PublicKey::FromBytes(query.Bytes(2));
    if (!device.ok() || !key.ok()) return Damaged("the key of a device");
    visit(*device, static_cast<uint64_t>(query.Int(1)), *key);
  }
  return query.status();
}

absl::StatusOr<evidence::KeyRing> SealStore::Keys() {
  evidence::KeyRing keys;
  const absl::Status status =
      ForEachKey([&](const Uuid& device, uint64_t seq, const evidence::PublicKey& key) {
        keys.Add(device, seq, key);
      });
  if (!status.ok()) return status;
  return keys;
}

absl::StatusOr<std::vector<v1::Seal>> SealStore::After(uint64_t after) {
  std::vector<v1::Seal> seals;
  Query query(db_, "SELECT last_seq, bytes FROM seal WHERE last_seq > ? ORDER BY last_seq");
  query.Bind(static_cast<int64_t>(after));
  while (query.Next()) {
    v1::Seal seal;
    if (!seal.ParseFromString(query.Bytes(1)) ||
        seal.last_seq() != static_cast<uint64_t>(query.Int(0)))
      return Damaged(absl::StrCat("the signature of place ", query.Int(0), " of the journal"));
    seals.push_back(std::move(seal));
  }
  if (!query.status().ok()) return query.status();
  return seals;
}

absl::StatusOr<evidence::SealedPlace> SealStore::At(uint64_t seq) {
  Query query(db_, absl::StrCat("SELECT ", kEntryColumns, " FROM entry WHERE seq = ?"));
  Sha256 sha;
  if (!query.Bind(static_cast<int64_t>(seq)).Next()) {
    if (!query.status().ok()) return query.status();
    return absl::NotFoundError(absl::StrCat("place ", seq, " of the journal is not here"));
  }
  const StoredEntry stored = ReadStoredEntry(query, sha);
  v1::Entry entry;
  if (!stored.whole || !entry.ParseFromString(stored.bytes))
    return Damaged(absl::StrCat("place ", seq, " of the journal"));
  const auto device = Uuid::FromBytes(entry.device_id());
  if (!device.ok()) return Damaged(absl::StrCat("place ", seq, " of the journal"));
  return evidence::SealedPlace{.hash = stored.hash, .device = *device};
}

}  // namespace rundlet::client
