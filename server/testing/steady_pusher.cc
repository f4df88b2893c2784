#include "server/testing/steady_pusher.h"

#include <algorithm>
#include <set>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/cellar/journal_audit.h"

namespace rundlet::server {
namespace {

using rundlet::testing::Fill;
using rundlet::testing::kLitre;
using rundlet::testing::TestDevice;

constexpr absl::Duration kPushPatience = absl::Seconds(20);

// What tells a client that nothing may be decided and that it shall come again
// (client/sync/remote.h).
bool IsTryAgain(grpc::StatusCode code) {
  return code == grpc::StatusCode::UNAVAILABLE || code == grpc::StatusCode::DEADLINE_EXCEEDED ||
         code == grpc::StatusCode::RESOURCE_EXHAUSTED || code == grpc::StatusCode::ABORTED ||
         code == grpc::StatusCode::CANCELLED;
}

}  // namespace

SteadyPusher::SteadyPusher(const NewDevice& device, std::unique_ptr<TestDevice> writer,
                           std::string enrolled, std::function<int()> port)
    : device_(device), writer_(std::move(writer)), port_(std::move(port)) {
  entries_.push_back(std::move(enrolled));
  thread_ = std::thread([this] { Run(); });
}

void SteadyPusher::Finish() {
  finishing_ = true;
  if (thread_.joinable()) thread_.join();
}

std::string SteadyPusher::WriteNext() {
  const size_t n = entries_.size();
  const std::string vessel = absl::StrCat(device_.device.device_name, " ", n / 2);
  const std::string lot = absl::StrCat("White of ", device_.device.device_name);
  if (n == 1) return writer_->RegisterLot(lot).bytes;
  return (n % 2 == 0 ? writer_->RegisterVessel(vessel)
                     : writer_->Receive(lot, {Fill(vessel, 10 * kLitre)}))
      .bytes;
}

void SteadyPusher::Run() {
  PushUntilAnswered(entries_.front());
  while (!finishing_) {
    entries_.push_back(WriteNext());
    PushUntilAnswered(entries_.back());
  }
}

void SteadyPusher::PushUntilAnswered(const std::string& entry) {
  constexpr absl::Duration kLongest = absl::Minutes(3);
  const absl::Time give_up = absl::Now() + kLongest;
  bool again = false;
  while (!TryPush(entry, again)) {
    again = true;
    ++failures_;
    if (absl::Now() >= give_up) {
      surprises_.push_back("no answer for minutes");
      return;
    }
    absl::SleepFor(absl::Milliseconds(20));  // as clients wait before they try again
  }
  ++acknowledged_;
}

bool SteadyPusher::TryPush(const std::string& entry, bool again) {
  const int port = port_();
  if (caller_ == nullptr || port != connected_to_) {
    caller_ = std::make_unique<Caller>(PlainChannel(port), device_);
    connected_to_ = port;
  }
  v1::PushResponse response;
  const grpc::Status status = caller_->Push({entry}, response, kPushPatience);
  if (!status.ok()) {
    if (!IsTryAgain(status.error_code()))
      surprises_.push_back(absl::StrCat(status.error_code(), " ", status.error_message()));
    return false;
  }
  const v1::Disposition& told = response.dispositions(0);
  if (again && told.kind() == v1::DISPOSITION_KIND_ALREADY_RECORDED) {
    ++recorded_unseen_;
  } else if (told.kind() != v1::DISPOSITION_KIND_RECORDED) {
    surprises_.push_back(told.ShortDebugString());
  }
  return true;
}

SteadyPusher& SteadyLoadTest::AddPusher(const std::string& member, std::function<int()> port) {
  return AddPusherOf(AddDevice(member, MemberRole::kHand), std::move(port));
}

SteadyPusher& SteadyLoadTest::AddPusherOf(const NewDevice& device, std::function<int()> port) {
  auto writer = std::make_unique<TestDevice>(absl::StrCat("pusher ", pushers_.size()),
                                             WriterOf(device.device));
  std::string enrolled = GiveKey(device.device, *writer);
  NewDevice named = device;
  named.device.device_name = absl::StrCat("pusher ", pushers_.size());
  return *pushers_.emplace_back(std::make_unique<SteadyPusher>(
      named, std::move(writer), std::move(enrolled), std::move(port)));
}

int SteadyLoadTest::Acknowledged() const {
  int sum = 0;
  for (const auto& pusher : pushers_) sum += pusher->acknowledged();
  return sum;
}

void SteadyLoadTest::FinishAndCheck() {
  std::set<Uuid> cellars;
  for (const auto& pusher : pushers_) pusher->Finish();
  pqxx::connection connection(db().connection_string());
  pqxx::nontransaction work(connection);
  for (const auto& pusher : pushers_) {
    const Device& device = pusher->device();
    cellars.insert(device.cellar_id);
    EXPECT_THAT(pusher->surprises(), ::testing::IsEmpty());
    std::vector<std::string> there;
    for (const auto& row :
         work.exec_params("select encode(bytes, 'hex') from rundlet.journal where cellar_id = $1 "
                          "and device_id = "
                          "$2 order by device_seq",
                          device.cellar_id.ToString(), device.device_id.ToString()))
      there.push_back(absl::HexStringToBytes(row[0].as<std::string>()));
    EXPECT_EQ(there.size(), pusher->entries().size());
    EXPECT_TRUE(there == pusher->entries()) << "of " << device.device_name;
  }
  for (const Uuid& cellar : cellars) {
    EXPECT_EQ(Differences(cellar), "");
    const auto report = AuditJournal(
        admin().pool(), cellar, std::nullopt, [] {}, absl::InfiniteFuture());
    ASSERT_TRUE(report.ok()) << report.status();
    EXPECT_THAT(report->problems, ::testing::IsEmpty());
  }
}

}  // namespace rundlet::server
