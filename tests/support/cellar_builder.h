#ifndef RUNDLET_TESTS_SUPPORT_CELLAR_BUILDER_H_
#define RUNDLET_TESTS_SUPPORT_CELLAR_BUILDER_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "core/entry/writer.h"
#include "rundlet/v1/entry.pb.h"
#include "tests/support/messages.h"

namespace rundlet::testing {

// One device of the (invented) Thistledown Wine Circle, which writes entries with a running number
// and chain of its own.
//
//   TestDevice phone("phone");
//   fold.Add(phone.RegisterVessel("C1").entry);
//   fold.Add(phone.At(kDawnUs + kDayUs).Rack({DrawAll("C1")}, {FillRest("C2")}).entry);
//
// Every entry happens a minute after the one before, unless At says when. What is said
// about the next entry holds for the next entry only, but the clock goes on from there. An entry
// that is not well formed ends the test program: the test is wrong.
class TestDevice {
 public:
  explicit TestDevice(absl::string_view name, absl::string_view member = "Isolde Thornbury",
                      absl::string_view cellar = "Thistledown Wine Circle");
  // With ids of its own, for tests that were given them by a server; it goes on behind `head`.
  TestDevice(absl::string_view name, const Writer& writer, const ChainHead& head = {});

  // ---- about the next entry ----
  TestDevice& At(int64_t effective_at_us);
  // Otherwise it is written down when it happens.
  TestDevice& WrittenAt(int64_t written_at_us);
  TestDevice& WithId(const Uuid& entry_id);
  TestDevice& Amending(const v1::Entry& target);
  TestDevice& Noting(absl::string_view note);

  // Completes and writes any draft; its time is that of At, or the clock's.
  WrittenEntry Write(v1::Entry draft);

  // An entry that this build cannot know: of a kind without a name here, or with `draft`'s body in
  // a newer format.
  WrittenEntry WriteOfNewerKind();
  WrittenEntry WriteInNewerFormat(v1::Entry draft);

  // ---- things ----
  WrittenEntry RegisterVessel(absl::string_view name, int64_t capacity_ul = 0);
  WrittenEntry RegisterBin(absl::string_view name);
  WrittenEntry RegisterLot(absl::string_view name);
  WrittenEntry RegisterMaterial(absl::string_view name,
                                v1::Dimension dimension = v1::DIMENSION_MASS);
  WrittenEntry RegisterMaterialLot(absl::string_view name, absl::string_view material);
  WrittenEntry RegisterBottling(absl::string_view name, absl::string_view lot);
  WrittenEntry RegisterEquipment(absl::string_view name);
  // Says of the thing called `name` that its name reads `new_name` now; it keeps its id.
  WrittenEntry RenameVessel(absl::string_view name, absl::string_view new_name);
  WrittenEntry Retire(absl::string_view name);
  WrittenEntry SetTolerance(std::optional<int64_t> ppm, std::optional<int64_t> ul);

  // ---- wine in vessels ----
  WrittenEntry Receive(absl::string_view lot, const std::vector<v1::Fill>& fills,
                       v1::InflowKind kind = v1::INFLOW_KIND_JUICE);
  WrittenEntry Rack(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                    const std::vector<v1::Outflow>& outflows = {}, absl::string_view lot = "");
  WrittenEntry Blend(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                     absl::string_view lot = "");
  WrittenEntry Top(const v1::Draw& draw, const std::vector<v1::Fill>& fills);
  WrittenEntry Press(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                     const std::vector<v1::Outflow>& outflows = {});
  WrittenEntry Add(absl::string_view vessel, const std::vector<v1::AdditionLine>& lines);
  WrittenEntry Gauge(absl::string_view vessel, int64_t volume_ul,
                     v1::Account cause = v1::ACCOUNT_UNSPECIFIED);
  WrittenEntry Withdraw(const v1::Draw& draw, v1::Account account);
  WrittenEntry Read(absl::string_view vessel, const std::vector<v1::Measurement>& measurements);
  WrittenEntry Treat(absl::string_view vessel, v1::TreatmentKind kind, int32_t duration_min = 0);
  WrittenEntry Observe(absl::string_view subject, absl::string_view text = "clear and bright");

  // ---- bottles and stock ----
  WrittenEntry Bottle(absl::string_view bottling, const std::vector<v1::Draw>& draws,
                      const std::vector<v1::BottleGroup>& groups,
                      const std::vector<v1::Outflow>& outflows = {},
                      const std::vector<v1::AdditionLine>& packaging = {});
  WrittenEntry MoveBottles(const v1::Bottles& bottles, absl::string_view from,
                           absl::string_view to);
  WrittenEntry TakeBottles(const v1::Bottles& bottles, absl::string_view from,
                           v1::Account account = v1::ACCOUNT_SERVED);
  WrittenEntry ReturnBottles(const v1::Bottles& bottles, absl::string_view to,
                             v1::Account account = v1::ACCOUNT_SERVED);
  WrittenEntry CountBin(absl::string_view bin, const std::vector<v1::Bottles>& bottles,
                        bool adopted);
  WrittenEntry ReceiveMaterial(absl::string_view material_lot, const v1::Amount& amount);
  WrittenEntry CountMaterial(absl::string_view material_lot, const v1::Amount& amount,
                             bool adopted);

  WrittenEntry Void(const Uuid& target);
  WrittenEntry Void(const v1::Entry& target);

  const Writer& writer() const { return writer_; }
  const ChainHead& head() const { return head_; }
  int64_t clock_us() const { return clock_us_; }

 private:
  // Fills in time, amendment and note; returns the entry's id.
  Uuid TakeWhatWasSaid(v1::Entry& draft);
  WrittenEntry WriteUnchecked(v1::Entry draft, uint32_t format_version);

  std::string name_;
  Writer writer_;
  ChainHead head_;
  int64_t clock_us_ = kDawnUs - kMinuteUs;
  // For the next entry.
  std::optional<int64_t> at_us_;
  std::optional<int64_t> written_at_us_;
  std::optional<Uuid> entry_id_;
  std::optional<v1::Amendment> amendment_;
  std::string note_;
};

// The id of an entry, from its bytes.
Uuid EntryId(const v1::Entry& entry);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_CELLAR_BUILDER_H_
