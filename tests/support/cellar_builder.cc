#include "tests/support/cellar_builder.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

// An id that sorts by the time of writing, and is the same in every run.
Uuid NextEntryId(absl::string_view device, uint64_t seq, int64_t written_at_us) {
  const Uuid mixed = IdOf(absl::StrCat(device, "/", seq));
  std::array<uint8_t, 10> random;
  std::copy_n(reinterpret_cast<const uint8_t*>(mixed.bytes().data()) + 6, random.size(),
              random.begin());
  return Uuid::Version7(written_at_us / 1000, random);
}

}  // namespace

Uuid EntryId(const v1::Entry& entry) { return Uuid::FromBytes(entry.entry_id()).value_or(Uuid()); }

TestDevice::TestDevice(absl::string_view name, absl::string_view member, absl::string_view cellar)
    : TestDevice(
          name,
          Writer{.cellar_id = IdOf(cellar), .member_id = IdOf(member), .device_id = IdOf(name)}) {}

TestDevice::TestDevice(absl::string_view name, const Writer& writer, const ChainHead& head)
    : name_(name), writer_(writer), head_(head) {}

TestDevice& TestDevice::At(int64_t effective_at_us) {
  at_us_ = effective_at_us;
  return *this;
}

TestDevice& TestDevice::WrittenAt(int64_t written_at_us) {
  written_at_us_ = written_at_us;
  return *this;
}

TestDevice& TestDevice::WithId(const Uuid& entry_id) {
  entry_id_ = entry_id;
  return *this;
}

TestDevice& TestDevice::Amending(const v1::Entry& target) {
  v1::Amendment& amendment = amendment_.emplace();
  amendment.set_target_id(target.entry_id());
  // The place is that of the entry first written there, also where an amendment is amended.
  if (target.has_amendment()) {
    amendment.set_place_device_id(target.amendment().place_device_id());
    amendment.set_place_device_seq(target.amendment().place_device_seq());
  } else {
    amendment.set_place_device_id(target.device_id());
    amendment.set_place_device_seq(target.device_seq());
  }
  if (!at_us_) at_us_ = target.effective_at_us();
  return *this;
}

TestDevice& TestDevice::Noting(absl::string_view note) {
  note_ = std::string(note);
  return *this;
}

Uuid TestDevice::TakeWhatWasSaid(v1::Entry& draft) {
  clock_us_ = at_us_.value_or(clock_us_ + kMinuteUs);
  draft.set_effective_at_us(clock_us_);
  const int64_t written_at_us = written_at_us_.value_or(clock_us_);
  draft.set_written_at_us(written_at_us);
  if (amendment_) *draft.mutable_amendment() = *amendment_;
  if (!note_.empty()) draft.set_note(note_);
  const Uuid id = entry_id_.value_or(NextEntryId(name_, head_.device_seq + 1, written_at_us));
  at_us_.reset();
  written_at_us_.reset();
  entry_id_.reset();
  amendment_.reset();
  note_.clear();
  return id;
}

WrittenEntry TestDevice::Write(v1::Entry draft) {
  const Uuid id = TakeWhatWasSaid(draft);
  absl::StatusOr<WrittenEntry> written = WriteEntry(writer_, id, std::move(draft), head_);
  if (!written.ok()) {
    std::fprintf(stderr, "a test wrote an entry that is none: %s\n",
                 written.status().ToString().c_str());
    std::abort();
  }
  return *std::move(written);
}

WrittenEntry TestDevice::WriteUnchecked(v1::Entry draft, uint32_t format_version) {
  const Uuid id = TakeWhatWasSaid(draft);
  draft.set_entry_id(id.ToBytes());
  draft.set_cellar_id(writer_.cellar_id.ToBytes());
  draft.set_author_id(writer_.member_id.ToBytes());
  draft.set_device_id(writer_.device_id.ToBytes());
  draft.set_device_seq(head_.device_seq + 1);
  if (head_.device_seq > 0) draft.set_previous_hash(std::string(HashBytes(head_.hash)));
  draft.set_format_version(format_version);
  Sha256 sha;
  WrittenEntry written{.entry = draft, .bytes = draft.SerializeAsString(), .hash = {}};
  written.hash = LeafHash(sha, written.bytes);
  head_ = {.device_seq = head_.device_seq + 1, .hash = written.hash};
  return written;
}

WrittenEntry TestDevice::WriteOfNewerKind() {
  // A body under a field number that no kind has yet.
  constexpr int kFieldOfTheFuture = 99;
  v1::Entry draft;
  draft.GetReflection()->MutableUnknownFields(&draft)->AddLengthDelimited(kFieldOfTheFuture,
                                                                          "fortune told");
  return WriteUnchecked(std::move(draft), kFormatVersion);
}

WrittenEntry TestDevice::WriteInNewerFormat(v1::Entry draft) {
  return WriteUnchecked(std::move(draft), kFormatVersion + 1);
}

WrittenEntry TestDevice::RegisterVessel(absl::string_view name, int64_t capacity_ul) {
  return Write(draft::VesselRegistered(name, capacity_ul));
}

WrittenEntry TestDevice::RegisterBin(absl::string_view name) {
  return Write(draft::BinRegistered(name));
}

