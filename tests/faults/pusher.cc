#include "tests/faults/pusher.h"

#include <filesystem>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "client/store/device_key.h"
#include "client/store/store.h"
#include "client/sync/certificate.h"
#include "client/sync/connection.h"
#include "core/entry/entry.h"
#include "gtest/gtest.h"
#include "tests/support/drafts.h"
#include "tests/support/signature.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kPause = absl::Milliseconds(50);  // between two tries of one push

absl::Span<const char* const> Observations() {
  static constexpr const char* kTexts[] = {"clear and bright", "still cloudy", "smells of pear",
                                           "a little reductive", "topped, tasted, left alone"};
  return kTexts;
}

}  // namespace

std::vector<std::string> BytesOf(const std::vector<WrittenEntry>& entries) {
  std::vector<std::string> bytes;
  for (const WrittenEntry& entry : entries) bytes.push_back(entry.bytes);
  return bytes;
}

Pusher::Pusher(const std::string& home, uint64_t seed, Promises& promises)
    : home_(home), random_(seed), promises_(promises) {
  const client::StoreHome where(home);
  auto store = client::Store::Open(where);
  const auto key = client::ReadDeviceKey(where);
  if (!store.ok() || !key.ok()) {
    ADD_FAILURE() << home << " has not joined: " << store.status() << key.status();
    std::abort();
  }
  const auto connection = client::ConnectionOf(*store);
  const auto head = store->Head();
  EXPECT_TRUE(connection.ok()) << connection.status();
  EXPECT_TRUE(head.ok()) << head.status();
  token_ = connection->token;
  server_ = connection->server;
  certificate_ = connection->trust.pem;
  key_ = std::make_unique<evidence::SigningKey>(*key);
  name_ = std::filesystem::path(home).filename().string();
  device_ = std::make_unique<TestDevice>(absl::StrCat(home, "/", token_), store->device().writer(),
                                         *head);
  Connect();
}

void Pusher::Connect(const std::string& address) {
  grpc::SslCredentialsOptions options;
  options.pem_root_certs = certificate_;
  grpc::ChannelArguments arguments;
  arguments.SetSslTargetNameOverride(client::NameInCertificate(certificate_).value_or(""));
  arguments.SetInt(GRPC_ARG_ENABLE_HTTP_PROXY, 0);
  // A line of its own, that comes back as soon as the server does.
  arguments.SetInt(GRPC_ARG_USE_LOCAL_SUBCHANNEL_POOL, 1);
  arguments.SetInt(GRPC_ARG_INITIAL_RECONNECT_BACKOFF_MS, 50);
  arguments.SetInt(GRPC_ARG_MIN_RECONNECT_BACKOFF_MS, 5000);  // for one handshake
  arguments.SetInt(GRPC_ARG_MAX_RECONNECT_BACKOFF_MS, 200);
  stub_ = v1::CellarService::NewStub(grpc::CreateCustomChannel(
      address.empty() ? server_ : address, grpc::SslCredentials(options), arguments));
}

std::vector<WrittenEntry> Pusher::WriteMany(int count) {
  std::vector<WrittenEntry> entries;
  for (int i = 0; i < count; ++i) entries.push_back(Write());
  return entries;
}

WrittenEntry Pusher::Write() {
  const std::string full = name_ + "-full";
  const std::string other = name_ + "-other";
  switch (written_++) {
    case 0:
      return device_->RegisterVessel(full, 1000 * kLitre);
    case 1:
      return device_->RegisterVessel(other, 1000 * kLitre);
    case 2:
      return device_->RegisterLot(name_ + "-lot");
    case 3:
      return device_->Receive(name_ + "-lot", {Fill(full, 500 * kLitre)});
    default:
      break;
  }
  const std::string& from = random_.Chance(500) ? full : other;
  const std::string& into = from == full ? other : full;
  switch (random_.Below(6)) {
    case 0:
      return device_->Rack({Draw(from, random_.Between(1, 40) * kLitre)}, {FillRest(into)});
    case 1:
      return device_->Withdraw(Draw(from, random_.Between(1, 99) * kMillilitre),
                               v1::ACCOUNT_SAMPLE);
    case 2:
      return device_->Add(from,
                          {OfMaterial("tartaric acid", Mass(random_.Between(1, 90) * kGram))});
    case 3:
      return device_->Read(from, {Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_CELSIUS,
                                           random_.Between(8, 25) * 1'000'000)});
    case 4:
      return device_->Top(Draw(from, random_.Between(1, 5) * kLitre), {FillRest(into)});
    default:
      return device_->Observe(full, Observations()[static_cast<size_t>(random_.Below(
                                        static_cast<int64_t>(Observations().size())))]);
  }
}

void Pusher::Prepare(grpc::ClientContext& context, absl::Duration timeout) const {
  context.AddMetadata("authorization", absl::StrCat("Bearer ", token_));
  context.set_deadline(absl::ToChronoTime(absl::Now() + timeout));
  // A call that failed at once would leave nobody to see a new connection through.
  context.set_wait_for_ready(true);
}

std::string Pusher::Sign(const std::vector<std::string>& entries) const {
  const auto signature = SignatureOver(device_->writer(), entries, *key_);
  EXPECT_TRUE(signature.ok()) << signature.status();
  return signature.value_or("");
}

Pusher::Answer Pusher::Push(const std::vector<std::string>& entries, absl::Duration timeout) {
  v1::PushRequest request;
  for (const std::string& bytes : entries) request.add_entries(bytes);
  request.set_signature(Sign(entries));
  grpc::ClientContext context;
  Prepare(context, timeout);
  Answer answer;
  answer.status = stub_->Push(&context, request, &answer.response);
  last_error_ = answer.status.error_message();
  for (int i = 0; answer.status.ok() && i < answer.response.dispositions_size(); ++i) {
    const v1::Disposition& disposition = answer.response.dispositions(i);
    v1::Entry entry;
    if (disposition.seq() != 0 && entry.ParseFromString(entries[static_cast<size_t>(i)]))
      promises_.Acknowledged(EntryId(entry).ToString(), disposition.seq());
  }
  return answer;
}

bool Pusher::PushUntilDecided(const std::vector<WrittenEntry>& entries, absl::Time deadline) {
  while (absl::Now() < deadline) {
    const Answer answer =
        Push(BytesOf(entries), std::min(absl::Seconds(10), deadline - absl::Now()));
    if (answer.status.ok()) {
      for (const v1::Disposition& disposition : answer.response.dispositions())
        EXPECT_NE(disposition.seq(), 0u) << disposition.ShortDebugString();
      return true;
    }
    absl::SleepFor(kPause);
  }
  return false;
}

grpc::Status Pusher::Pull(uint64_t after_seq, v1::PullResponse& response, absl::Duration timeout) {
  v1::PullRequest request;
  request.set_after_seq(after_seq);
  grpc::ClientContext context;
  Prepare(context, timeout);
  return stub_->Pull(&context, request, &response);
}

}  // namespace rundlet::testing
