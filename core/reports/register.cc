#include "core/reports/register.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/format.h"
#include "core/reports/groups.h"
#include "core/reports/running.h"

namespace rundlet::reports {
namespace {

class Registrar {
 public:
  Registrar(const Fold& fold, const Period& period, RegisterBy by)
      : fold_(fold), period_(period), groups_(fold, by), running_(fold) {}

  absl::StatusOr<Register> Make();

 private:
  RegisterRow& RowOf(Group group, int64_t size_ul);
  // Writes what is on hand into one field of every row.
  void Stand(int64_t RegisterRow::*field);
  void Count(const Movement& movement);
  void CountWine(const Movement& movement);
  void CountBottles(const Movement& movement);
  absl::StatusOr<Register> Finish();

  const Fold& fold_;
  const Period period_;
  Groups groups_;
  Running running_;
  std::vector<RegisterRow> rows_;
  absl::flat_hash_map<std::pair<Group, int64_t>, size_t> row_of_;
};

RegisterRow& Registrar::RowOf(Group group, int64_t size_ul) {
  const auto [it, fresh] = row_of_.try_emplace({group, size_ul}, rows_.size());
  if (fresh) {
    rows_.push_back(
        {.thing = groups_.ThingOf(group), .name = groups_.NameOf(group), .size_ul = size_ul});
  }
  return rows_[it->second];
}

void Registrar::Stand(int64_t RegisterRow::*field) {
  for (Handle vessel = 0; vessel < running_.vessels().size(); ++vessel) {
    const Running::InVessel& in = running_.In(vessel);
    if (in.volume_ul != 0)
      RowOf(groups_.OfWine(Place::Vessel(vessel), in.parcel), 0).*field += in.volume_ul;
  }
  for (const auto& [key, amount] : running_.balances()) {
    const CommodityInfo& info = fold_.commodities().info(key.second);
    if (amount != 0 && info.kind == CommodityInfo::Kind::kBottles)
      RowOf(groups_.OfBottles(key.first, key.second), info.measure).*field += amount;
  }
}

void Registrar::CountWine(const Movement& m) {
  const bool from_vessel = m.from.kind() == Place::Kind::kVessel;
  const bool to_vessel = m.to.kind() == Place::Kind::kVessel;
  Group from = groups_.OfWine(m.from, m.from_parcel);
  Group to = groups_.OfWine(m.to, m.to_parcel);
  // What outside says nothing of is of the row at the other end.
  if (!from_vessel && !groups_.Says(from)) from = to;
  if (!to_vessel && !groups_.Says(to)) to = from;
  if (!from_vessel) RowOf(from, 0).in[m.from.account()] += m.amount;
  if (!to_vessel) RowOf(to, 0).out[m.to.account()] += m.amount;
  if (from != to) {
    RowOf(from, 0).crossed_out += m.amount;
    RowOf(to, 0).crossed_in += m.amount;
  }
}

void Registrar::CountBottles(const Movement& m) {
  const int64_t size_ul = fold_.commodities().info(m.commodity).measure;
  const bool from_inside = IsInside(m.from);
  const bool to_inside = IsInside(m.to);
  const Group from = groups_.OfBottles(from_inside ? m.from : m.to, m.commodity);
  const Group to = groups_.OfBottles(to_inside ? m.to : m.from, m.commodity);
  if (!from_inside) RowOf(from, size_ul).in[m.from.account()] += m.amount;
  if (!to_inside) RowOf(to, size_ul).out[m.to.account()] += m.amount;
  if (from_inside && to_inside && from != to) {
    RowOf(from, size_ul).crossed_out += m.amount;
    RowOf(to, size_ul).crossed_in += m.amount;
  }
}

void Registrar::Count(const Movement& movement) {
  switch (fold_.commodities().info(movement.commodity).kind) {
    case CommodityInfo::Kind::kWine:
      return CountWine(movement);
    case CommodityInfo::Kind::kBottles:
      return CountBottles(movement);
    case CommodityInfo::Kind::kMaterial:
      return;
  }
}

absl::StatusOr<Register> Registrar::Make() {
  const Log<Movement>& movements = fold_.state().movements();
  bool begun = false;
  bool ended = false;
  for (size_t i = 0; i < movements.size(); ++i) {
    const Movement& movement = movements[i];
    const int64_t at_us = fold_.sequence().row(movement.row).effective_at_us;
    if (!begun && at_us >= period_.from_us) {
      begun = true;
      Stand(&RegisterRow::opening);
    }
    if (!ended && at_us >= period_.before_us) {
      ended = true;
      Stand(&RegisterRow::closing);
    }
    if (period_.Holds(at_us)) Count(movement);
    running_.Take(movement);
  }
  if (!begun) Stand(&RegisterRow::opening);
  if (!ended) Stand(&RegisterRow::closing);
  if (absl::Status status = running_.Agrees(); !status.ok()) return status;
  return Finish();
}

// A total takes a row in. What crosses between rows stays: it tells how much was moved about.
void AddTo(RegisterRow& total, const RegisterRow& row) {
  total.opening += row.opening;
  total.closing += row.closing;
  total.crossed_in += row.crossed_in;
  total.crossed_out += row.crossed_out;
  for (size_t i = 0; i < kAccounts; ++i) {
    total.in[i] += row.in[i];
    total.out[i] += row.out[i];
  }
}

absl::Status CheckRow(const RegisterRow& row) {
  if (row.Expected() == row.closing) return absl::OkStatus();
  return absl::InternalError(absl::StrCat(
      "the register does not balance: of ", row.name, row.size_ul == 0 ? ", wine" : ", bottles of ",
      row.size_ul == 0 ? "" : FormatVolume(row.size_ul), ", the sums leave ", row.Expected(),
      ", and there were ", row.closing, "; nothing was reported. Please report this error"));
}

absl::StatusOr<Register> Registrar::Finish() {
  Register made;
  std::map<int64_t, RegisterRow> totals;
  for (const RegisterRow& row : rows_) {
    if (absl::Status status = CheckRow(row); !status.ok()) return status;
    if (row.empty()) continue;
    AddTo(totals[row.size_ul], row);
    made.rows.push_back(row);
  }
  std::sort(made.rows.begin(), made.rows.end(), [this](const RegisterRow& a, const RegisterRow& b) {
    // Things of one name are told apart by their ids, so that every device prints them alike.
    return std::tie(a.name, a.size_ul, fold_.interner().id(a.thing)) <
           std::tie(b.name, b.size_ul, fold_.interner().id(b.thing));
  });
  for (auto& [size_ul, total] : totals) {
    total.name = "all";
    total.size_ul = size_ul;
    if (absl::Status status = CheckRow(total); !status.ok()) return status;
    // Invariant: what goes out of one row by crossing comes into another.
    if (total.crossed_in != total.crossed_out) {
      return absl::InternalError(absl::StrCat("the register does not balance: ", total.crossed_out,
                                              " crossed out of rows, ", total.crossed_in, " into"));
    }
    made.totals.push_back(std::move(total));
  }
  return made;
}

}  // namespace

int64_t RegisterRow::Expected() const {
  return std::accumulate(in.begin(), in.end(), opening + crossed_in - crossed_out) -
         std::accumulate(out.begin(), out.end(), int64_t{0});
}

bool RegisterRow::empty() const {
  const auto is_zero = [](int64_t amount) { return amount == 0; };
  return opening == 0 && closing == 0 && crossed_in == 0 && crossed_out == 0 &&
         std::all_of(in.begin(), in.end(), is_zero) && std::all_of(out.begin(), out.end(), is_zero);
}

absl::StatusOr<Register> MakeRegister(const Fold& fold, const Period& period, RegisterBy by) {
  return Registrar(fold, period, by).Make();
}

}  // namespace rundlet::reports
