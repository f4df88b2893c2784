// Makes a store of a device with the history of an invented club in it, for timing the client: all
// of it written there and never handed in; or, with "pulled", all of it another device's, signed in
// pushes of twenty, taken in by a server and fetched from there.
//
// Usage: fill_store DIRECTORY ENTRIES [pulled]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "client/base/file.h"
#include "client/store/checkpoint_file.h"
#include "client/store/store.h"
#include "client/store/sync_store.h"
#include "core/evidence/seal.h"
#include "tests/bench/club_history.h"

namespace rundlet::client {
namespace {

constexpr size_t kPush = 20;
constexpr size_t kPage = 5'000;

Device DeviceNamed(absl::string_view name) {
  return {.cellar_id = testing::IdOf("cellar"),
          .member_id = testing::IdOf("member"),
          .device_id = testing::IdOf(name),
          .cellar_name = "Thistledown Wine Circle",
          .member_name = "Isolde Thornbury",
          .device_name = std::string(name),
          .role = "master",
          .server = "127.0.0.1:1"};
}

// As after many commits: no long log waits to be read at each start.
absl::Status CutLog(Store& store) { return store.db().Exec("PRAGMA wal_checkpoint(TRUNCATE)"); }

absl::Status Fill(const std::string& directory, size_t entries) {
  const Device device = DeviceNamed("device");
  auto store = Store::Create(StoreHome(directory), device, 0);
  if (!store.ok()) return store.status();
  testing::TestDevice writer("bench", device.writer());
  const std::vector<WrittenEntry> history = bench::ClubHistory(writer, entries);
  if (absl::Status status = store->Append(history, ChainHead()); !status.ok()) return status;
  return CutLog(*store);
}

// What a device signs of entries that stand at places `first` + 1 and on.
absl::StatusOr<v1::Seal> SealOf(const Device& device, const evidence::SigningKey& key,
                                absl::Span<const WrittenEntry> entries, uint64_t first) {
  std::vector<Hash> leaves;
  for (const WrittenEntry& entry : entries) leaves.push_back(entry.hash);
  auto signature =
      evidence::SignSeal(evidence::SealOf(device.cellar_id, device.device_id, leaves), key);
  if (!signature.ok()) return signature.status();
  v1::Seal seal;
  seal.set_last_seq(first + entries.size());
  seal.set_device_id(device.device_id.ToBytes());
  v1::SealRun& run = *seal.add_parts()->mutable_run();
  run.set_first_seq(first + 1);
  run.set_count(entries.size());
  seal.set_signature(*std::move(signature));
  return seal;
}

absl::Status FillPulled(const std::string& directory, size_t count) {
  const Device other = DeviceNamed("other device");
  const auto key = evidence::SigningKey::FromSeed(std::string(32, 'k'));
  auto store = Store::Create(StoreHome(directory), DeviceNamed("device"), 0);
  if (!key.ok() || !store.ok()) return key.ok() ? store.status() : key.status();
  testing::TestDevice writer("bench", other.writer());
  v1::Entry says_key;
  says_key.mutable_device_enrolled()->set_public_key(std::string(key->public_key().bytes()));
  says_key.mutable_device_enrolled()->set_device_name(other.device_name);
  std::vector<WrittenEntry> history = {writer.Write(std::move(says_key))};
  for (WrittenEntry& entry : bench::ClubHistory(writer, count - 1))
    history.push_back(std::move(entry));

  SyncStore sync(*store);
  evidence::Frontier tree;
  for (size_t begin = 0; begin < history.size(); begin += kPage) {
    std::vector<PulledRow> rows;
    std::vector<v1::Seal> seals;
    for (size_t i = begin; i < std::min(begin + kPage, history.size()); ++i) {
      rows.push_back({.seq = i + 1, .bytes = history[i].bytes, .received_at_us = 1});
      tree.Append(history[i].hash);
      if (i % kPush != 0) continue;
      auto seal = SealOf(other, *key, absl::MakeConstSpan(history).subspan(i, kPush), i);
      if (!seal.ok()) return seal.status();
      // The page that has its last place brings it.
      seals.push_back(*std::move(seal));
    }
    if (const auto taken = sync.TakePage(rows, history.size(), seals); !taken.ok())
      return taken.status();
  }
  const auto note = evidence::SignCheckpoint(
      {.cellar_id = other.cellar_id, .size = tree.size(), .root = tree.Root()}, *key);
  if (!note.ok()) return note.status();
  const SavedCheckpoint saved{.key = key->public_key(), .edge = tree, .note = *note};
  if (absl::Status s = WritePrivateFile(store->home().checkpoint(), saved.ToText()); !s.ok())
    return s;
  return CutLog(*store);
}

}  // namespace
}  // namespace rundlet::client

int main(int argc, char** argv) {
  const bool pulled = argc == 4 && std::string(argv[3]) == "pulled";
  if (argc != 3 && !pulled) {
    std::fputs("usage: fill_store DIRECTORY ENTRIES [pulled]\n", stderr);
    return 2;
  }
  const size_t entries = std::strtoul(argv[2], nullptr, 10);
  const absl::Status status = pulled ? rundlet::client::FillPulled(argv[1], entries)
                                     : rundlet::client::Fill(argv[1], entries);
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
