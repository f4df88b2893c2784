#ifndef RUNDLET_TESTS_SUPPORT_DRAFTS_H_
#define RUNDLET_TESTS_SUPPORT_DRAFTS_H_

#include <optional>
#include <vector>

#include "absl/strings/string_view.h"
#include "rundlet/v1/entry.pb.h"
#include "tests/support/messages.h"

// Entries without their envelope and times: what TestDevice::Write completes. Things are called by
// the names that tests/support/messages.h turns into ids.
namespace rundlet::testing::draft {

v1::Entry VesselRegistered(absl::string_view name, int64_t capacity_ul = 0);
v1::Entry BinRegistered(absl::string_view name);
v1::Entry LotRegistered(absl::string_view name);
v1::Entry MaterialRegistered(absl::string_view name, v1::Dimension dimension = v1::DIMENSION_MASS);
v1::Entry MaterialLotRegistered(absl::string_view name, absl::string_view material);
v1::Entry BottlingRegistered(absl::string_view name, absl::string_view lot);
v1::Entry EquipmentRegistered(absl::string_view name);
v1::Entry VesselRenamed(absl::string_view name, absl::string_view new_name);
v1::Entry Retired(absl::string_view name);
v1::Entry ToleranceSet(std::optional<int64_t> ppm, std::optional<int64_t> ul);

v1::Entry WineReceived(absl::string_view lot, const std::vector<v1::Fill>& fills,
                       v1::InflowKind kind = v1::INFLOW_KIND_JUICE);
v1::Entry Racking(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                  const std::vector<v1::Outflow>& outflows = {}, absl::string_view lot = "");
v1::Entry Blend(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                absl::string_view lot = "");
v1::Entry Topping(const v1::Draw& draw, const std::vector<v1::Fill>& fills);
v1::Entry Pressing(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                   const std::vector<v1::Outflow>& outflows = {});
v1::Entry Addition(absl::string_view vessel, const std::vector<v1::AdditionLine>& lines);
v1::Entry Gauging(absl::string_view vessel, int64_t volume_ul,
                  v1::Account cause = v1::ACCOUNT_UNSPECIFIED);
v1::Entry Withdrawal(const v1::Draw& draw, v1::Account account);
v1::Entry Reading(absl::string_view vessel, const std::vector<v1::Measurement>& measurements);
v1::Entry Treatment(absl::string_view vessel, v1::TreatmentKind kind, int32_t duration_min = 0);
// Of vessels or gear, by name.
v1::Entry Sanitised(absl::string_view subject);
v1::Entry Observation(absl::string_view subject, absl::string_view text = "clear and bright");

v1::Entry Bottled(absl::string_view bottling, const std::vector<v1::Draw>& draws,
                  const std::vector<v1::BottleGroup>& groups,
                  const std::vector<v1::Outflow>& outflows = {},
                  const std::vector<v1::AdditionLine>& packaging = {});
v1::Entry BottlesMoved(const v1::Bottles& bottles, absl::string_view from, absl::string_view to);
v1::Entry BottlesTaken(const v1::Bottles& bottles, absl::string_view from,
                       v1::Account account = v1::ACCOUNT_SERVED);
// Of those that stand opened.
v1::Entry BottlesFinished(const v1::Bottles& bottles, v1::Account account);
v1::Entry BottlesEmptied(const v1::Bottles& bottles, absl::string_view from,
                         const std::vector<v1::Fill>& fills,
                         const std::vector<v1::Outflow>& outflows = {});
v1::Entry BottlesReturned(const v1::Bottles& bottles, absl::string_view to,
                          v1::Account account = v1::ACCOUNT_SERVED);
v1::Entry BinCounted(absl::string_view bin, const std::vector<v1::Bottles>& bottles, bool adopted);
v1::Entry MaterialReceived(absl::string_view material_lot, const v1::Amount& amount);
v1::Entry MaterialCounted(absl::string_view material_lot, const v1::Amount& amount, bool adopted);

v1::Entry Void(const Uuid& target);

}  // namespace rundlet::testing::draft

#endif  // RUNDLET_TESTS_SUPPORT_DRAFTS_H_
