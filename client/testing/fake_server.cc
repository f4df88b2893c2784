#include "client/testing/fake_server.h"

#include <algorithm>

#include "core/entry/entry.h"
#include "core/evidence/checkpoint.h"
#include "core/evidence/merkle.h"

namespace rundlet::client {
namespace {

v1::Entry Read(const std::string& bytes) {
  v1::Entry entry;
  entry.ParseFromString(bytes);
  return entry;
}

}  // namespace

void FakeServer::FailAt(int call, absl::Status error, bool after_doing) {
  calls_ = 0;
  fail_at_ = call;
  error_ = std::move(error);
  after_doing_ = after_doing;
}

absl::StatusOr<Remote::Who> FakeServer::GetDevice() {
  ++calls_;
  if (FailsNow()) return error_;
  Who who{.device = device_, .last_device_seq = 0, .public_key = public_key_};
  for (const std::string& bytes : journal_.entries) {
    const v1::Entry entry = Read(bytes);
    if (entry.device_id() == device_.device_id.bytes()) {
      who.last_device_seq = std::max<uint64_t>(who.last_device_seq, entry.device_seq());
    }
  }
  return who;
}

PushAnswer FakeServer::Take(const std::string& bytes) {
  const v1::Entry entry = Read(bytes);
  Sha256 sha;
  for (size_t i = 0; i < journal_.entries.size(); ++i) {
    const v1::Entry other = Read(journal_.entries[i]);
    if (other.entry_id() == entry.entry_id()) {
      if (journal_.entries[i] == bytes) return {.kind = PushAnswer::Kind::kRecorded, .seq = i + 1};
      return {.kind = PushAnswer::Kind::kReturned, .reason = "ID_REUSED", .message = "taken"};
    }
    if (other.device_id() != entry.device_id()) continue;
    if (other.device_seq() == entry.device_seq()) {
      return {
          .kind = PushAnswer::Kind::kReturned, .reason = "ID_REUSED", .message = "number taken"};
    }
    if (other.device_seq() + 1 == entry.device_seq() &&
        HashBytes(LeafHash(sha, journal_.entries[i])) != entry.previous_hash()) {
      return {
          .kind = PushAnswer::Kind::kReturned, .reason = "CHAIN_BROKEN", .message = "does not fit"};
    }
  }
  const auto kind = journal_.judge ? journal_.judge(entry) : PushAnswer::Kind::kRecorded;
  if (kind == PushAnswer::Kind::kReturned)
    return {.kind = kind, .reason = "NOT_ALLOWED", .message = "not allowed"};
  if (kind == PushAnswer::Kind::kNotYet) return {.kind = kind};
  journal_.entries.push_back(bytes);
  return {.kind = kind, .seq = journal_.entries.size()};
}

absl::StatusOr<std::vector<PushAnswer>> FakeServer::Push(absl::Span<const StoredEntry> entries,
                                                         const std::string& signature) {
  ++calls_;
  if (FailsNow() && !after_doing_) return error_;
  std::vector<PushAnswer> answers;
  const size_t before = journal_.entries.size();
  for (const StoredEntry& entry : entries) answers.push_back(Take(entry.bytes));
  if (!signature.empty() && journal_.entries.size() > before) Keep(entries, answers, signature);
  pushed_entries_ += static_cast<int>(entries.size());
  if (FailsNow()) return error_;
  return answers;
}

void FakeServer::Keep(absl::Span<const StoredEntry> entries, absl::Span<const PushAnswer> answers,
                      const std::string& signature) {
  v1::Seal seal;
  seal.set_last_seq(journal_.entries.size());
  seal.set_device_id(device_.device_id.ToBytes());
  for (size_t i = 0; i < entries.size(); ++i) {
    if (answers[i].kind == PushAnswer::Kind::kRecorded) {
      v1::SealRun* run = seal.add_parts()->mutable_run();
      run->set_first_seq(answers[i].seq);
      run->set_count(1);
    } else {
      seal.add_parts()->set_absent_hash(std::string(HashBytes(entries[i].hash)));
    }
  }
  seal.set_signature(signature);
  journal_.seals.push_back(seal);
}

absl::StatusOr<Remote::Page> FakeServer::Pull(uint64_t after_seq) {
  ++calls_;
  if (FailsNow()) return error_;
  Page page{.rows = {}, .journal_size = journal_.entries.size()};
  for (uint64_t seq = after_seq + 1;
       seq <= journal_.entries.size() && page.rows.size() < page_size_; ++seq) {
    page.rows.push_back({.seq = seq,
                         .bytes = journal_.entries[seq - 1],
                         .received_at_us = journal_.received_at_us});
  }
  for (const v1::Seal& seal : journal_.seals) {
    if (!page.rows.empty() && seal.last_seq() > after_seq &&
        seal.last_seq() <= page.rows.back().seq)
      page.seals.push_back(seal);
  }
  return page;
}

absl::StatusOr<Remote::Signed> FakeServer::GetCheckpoint(uint64_t size) {
  ++calls_;
  if (FailsNow()) return error_;
  if (journal_.signing_seed.empty()) return absl::FailedPreconditionError("it signs nothing");
  const std::vector<std::string> entries =
      journal_.signed_entries ? journal_.signed_entries() : journal_.entries;
  Sha256 sha;
  evidence::Frontier tree;
  for (uint64_t i = 0; i < size && i < entries.size(); ++i) tree.Append(LeafHash(sha, entries[i]));
  const auto key = evidence::SigningKey::FromSeed(journal_.signing_seed);
  const auto note = evidence::SignCheckpoint(
      {.cellar_id = device_.cellar_id, .size = tree.size(), .root = tree.Root()}, *key);
  return Signed{.note = *note, .key = evidence::PrintKey(key->public_key())};
}

}  // namespace rundlet::client
