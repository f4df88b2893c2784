#include "client/testing/test_cellar.h"

#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <sstream>

#include "absl/strings/str_cat.h"
#include "client/cli/run.h"
#include "client/store/device_key.h"
#include "client/store/sync_store.h"
#include "client/testing/entries.h"

namespace rundlet::client {
namespace {

std::vector<std::string> Split(absl::string_view line) {
  std::vector<std::string> words;
  bool quoted = false;
  bool in_word = false;
  for (const char c : line) {
    if (c == '\'') {
      quoted = !quoted;
      if (!in_word) words.emplace_back();
      in_word = true;
    } else if (c == ' ' && !quoted) {
      in_word = false;
    } else {
      if (!in_word) words.emplace_back();
      in_word = true;
      words.back() += c;
    }
  }
  return words;
}

}  // namespace

TempDir::TempDir() {
  std::string pattern = (std::filesystem::temp_directory_path() / "rundlet-test-XXXXXX").string();
  if (mkdtemp(pattern.data()) == nullptr) {
    ADD_FAILURE() << "no temporary directory can be made";
    abort();
  }
  path_ = pattern;
}

TempDir::~TempDir() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

TestCellar::TestCellar(int device_number) {
  // Ids that no other store of this process gives out, and the same in every run.
  static uint64_t stores = 0;
  random_ = ++stores << 32;
  SetClock("2026-03-02T10:00:00+01:00");
  env_.clock = [this] { return now_; };
  env_.zone = absl::FixedTimeZone(3600);
  env_.fill_random = [this](absl::Span<uint8_t> bytes) {
    ++random_;
    for (size_t i = 0; i < bytes.size(); ++i) {
      bytes[bytes.size() - 1 - i] = i < 8 ? static_cast<uint8_t>(random_ >> (8 * i)) : 0;
    }
  };
  env_.variable = [this](const std::string& name) {
    return name == "RUNDLET_HOME" ? home().dir() : std::string();
  };

  const auto store = Store::Create(home(), TestDevice(device_number), 0);
  EXPECT_TRUE(store.ok()) << store.status();
}

void TestCellar::SetClock(absl::string_view rfc3339) {
  std::string error;
  EXPECT_TRUE(absl::ParseTime(absl::RFC3339_full, rfc3339, &now_, &error)) << error;
}

TestCellar::Result TestCellar::Run(absl::string_view line) {
  std::ostringstream out, err;
  env_.out = &out;
  env_.err = &err;
  Result result;
  result.exit_code = rundlet::client::Run(Split(line), env_);
  result.out = out.str();
  result.err = err.str();
  return result;
}

TestCellar::Result TestCellar::Do(absl::string_view line) {
  Result result = Run(line);
  EXPECT_EQ(result.exit_code, 0) << "rundlet " << line << "\n" << result.out << result.err;
  return result;
}

Store TestCellar::OpenStore() {
  auto store = Store::Open(home());
  if (!store.ok()) {
    ADD_FAILURE() << store.status();
    abort();
  }
  return *std::move(store);
}

void TestCellar::SayKey(const evidence::PublicKey& key) {
  Store store = OpenStore();
  v1::Entry draft;
  draft.set_effective_at_us(absl::ToUnixMicros(now_));
  draft.set_written_at_us(absl::ToUnixMicros(now_));
  draft.mutable_device_enrolled()->set_public_key(std::string(key.bytes()));
  draft.mutable_device_enrolled()->set_device_name(store.device().device_name);
  const auto before = store.Head();
  ASSERT_TRUE(before.ok()) << before.status();
  ChainHead head = *before;
  const auto written = WriteEntry(store.device().writer(), env_.NewId(), std::move(draft), head);
  ASSERT_TRUE(written.ok()) << written.status();
  const absl::Status appended = store.Append({*written}, *before);
  EXPECT_TRUE(appended.ok()) << appended;
}

void TestCellar::Enrol() {
  const auto key = MakeDeviceKey(home(), env_);
  ASSERT_TRUE(key.ok()) << key.status();
  SayKey(key->public_key());
}

void TestCellar::ChangeKey() {
  const auto key = MakeNextDeviceKey(home(), env_);
  ASSERT_TRUE(key.ok()) << key.status();
  SayKey(key->public_key());
}

void TestCellar::Pull(TestCellar& other) {
  Store mine = OpenStore();
  Store theirs = other.OpenStore();
  std::vector<PulledRow> rows;
  auto seq = static_cast<uint64_t>(mine.Get(MetaKey::kLastSeq).value_or(0));
  EXPECT_TRUE(theirs
                  .ForEach(0,
                           [&](const StoredEntry& entry) {
                             if (!mine.Find(entry.id).ok())
                               rows.push_back({.seq = ++seq, .bytes = entry.bytes});
                             return absl::OkStatus();
                           })
                  .ok());
  const auto taken = SyncStore(mine).TakePage(rows, seq);
  EXPECT_TRUE(taken.ok()) << taken.status();
}

}  // namespace rundlet::client
