#include "client/dose/wine_at_hand.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/commands/known_materials.h"
#include "core/quantity/reading.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

constexpr int64_t kDayUs = int64_t{24} * 3600 * 1'000'000;

// A reading older than this is used, and its age said.
int64_t WorthSaying(v1::ReadingKind kind) {
  switch (kind) {
    case v1::READING_KIND_TEMPERATURE:
      return kDayUs;
    case v1::READING_KIND_DENSITY:
    case v1::READING_KIND_RESIDUAL_SUGAR:
      return 7 * kDayUs;
    default:
      return 30 * kDayUs;
  }
}

When WhenOf(const Row& row) {
  return {.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min};
}

}  // namespace

absl::StatusOr<WineAtHand> WineAtHand::Of(const Fold& fold, Handle vessel, const When& now) {
  WineAtHand wine;
  wine.fold_ = &fold;
  wine.handle_ = vessel;
  wine.name_ = fold.directory().NameOf(vessel, fold.sequence());
  wine.volume_l_ = static_cast<double>(fold.state().holding(vessel).volume_ul) * 1e-6;
  wine.now_ = now;
  if (wine.volume_l_ <= 0)
    return absl::FailedPreconditionError(absl::StrCat(wine.name_, " holds no wine"));
  wine.readings_ = KnownReadings(fold, vessel);
  return wine;
}

const v1::Lot& WineAtHand::lot() const {
  const Directory::Known* lot = fold_->directory().Find(fold_->state().holding(handle_).lot);
  return lot == nullptr ? v1::Lot::default_instance() : lot->thing.lot();
}

std::optional<double> WineAtHand::SugarGL() const {
  for (const KnownReading& reading : readings_) {
    if (reading.kind == v1::READING_KIND_RESIDUAL_SUGAR && reading.changed_by == kNone)
      return static_cast<double>(reading.value_micro) * 1e-6;
  }
  return std::nullopt;
}

absl::Status WineAtHand::Fill(const Need& need, Values& values, std::vector<std::string>& origins,
                              std::vector<std::string>& gaps) const {
  if (values.Has(need.key)) return absl::OkStatus();
  const absl::string_view what = ReadingWord(need.reading);
  const auto reading =
      std::find_if(readings_.begin(), readings_.end(),
                   [&](const KnownReading& known) { return known.kind == need.reading; });
  std::string why;
  if (reading == readings_.end()) {
    why = absl::StrCat("the ", what, " of ", name_, " is not known");
  } else {
    const Row& row = fold_->sequence().row(reading->row);
    const std::string text = FormatReading(reading->value_micro, FromWire(reading->unit));
    if (reading->changed_by == kNone) {
      const auto value = ReadInput(need.kind, text);
      if (!value.ok()) return value.status();
      values.Set(need.key, *value);
      const int64_t days = (now_.at_us - row.effective_at_us) / kDayUs;
      origins.push_back(absl::StrCat(what, " as read on ", FormatWhen(WhenOf(row)), ": ", text));
      if (now_.at_us - row.effective_at_us > WorthSaying(need.reading))
        gaps.push_back(absl::StrCat("the ", what, " was read ", days, " days ago"));
      return absl::OkStatus();
    }
    const Row& change = fold_->sequence().row(reading->changed_by);
    why = absl::StrCat("the ", what, " of ", name_, " was read on ", FormatWhen(WhenOf(row)),
                       ", before what was done to the wine on ", FormatWhen(WhenOf(change)), " (",
                       ShortId(change.id), ")");
  }
  std::string way = absl::StrCat("measure it: rundlet read ", name_, " ", need.how_to_read);
  if (*need.about != '\0') absl::StrAppend(&way, "; or say it with --", need.key);
  if (need.required) return absl::FailedPreconditionError(absl::StrCat(why, ": ", way));
  gaps.push_back(absl::StrCat(why, "; to count it, ", way));
  return absl::OkStatus();
}

std::optional<WineAtHand::Total> WineAtHand::TotalSo2() const {
  const auto reading = std::find_if(readings_.begin(), readings_.end(), [](const auto& known) {
    return known.kind == v1::READING_KIND_TOTAL_SO2;
  });
  const bool measured = reading != readings_.end();
  const size_t since = measured ? fold_->sequence().PositionOf(reading->row) : 0;
  double added_ug = 0;
  for (const StoryStep& step : StoryOf(*fold_, handle_)) {
    if (measured && step.position <= since) continue;
    const Row& row = fold_->sequence().row(fold_->sequence().at(step.position));
    if (row.kind != ActKind::kAdd) continue;
    for (const Line& line : fold_->sequence().lines(row)) {
      const v1::Material* material =
          line.role == Role::kMaterial ? FindMaterial(*fold_, line.handle) : nullptr;
      if (material == nullptr || !IsSulfite(*material)) continue;
      const bool weighed = fold_->commodities().info(line.other).measure == v1::DIMENSION_MASS;
      if (!weighed || material->so2_ppm() == 0) return std::nullopt;
      if (measured) added_ug += static_cast<double>(line.amount) * material->so2_ppm() * 1e-6;
    }
  }
  if (!measured) {
    return Total{.mg_l = AddedMgL([](const v1::Material& m) { return m.so2_ppm() * 1e-6; }),
                 .at_least = true};
  }
  if (SameWineSince(*fold_, handle_) > since) return std::nullopt;
  return Total{.mg_l =
                   static_cast<double>(reading->value_micro) * 1e-6 + added_ug * 1e-3 / volume_l_};
}

double WineAtHand::AddedMgL(double (*part_of)(const v1::Material&)) const {
  double mass_ug = 0;
  for (const Share& dose : fold_->state().doses(fold_->state().holding(handle_))) {
    const CommodityInfo& info = fold_->commodities().info(dose.of);
    const v1::Material* material = FindMaterial(*fold_, info.handle);
    if (material != nullptr && info.measure == v1::DIMENSION_MASS)
      mass_ug += static_cast<double>(dose.amount) * part_of(*material);
  }
  return mass_ug * 1e-3 / volume_l_;
}

}  // namespace rundlet::client