WrittenEntry TestDevice::RegisterLot(absl::string_view name) {
  return Write(draft::LotRegistered(name));
}

WrittenEntry TestDevice::RegisterMaterial(absl::string_view name, v1::Dimension dimension) {
  return Write(draft::MaterialRegistered(name, dimension));
}

WrittenEntry TestDevice::RegisterMaterialLot(absl::string_view name, absl::string_view material) {
  return Write(draft::MaterialLotRegistered(name, material));
}

WrittenEntry TestDevice::RegisterBottling(absl::string_view name, absl::string_view lot) {
  return Write(draft::BottlingRegistered(name, lot));
}

WrittenEntry TestDevice::RegisterEquipment(absl::string_view name) {
  return Write(draft::EquipmentRegistered(name));
}

WrittenEntry TestDevice::RenameVessel(absl::string_view name, absl::string_view new_name) {
  return Write(draft::VesselRenamed(name, new_name));
}

WrittenEntry TestDevice::Retire(absl::string_view name) { return Write(draft::Retired(name)); }

WrittenEntry TestDevice::SetTolerance(std::optional<int64_t> ppm, std::optional<int64_t> ul) {
  return Write(draft::ToleranceSet(ppm, ul));
}

WrittenEntry TestDevice::Receive(absl::string_view lot, const std::vector<v1::Fill>& fills,
                                 v1::InflowKind kind) {
  return Write(draft::WineReceived(lot, fills, kind));
}

WrittenEntry TestDevice::Rack(const std::vector<v1::Draw>& draws,
                              const std::vector<v1::Fill>& fills,
                              const std::vector<v1::Outflow>& outflows, absl::string_view lot) {
  return Write(draft::Racking(draws, fills, outflows, lot));
}

WrittenEntry TestDevice::Blend(const std::vector<v1::Draw>& draws,
                               const std::vector<v1::Fill>& fills, absl::string_view lot) {
  return Write(draft::Blend(draws, fills, lot));
}

WrittenEntry TestDevice::Top(const v1::Draw& draw, const std::vector<v1::Fill>& fills) {
  return Write(draft::Topping(draw, fills));
}

WrittenEntry TestDevice::Press(const std::vector<v1::Draw>& draws,
                               const std::vector<v1::Fill>& fills,
                               const std::vector<v1::Outflow>& outflows) {
  return Write(draft::Pressing(draws, fills, outflows));
}

WrittenEntry TestDevice::Add(absl::string_view vessel, const std::vector<v1::AdditionLine>& lines) {
  return Write(draft::Addition(vessel, lines));
}

WrittenEntry TestDevice::Gauge(absl::string_view vessel, int64_t volume_ul, v1::Account cause) {
  return Write(draft::Gauging(vessel, volume_ul, cause));
}

WrittenEntry TestDevice::Withdraw(const v1::Draw& draw, v1::Account account) {
  return Write(draft::Withdrawal(draw, account));
}

WrittenEntry TestDevice::Read(absl::string_view vessel,
                              const std::vector<v1::Measurement>& measurements) {
  return Write(draft::Reading(vessel, measurements));
}

WrittenEntry TestDevice::Treat(absl::string_view vessel, v1::TreatmentKind kind,
                               int32_t duration_min) {
  return Write(draft::Treatment(vessel, kind, duration_min));
}

WrittenEntry TestDevice::Observe(absl::string_view subject, absl::string_view text) {
  return Write(draft::Observation(subject, text));
}

WrittenEntry TestDevice::Bottle(absl::string_view bottling, const std::vector<v1::Draw>& draws,
                                const std::vector<v1::BottleGroup>& groups,
                                const std::vector<v1::Outflow>& outflows,
                                const std::vector<v1::AdditionLine>& packaging) {
  return Write(draft::Bottled(bottling, draws, groups, outflows, packaging));
}

WrittenEntry TestDevice::MoveBottles(const v1::Bottles& bottles, absl::string_view from,
                                     absl::string_view to) {
  return Write(draft::BottlesMoved(bottles, from, to));
}

WrittenEntry TestDevice::TakeBottles(const v1::Bottles& bottles, absl::string_view from,
                                     v1::Account account) {
  return Write(draft::BottlesTaken(bottles, from, account));
}

WrittenEntry TestDevice::ReturnBottles(const v1::Bottles& bottles, absl::string_view to,
                                       v1::Account account) {
  return Write(draft::BottlesReturned(bottles, to, account));
}

WrittenEntry TestDevice::CountBin(absl::string_view bin, const std::vector<v1::Bottles>& bottles,
                                  bool adopted) {
  return Write(draft::BinCounted(bin, bottles, adopted));
}

WrittenEntry TestDevice::ReceiveMaterial(absl::string_view material_lot, const v1::Amount& amount) {
  return Write(draft::MaterialReceived(material_lot, amount));
}

WrittenEntry TestDevice::CountMaterial(absl::string_view material_lot, const v1::Amount& amount,
                                       bool adopted) {
  return Write(draft::MaterialCounted(material_lot, amount, adopted));
}

WrittenEntry TestDevice::Void(const Uuid& target) { return Write(draft::Void(target)); }

WrittenEntry TestDevice::Void(const v1::Entry& target) { return Void(EntryId(target)); }

}  // namespace rundlet::testing
