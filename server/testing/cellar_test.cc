#include "server/testing/cellar_test.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/strip.h"
#include "absl/time/clock.h"
#include "server/cellar/rebuild.h"
#include "server/random.h"
#include "server/store/cellar_transaction.h"
#include "server/store/journal_store.h"
#include "server/testing/caller.h"
#include "server/testing/test_device.h"

namespace rundlet::server {
namespace {

absl::Time Soon() { return absl::Now() + absl::Seconds(30); }

}  // namespace

Replica::Replica(const std::string& connection_string, size_t cache_bytes)
    : pool_({.connection_string = connection_string, .prepare = CellarTransaction::Prepare}),
      cache_(cache_bytes),
      writer_(pool_, cache_, absl::Now) {}

absl::StatusOr<PushResult> Replica::Push(const Device& device,
                                         const std::vector<std::string>& entries) {
  absl::StatusOr<std::vector<PushResult>> results = PushTogether({{device, entries}});
  if (!results.ok()) return results.status();
  return std::move(results->front());
}

absl::StatusOr<std::vector<PushResult>> Replica::PushTogether(
    const std::vector<std::pair<Device, std::vector<std::string>>>& pushes) {
  Sha256 sha;
  std::vector<server::Push> made(pushes.size());
  std::vector<server::Push*> pointers;
  for (size_t i = 0; i < pushes.size(); ++i) {
    made[i].device = pushes[i].first;
    for (const std::string& bytes : pushes[i].second) {
      made[i].entries.push_back(CheckAlone(made[i].device, bytes, sha));
    }
    pointers.push_back(&made[i]);
  }
  const absl::StatusOr<uint64_t> size =
      writer_.Write(made.front().device.cellar_id, pointers, Soon());
  if (!size.ok()) return size.status();
  for (const server::Push& push : made) {
    if (!push.refused.ok()) return push.refused;
  }
  std::vector<PushResult> results(pushes.size());
  for (size_t i = 0; i < pushes.size(); ++i) {
    results[i].journal_size = *size;
    for (PushedEntry& entry : made[i].entries) {
      results[i].dispositions.push_back(std::move(entry.disposition));
    }
  }
  return results;
}

Hash Replica::Digest(const Uuid& cellar_id) {
  Hash digest = {};
  const auto transaction = CellarTransaction::Begin(pool_, cellar_id, Soon());
  absl::Status status = transaction.status();
  if (status.ok()) {
    status = ReadCellar(**transaction, cache_, [&digest](const LoadedCellar& cellar) {
      digest = cellar.fold().StateDigest();
      return absl::OkStatus();
    });
  }
  EXPECT_TRUE(status.ok()) << status;
  return digest;
}

void CellarTest::SetUp() {
  DatabaseTest::SetUp();
  if (HasFatalFailure()) return;
  admin_ = std::make_unique<Admin>(Admin::Options{
      .connection_string = db().connection_string(), .now = absl::Now, .random = FillRandom});
  isolde_ = NewCellar("Thistledown Wine Circle");
  bram_ = AddDevice("Bram Oakshott", MemberRole::kHand);
}

NewDevice CellarTest::NewCellar(absl::string_view name) {
  const absl::StatusOr<NewDevice> made = MakeTestCellar(*admin_, name);
  EXPECT_TRUE(made.ok()) << made.status();
  return made.ok() ? *made : NewDevice{};
}

NewDevice CellarTest::AddDevice(absl::string_view member, MemberRole role) {
  Uuid member_id = rundlet::testing::IdOf(member);
  const auto devices = admin_->ListDevices(cellar_id());
  EXPECT_TRUE(devices.ok()) << devices.status();
  for (const Device& other : *devices) {
    if (other.member_name == member) member_id = other.member_id;
  }
  return AddDeviceTo(cellar_id(), member_id, member, role);
}

NewDevice CellarTest::AddDeviceTo(const Uuid& cellar_id, const Uuid& member_id,
                                  absl::string_view member, MemberRole role) {
  const absl::StatusOr<NewDevice> made =
      MakeTestDevice(*admin_, {.cellar_id = cellar_id,
                               .member_id = member_id,
                               .member_name = std::string(member),
                               .role = role});
  EXPECT_TRUE(made.ok()) << made.status();
  return made.ok() ? *made : NewDevice{};
}

std::string CellarTest::GiveKey(const Device& device, rundlet::testing::TestDevice& writer) {
  const evidence::PublicKey key = TestKeyOf(device.device_id).public_key();
  const auto transaction = CellarTransaction::Begin(admin_->pool(), device.cellar_id, Soon());
  EXPECT_TRUE(transaction.ok()) << transaction.status();
  if (transaction.ok()) {
    EXPECT_EQ(DeviceStore(**transaction).SetPublicKey(device.device_id, key), absl::OkStatus());
    EXPECT_EQ((*transaction)->Commit(), absl::OkStatus());
  }
  v1::Entry enrolled;
  enrolled.mutable_device_enrolled()->set_public_key(std::string(key.bytes()));
  enrolled.mutable_device_enrolled()->set_device_name(device.device_name);
  return writer.Write(enrolled).bytes;
}

Writer CellarTest::WriterOf(const Device& device) {
  return {
      .cellar_id = device.cellar_id, .member_id = device.member_id, .device_id = device.device_id};
}

std::unique_ptr<CellarTransaction> CellarTest::HoldHead(const Uuid& cellar_id) {
  auto held = CellarTransaction::Begin(admin_->pool(), cellar_id, absl::InfiniteFuture());
  EXPECT_TRUE(held.ok()) << held.status();
  EXPECT_TRUE(JournalStore(**held).LockHead().ok());
  return *std::move(held);
}

std::string CellarTest::Differences(const Uuid& cellar_id) {
  const absl::StatusOr<RebuildResult> result =
      CompareProjections(admin_->pool(), cellar_id, 20, Soon());
  if (!result.ok()) return result.status().ToString();
  std::string text;
  for (const ProjectionDifference& difference : result->differences) {
    absl::StrAppend(&text, difference.in_database ? "too much in " : "missing in ",
                    difference.table, ": ", difference.row, "\n");
  }
  return text;
}

std::vector<std::string> BytesOf(const std::vector<WrittenEntry>& entries) {
  std::vector<std::string> bytes;
  for (const WrittenEntry& entry : entries) bytes.push_back(entry.bytes);
  return bytes;
}

std::vector<std::string> Told(const PushResult& result) {
  std::vector<std::string> told;
  for (const v1::Disposition& disposition : result.dispositions) {
    switch (disposition.kind()) {
      case v1::DISPOSITION_KIND_RECORDED:
        told.push_back(absl::StrCat("recorded ", disposition.seq()));
        break;
      case v1::DISPOSITION_KIND_ALREADY_RECORDED:
        told.push_back(absl::StrCat("already ", disposition.seq()));
        break;
      case v1::DISPOSITION_KIND_RETURNED:
        told.push_back(absl::StrCat(
            "returned ",
            absl::StripPrefix(v1::ReturnReason_Name(disposition.reason()), "RETURN_REASON_")));
        break;
      case v1::DISPOSITION_KIND_NOT_YET:
        told.push_back("not yet");
        break;
      default:
        told.push_back("nothing");
    }
  }
  return told;
}

}  // namespace rundlet::server
