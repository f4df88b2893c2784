// What it costs that the journal is evidence: what signing, checking, keeping the signature and
// growing the tree take of a push; and a proof of inclusion out of a tree over a million entries.
//
// Usage: evidence_bench [ENTRIES [LEAVES]]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "core/entry/entry.h"
#include "core/evidence/seal.h"
#include "core/evidence/tiles.h"
#include "server/cellar/proofs.h"
#include "server/cellar/signed_push.h"
#include "server/store/seal_store.h"
#include "server/store/tree_store.h"
#include "server/testing/bench_database.h"
#include "server/testing/cellar_test.h"
#include "server/testing/test_device.h"
#include "tests/bench/club_history.h"

namespace rundlet::server {
namespace {

constexpr size_t kPush = 1'000;

class Stopwatch {
 public:
  void Start() { start_ = absl::Now(); }
  void Stop() { total_ += absl::Now() - start_; }
  double seconds() const { return absl::ToDoubleSeconds(total_); }

 private:
  absl::Time start_;
  absl::Duration total_;
};

template <typename T>
T OrDie(absl::StatusOr<T> result) {
  if (result.ok()) return *std::move(result);
  std::fprintf(stderr, "error: %s\n", result.status().ToString().c_str());
  std::exit(1);
}

void OrDie(const absl::Status& status) {
  if (status.ok()) return;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  std::exit(1);
}

// Pushes everything in a cellar of its own, and does beside it, once more and on its own clock,
// what the signature and the tree ask for: so both are measured on the same entries, in the same
// minute, on the same database.
void ShareOfPush(const std::string& database, Admin& admin, size_t entry_count, int round) {
  const NewDevice made = OrDie(MakeTestCellar(admin, absl::StrCat("Circle ", round)));
  const NewDevice beside = OrDie(MakeTestCellar(admin, absl::StrCat("Beside ", round)));
  testing::TestDevice device("phone", {.cellar_id = made.device.cellar_id,
                                       .member_id = made.device.member_id,
                                       .device_id = made.device.device_id});
  const std::vector<std::string> entries = BytesOf(bench::ClubHistory(device, entry_count));
  const evidence::SigningKey key = OrDie(evidence::SigningKey::FromSeed(std::string(32, 'k')));
  Device signer = made.device;
  signer.public_key = key.public_key();
  Replica replica(database);
  Stopwatch push, evidence;
  evidence::TileCutter cutter;
  for (size_t begin = 0; begin < entries.size(); begin += kPush) {
    const std::vector<std::string> batch(
        entries.begin() + static_cast<std::ptrdiff_t>(begin),
        entries.begin() + static_cast<std::ptrdiff_t>(std::min(begin + kPush, entries.size())));
    push.Start();
    OrDie(replica.Push(made.device, batch));
    push.Stop();

    Sha256 sha;
    std::vector<PushedEntry> pushed;
    std::vector<Hash> leaves;
    for (const std::string& bytes : batch) {
      pushed.push_back(CheckAlone(signer, bytes, sha));
      leaves.push_back(pushed.back().leaf_hash);
    }
    const std::string signature = OrDie(
        evidence::SignSeal(evidence::SealOf(signer.cellar_id, signer.device_id, leaves), key));
    const auto transaction = OrDie(
        CellarTransaction::Begin(replica.pool(), beside.device.cellar_id, absl::InfiniteFuture()));
    evidence.Start();
    OrDie(VerifySignature(signer, pushed, signature));
    std::vector<evidence::Tile> tiles;
    for (const Hash& leaf : leaves) cutter.Append(leaf, tiles);
    v1::Seal seal;
    seal.set_last_seq(begin + batch.size());
    seal.set_device_id(signer.device_id.ToBytes());
    seal.add_parts()->mutable_run()->set_first_seq(begin + 1);
    seal.set_signature(signature);
    OrDie(TreeStore(*transaction).Append(tiles));
    OrDie(SealStore(*transaction).Append({seal}));
    evidence.Stop();
    OrDie(transaction->Commit());
  }
  std::printf(
      "%zu entries, %zu a push: push %.0f/s; signature and tree %.2f us an entry, %.3f of a push\n",
      entries.size(), kPush, static_cast<double>(entries.size()) / push.seconds(),
      1e6 * evidence.seconds() / static_cast<double>(entries.size()),
      evidence.seconds() / push.seconds());
}

// A journal of so many rows, made in the database itself, with its tree.
void FillTree(const std::string& database, Replica& replica, const Uuid& cellar_id, size_t leaves) {
  {
    const auto transaction =
        OrDie(CellarTransaction::Begin(replica.pool(), cellar_id, absl::InfiniteFuture()));
    transaction->work().exec(absl::StrCat("insert into rundlet.journal select '",
                                          cellar_id.ToString(), "'::uuid, n, md5(n::text)::uuid, '",
                                          cellar_id.ToString(),
                                          "'::uuid, n, n, 'observation', sha256(n::text::bytea), "
                                          "'\\x00', now() from generate_series(1, ",
                                          leaves, ") n"));
    transaction->work().exec(absl::StrCat("update rundlet.journal_head set size = ", leaves));
    OrDie(transaction->Commit());
  }
  const auto transaction =
      OrDie(CellarTransaction::Begin(replica.pool(), cellar_id, absl::InfiniteFuture()));
  evidence::TileCutter cutter;
  std::vector<evidence::Tile> tiles;
  for (uint64_t after = 0; after < leaves;) {
    const auto records = OrDie(JournalStore(*transaction).Read(after, 50'000, INT64_MAX));
    for (const JournalRecord& record : records) cutter.Append(record.leaf_hash, tiles);
    after = records.back().seq;
    OrDie(TreeStore(*transaction).Append(std::exchange(tiles, {})));
  }
  OrDie(transaction->Commit());
  pqxx::connection connection(database);
  pqxx::nontransaction(connection).exec("analyze rundlet.tree_tile, rundlet.journal");
}

void Proofs(const std::string& database, Admin& admin, size_t leaves) {
  const NewDevice made = OrDie(MakeTestCellar(admin, "Large"));
  Replica replica(database);
  FillTree(database, replica, made.device.cellar_id, leaves);
  const auto transaction = OrDie(
      CellarTransaction::Begin(replica.pool(), made.device.cellar_id, absl::InfiniteFuture()));
  std::mt19937_64 random(20'261'128);
  std::vector<double> times_us;
  size_t hashes = 0;
  for (int i = 0; i < 2'000; ++i) {
    const uint64_t index = random() % leaves;
    const absl::Time start = absl::Now();
    const auto proof = OrDie(ReadInclusionProof(*transaction, index, leaves, leaves));
    times_us.push_back(absl::ToDoubleMicroseconds(absl::Now() - start));
    hashes = std::max(hashes, proof.size());
  }
  std::sort(times_us.begin(), times_us.end());
  std::printf("inclusion among %zu: median %.0f us, 99%% %.0f us, at most %zu hashes\n", leaves,
              times_us[times_us.size() / 2], times_us[times_us.size() * 99 / 100], hashes);
}

absl::Status Run(size_t entry_count, size_t leaves) {
  const auto bench = BenchDatabase::Start();
  if (!bench.ok()) return bench.status();
  const std::string& database = (*bench)->connection_string();
  Admin& admin = (*bench)->admin();
  for (int round = 0; round < 3; ++round) ShareOfPush(database, admin, entry_count, round);
  Proofs(database, admin, leaves);
  return (*bench)->Stop();
}

}  // namespace
}  // namespace rundlet::server

int main(int argc, char** argv) {
  const size_t entries = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 50'000;
  const size_t leaves = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 1'000'000;
  const absl::Status status = rundlet::server::Run(entries, std::max<size_t>(leaves, 1));
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
