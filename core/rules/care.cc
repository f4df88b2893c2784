#include "core/rules/care.h"

#include <algorithm>

namespace rundlet::rules {
namespace {

using Time = CareIndex::Time;

absl::Span<const Time> In(const absl::flat_hash_map<Handle, std::vector<Time>>& times,
                          Handle thing) {
  const auto found = times.find(thing);
  return found == times.end() ? absl::Span<const Time>() : found->second;
}

bool IsUsed(const Line& line) {
  return line.role == Role::kDraw || line.role == Role::kFill || line.role == Role::kGear;
}

bool IsUse(const Row& row) {
  return row.standing == Row::Standing::kCounts &&
         (row.kind == ActKind::kReceive || row.kind == ActKind::kTransfer ||
          row.kind == ActKind::kTreat);
}

}  // namespace

const CareIndex::All& CareIndex::Known() const {
  if (all_.has_value()) return *all_;
  all_.emplace();
  const Sequence& order = fold_.sequence();
  for (const auto& [row, record] : fold_.records().all()) {
    if (order.row(row).standing != Row::Standing::kCounts) continue;
    Times* times = record.has_sanitised()    ? &all_->cleanings
                   : record.has_calibrated() ? &all_->calibrations
                   : record.has_addition()   ? &all_->mixings
                                             : nullptr;
    if (times == nullptr) continue;
    const Time time{order.PositionOf(row), row};
    if (record.has_addition() && fold_.HeldAt(time.position) != nullptr) continue;
    for (const Line& line : order.lines(order.row(row))) {
      if (line.role == Role::kAbout || line.role == Role::kVessel || line.role == Role::kGear)
        (*times)[line.handle].push_back(time);
    }
    if (record.has_sanitised())
      all_->first_cleaning = std::min(all_->first_cleaning, time.position);
    if (record.has_calibrated())
      all_->first_calibration = std::min(all_->first_calibration, time.position);
  }
  for (Times* times : {&all_->cleanings, &all_->calibrations, &all_->mixings}) {
    for (auto& [thing, list] : *times) {
      std::sort(list.begin(), list.end(),
                [](const Time& a, const Time& b) { return a.position < b.position; });
    }
  }
  return *all_;
}

const CareIndex::Times& CareIndex::Uses() const {
  if (uses_.has_value()) return *uses_;
  uses_.emplace();
  const Sequence& order = fold_.sequence();
  for (size_t i = Known().first_cleaning; i < order.size(); ++i) {
    const Row& row = order.row(order.at(i));
    if (!IsUse(row) || fold_.HeldAt(i) != nullptr) continue;
    for (const Line& line : order.lines(row)) {
      if (IsUsed(line)) (*uses_)[line.handle].push_back({i, order.at(i)});
    }
  }
  return *uses_;
}

bool CareIndex::UsedBetween(Handle thing, size_t after, size_t before) const {
  if (reach_ == Reach::kAll) {
    const auto used = LastBefore(In(Uses(), thing), before);
    return used.has_value() && used->position > after;
  }
  const Sequence& order = fold_.sequence();
  for (size_t i = after + 1; i < before; ++i) {
    const Row& row = order.row(order.at(i));
    if (!IsUse(row)) continue;
    const auto lines = order.lines(row);
    const bool used = std::any_of(lines.begin(), lines.end(), [thing](const Line& line) {
      return IsUsed(line) && line.handle == thing;
    });
    if (used && fold_.HeldAt(i) == nullptr) return true;
  }
  return false;
}

absl::Span<const Time> CareIndex::CleaningsOf(Handle thing) const {
  return In(Known().cleanings, thing);
}
absl::Span<const Time> CareIndex::CalibrationsOf(Handle thing) const {
  return In(Known().calibrations, thing);
}
absl::Span<const Time> CareIndex::MixingsInto(Handle vessel) const {
  return In(Known().mixings, vessel);
}

std::vector<Handle> CareIndex::CaredFor() const {
  std::vector<Handle> things;
  for (const auto& [thing, times] : Known().cleanings) things.push_back(thing);
  for (const auto& [thing, times] : Known().mixings) {
    if (!Known().cleanings.contains(thing)) things.push_back(thing);
  }
  return things;
}

std::optional<Time> LastBefore(absl::Span<const Time> times, size_t position) {
  const auto at =
      std::lower_bound(times.begin(), times.end(), position,
                       [](const Time& time, size_t before) { return time.position < before; });
  return at == times.begin() ? std::nullopt : std::optional<Time>(*(at - 1));
}

std::optional<Time> CareIndex::CleanAt(Handle thing, size_t position) const {
  const auto cleaned = LastBefore(CleaningsOf(thing), position);
  if (!cleaned.has_value()) return std::nullopt;
  return UsedBetween(thing, cleaned->position, position) ? std::nullopt : cleaned;
}

}  // namespace rundlet::rules
