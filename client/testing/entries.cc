#include "client/testing/entries.h"

#include <gtest/gtest.h>

#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

constexpr int64_t kSomeTimeUs = 1'772'442'000'000'000;  // 2026-03-02T10:00:00+01:00

}  // namespace

Uuid NumberedId(uint8_t kind, uint64_t number) {
  std::array<uint8_t, 10> random = {};
  random[1] = kind;
  for (size_t i = 0; i < 8; ++i) random[9 - i] = static_cast<uint8_t>(number >> (8 * i));
  return Uuid::Version7(1'767'225'600'000, random);
}

Device TestDevice(int number) {
  return {.cellar_id = NumberedId(1, 1),
          .member_id = NumberedId(2, static_cast<uint64_t>(number)),
          .device_id = NumberedId(3, static_cast<uint64_t>(number)),
          .cellar_name = "Thistledown Wine Circle",
          .member_name = absl::StrCat("Member ", number),
          .device_name = absl::StrCat("device ", number),
          .role = number == 1 ? "master" : "hand",
          .server = "127.0.0.1:1"};
}

WrittenEntry NoteWriter::Write(const std::string& text) {
  v1::Entry draft;
  const auto number = static_cast<int64_t>(head_.device_seq) + 1;
  draft.set_effective_at_us(kSomeTimeUs + number);
  draft.set_written_at_us(kSomeTimeUs + number);
  draft.set_note(text);
  draft.mutable_observation()->set_subject_id(device_.member_id.ToBytes());
  // The device's own numbers are ids enough, told apart by the device's.
  const auto device_tail = static_cast<uint8_t>(device_.device_id.bytes().back());
  auto written = WriteEntry(
      device_.writer(), NumberedId(static_cast<uint8_t>(100 + device_tail), number), draft, head_);
  if (!written.ok()) {
    ADD_FAILURE() << written.status();
    abort();
  }
  return *std::move(written);
}

std::vector<Uuid> IdsIn(Store& store, EntryState state) {
  std::vector<Uuid> ids;
  const absl::Status status = store.ForEach(0, [&](const StoredEntry& entry) {
    if (entry.state == state) ids.push_back(entry.id);
    return absl::OkStatus();
  });
  EXPECT_TRUE(status.ok()) << status;
  return ids;
}

}  // namespace rundlet::client
