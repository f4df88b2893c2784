#include "server/cellar/push_queue.h"

#include <algorithm>
#include <utility>

#include "server/cellar/limits.h"
#include "server/errors.h"

namespace rundlet::server {
namespace {

// For a database connection, where no caller names a deadline.
constexpr absl::Duration kLongestWait = absl::Seconds(30);

void Answer(Push& push, uint64_t journal_size) {
  if (!push.refused.ok()) return push.done(push.refused);
  PushResult result;
  result.journal_size = journal_size;
  result.dispositions.reserve(push.entries.size());
  for (PushedEntry& entry : push.entries) {
    result.dispositions.push_back(std::move(entry.disposition));
  }
  push.done(std::move(result));
}

// An error that lies in what was written, not in the state of the database.
bool IsOfTheData(const absl::Status& status) {
  return absl::IsInternal(status) || absl::IsAlreadyExists(status);
}

}  // namespace

void PushQueue::Submit(std::unique_ptr<Push> push) {
  if (!TryEnqueue(push)) push->done(MakeError(Error::kBusy));
}

bool PushQueue::TryEnqueue(std::unique_ptr<Push>& push) {
  const Uuid cellar_id = push->device.cellar_id;
  absl::MutexLock lock(&mutex_);
  if (bytes_ > 0 && bytes_ + push->bytes > kMaxWaitingBytes) return false;
  const auto [it, fresh] = lanes_.try_emplace(cellar_id);
  Lane& lane = it->second;
  if (lane.waiting.size() >= kMaxWaitingPushesPerCellar) return false;
  if (!lane.waiting.empty() && lane.bytes + push->bytes > kMaxWaitingBytesPerCellar) return false;
  if (fresh && !workers_.TrySubmit([this, cellar_id] { WriteNext(cellar_id); })) {
    lanes_.erase(it);
    return false;
  }
  lane.bytes += push->bytes;
  bytes_ += push->bytes;
  lane.waiting.push_back(std::move(push));
  return true;
}

PushQueue::Waiting PushQueue::waiting() const {
  absl::MutexLock lock(&mutex_);
  Waiting waiting{.bytes = bytes_};
  for (const auto& [cellar_id, lane] : lanes_) waiting.pushes += lane.waiting.size();
  return waiting;
}

std::vector<std::unique_ptr<Push>> PushQueue::TakeBatch(const Uuid& cellar_id) {
  std::vector<std::unique_ptr<Push>> batch;
  size_t entries = 0;
  size_t bytes = 0;
  absl::MutexLock lock(&mutex_);
  Lane& lane = lanes_.at(cellar_id);
  while (!lane.waiting.empty() && entries < kBatchEntries && bytes < kBatchBytes) {
    Push& push = *lane.waiting.front();
    entries += push.entries.size();
    bytes += push.bytes;
    batch.push_back(std::move(lane.waiting.front()));
    lane.waiting.pop_front();
  }
  lane.bytes -= bytes;
  bytes_ -= bytes;
  return batch;
}

void PushQueue::WriteNext(const Uuid& cellar_id) {
  WriteBatch(cellar_id, TakeBatch(cellar_id));
  {
    absl::MutexLock lock(&mutex_);
    const auto lane = lanes_.find(cellar_id);
    if (lane->second.waiting.empty()) {
      lanes_.erase(lane);
      return;
    }
  }
  workers_.Requeue([this, cellar_id] { WriteNext(cellar_id); });
}

void PushQueue::WriteBatch(const Uuid& cellar_id, std::vector<std::unique_ptr<Push>> batch) {
  std::vector<Push*> pushes;
  absl::Time latest = absl::InfinitePast();
  for (const std::unique_ptr<Push>& push : batch) {
    if (now_() >= push->deadline || push->abandoned()) {
      push->done(MakeError(Error::kTooLate));
      continue;
    }
    latest = std::max(latest, push->deadline);
    pushes.push_back(push.get());
  }
  if (pushes.empty()) return;
  latest = std::min(latest, now_() + kLongestWait);
  const absl::StatusOr<uint64_t> size = writer_.Write(cellar_id, pushes, latest);
  if (size.ok()) {
    for (Push* push : pushes) Answer(*push, *size);
    return;
  }
  for (Push* push : pushes) {
    // One of them may be the cause; the others shall not suffer for it.
    if (pushes.size() > 1 && IsOfTheData(size.status())) {
      for (PushedEntry& entry : push->entries) entry.Reopen();
      const absl::StatusOr<uint64_t> alone = writer_.Write(cellar_id, {push}, latest);
      if (alone.ok()) {
        Answer(*push, *alone);
      } else {
        push->done(alone.status());
      }
    } else {
      push->done(size.status());
    }
  }
}

}  // namespace rundlet::server
