#include "tests/faults/outbox.h"

#include "absl/time/clock.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "gtest/gtest.h"

namespace rundlet::testing {
namespace {

client::Store OpenOrDie(const std::string& home) {
  auto store = client::Store::Open(client::StoreHome(home));
  if (!store.ok()) {
    ADD_FAILURE() << home << ": " << store.status();
    std::abort();
  }
  return *std::move(store);
}

}  // namespace

Outbox::Outbox(const std::string& home) : home_(home), store_(OpenOrDie(home)) {
  const auto head = store_.Head();
  EXPECT_TRUE(head.ok()) << head.status();
  before_ = head.value_or(ChainHead());
  device_.emplace(home, store_.device().writer(), before_);
  device_->At(absl::ToUnixMicros(absl::Now()));
}

std::string Outbox::Put(const WrittenEntry& entry) {
  entries_.push_back(entry);
  return EntryId(entry.entry).ToString();
}

std::string Outbox::PutAnyhow(v1::Entry draft) {
  const int64_t clock_us = device_->clock_us();
  WrittenEntry written = device_->Observe("whatever");
  draft.MergeFrom([&] {
    v1::Entry envelope = written.entry;
    envelope.clear_body();
    return envelope;
  }());
  written.entry = draft;
  written.bytes = draft.SerializeAsString();
  Sha256 sha;
  written.hash = LeafHash(sha, written.bytes);
  device_.emplace(home_, store_.device().writer(),
                  ChainHead{.device_seq = draft.device_seq(), .hash = written.hash});
  device_->At(clock_us + kMinuteUs);
  return Put(written);
}

void Outbox::Save(Promises& promises) {
  const absl::Status saved = store_.Append(entries_, before_);
  ASSERT_TRUE(saved.ok()) << saved;
  for (const WrittenEntry& entry : entries_) promises.Saved(home_, EntryId(entry.entry).ToString());
  before_ = device_->head();
  entries_.clear();
}

}  // namespace rundlet::testing
