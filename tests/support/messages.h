#ifndef RUNDLET_TESTS_SUPPORT_MESSAGES_H_
#define RUNDLET_TESTS_SUPPORT_MESSAGES_H_

#include <cstdint>

#include "absl/strings/string_view.h"
#include "core/base/uuid.h"
#include "rundlet/v1/entry.pb.h"

// The pieces of entries, for tests that write them by hand. Things are called by names, which
// stand for fixed ids.
namespace rundlet::testing {

inline constexpr int64_t kLitre = 1'000'000;      // microlitres
inline constexpr int64_t kMillilitre = 1'000;     // microlitres
inline constexpr int64_t kGram = 1'000'000;       // micrograms
inline constexpr int64_t kMilligram = 1'000;      // micrograms
inline constexpr int64_t kBottleUl = 750'000;     // the usual bottle
inline constexpr int64_t kMinuteUs = 60'000'000;  // microseconds
inline constexpr int64_t kDayUs = 1440 * kMinuteUs;
inline constexpr int64_t kDawnUs = 1'704'096'000'000'000;  // 2024-01-01 08:00 UTC

// The id that a name stands for: the same name, the same id, in every test and process.
Uuid IdOf(absl::string_view name);

v1::Draw Draw(absl::string_view vessel, int64_t volume_ul);
v1::Draw DrawAll(absl::string_view vessel);
v1::Fill Fill(absl::string_view vessel, int64_t volume_ul);
v1::Fill FillRest(absl::string_view vessel);
v1::Outflow Out(v1::Account account, int64_t volume_ul);
v1::Outflow OutRest(v1::Account account);

v1::Amount Mass(int64_t base_ug);
v1::Amount Volume(int64_t base_ul);
v1::Amount Count(int64_t pieces);

// A line of an addition, out of stock.
v1::AdditionLine FromLot(absl::string_view material_lot, const v1::Amount& amount,
                         int64_t volume_effect_ul = 0);
// A line of an addition of what nobody keeps stock of.
v1::AdditionLine OfMaterial(absl::string_view material, const v1::Amount& amount,
                            int64_t volume_effect_ul = 0);

v1::BottleGroup Group(absl::string_view bin, int64_t count, int64_t size_ul = kBottleUl,
                      int64_t fill_ul = 0);
v1::Bottles BottlesOf(absl::string_view bottling, int64_t count, int64_t size_ul = kBottleUl);

v1::Measurement Measured(v1::ReadingKind kind, v1::ReadingUnit unit, int64_t value_micro);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_MESSAGES_H_
