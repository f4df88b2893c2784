// Goal: the register balances in every cellar, adds up over any split of a period, and ends with
// what the fold holds. Method: random cellars, cut at random moments; MakeRegister itself fails
// where a row does not balance.
#include "core/reports/register.h"

#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

using reports::kAccounts;
using reports::MakeRegister;
using reports::Period;
using reports::Register;
using reports::RegisterBy;
using reports::RegisterRow;

using Key = std::tuple<std::string, Handle, int64_t>;
using Rows = std::map<Key, RegisterRow>;

Rows RowsOf(const Fold& fold, const Period& period, RegisterBy by) {
  const auto made = MakeRegister(fold, period, by);
  EXPECT_TRUE(made.ok()) << made.status();
  Rows rows;
  if (!made.ok()) return rows;
  for (const RegisterRow& row : made->rows) {
    EXPECT_GE(row.opening, 0) << row.name;
    EXPECT_GE(row.closing, 0) << row.name;
    EXPECT_TRUE(rows.emplace(Key(row.name, row.thing, row.size_ul), row).second) << row.name;
  }
  return rows;
}

// Two periods, the one after the other, are the whole of both.
void AddsUp(const Rows& first, const Rows& second, const Rows& whole) {
  Rows sum = first;
  for (auto& [key, row] : sum) {
    const auto next = second.find(key);
    EXPECT_EQ(next == second.end() ? 0 : next->second.opening, row.closing) << row.name;
    if (next == second.end()) row.closing = 0;
  }
  for (const auto& [key, row] : second) {
    const auto [it, fresh] = sum.emplace(key, row);
    if (fresh) {
      EXPECT_EQ(row.opening, 0) << row.name;
      continue;
    }
    it->second.closing = row.closing;
    it->second.crossed_in += row.crossed_in;
    it->second.crossed_out += row.crossed_out;
    for (size_t i = 0; i < kAccounts; ++i) {
      it->second.in[i] += row.in[i];
      it->second.out[i] += row.out[i];
    }
  }
  ASSERT_EQ(sum.size(), whole.size());
  for (const auto& [key, row] : sum) {
    ASSERT_TRUE(whole.contains(key)) << row.name;
    const RegisterRow& all = whole.at(key);
    EXPECT_EQ(row.opening, all.opening) << row.name;
    EXPECT_EQ(row.in, all.in) << row.name;
    EXPECT_EQ(row.out, all.out) << row.name;
    EXPECT_EQ(row.crossed_in, all.crossed_in) << row.name;
    EXPECT_EQ(row.crossed_out, all.crossed_out) << row.name;
    EXPECT_EQ(row.closing, all.closing) << row.name;
  }
}

// Wine, and bottles of each size, as the fold keeps them.
std::map<int64_t, int64_t> OnHand(const Fold& fold) {
  std::map<int64_t, int64_t> totals;
  for (Handle vessel = 0; vessel < fold.state().holdings(); ++vessel)
    totals[0] += fold.state().holding(vessel).volume_ul;
  for (const Balance& balance : fold.state().balances()) {
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    if (info.kind == CommodityInfo::Kind::kBottles) totals[info.measure] += balance.amount;
  }
  std::erase_if(totals, [](const auto& total) { return total.second == 0; });
  return totals;
}

class RegisterPropertyTest : public ::testing::TestWithParam<Profile> {};

TEST_P(RegisterPropertyTest, BalancesAndAddsUpOverAnySplit) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(4); ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Fold fold;
    for (const WrittenEntry& written : Generate(GeneratorOptions::Of(GetParam(), seed), 3'000))
      fold.Insert(written.entry);
    fold.Settle();
    Random random(seed);
    const int64_t first_us = fold.sequence().row(fold.sequence().at(0)).effective_at_us;
    const int64_t last_us =
        fold.sequence().row(fold.sequence().at(fold.sequence().size() - 1)).effective_at_us;
    for (const RegisterBy by : {RegisterBy::kLot, RegisterBy::kClass, RegisterBy::kVessel}) {
      const Rows whole = RowsOf(fold, {}, by);
      std::map<int64_t, int64_t> closing;
      for (const auto& [key, row] : whole) closing[row.size_ul] += row.closing;
      std::erase_if(closing, [](const auto& total) { return total.second == 0; });
      EXPECT_EQ(closing, OnHand(fold));
      for (int cut = 0; cut < 6; ++cut) {
        const int64_t at_us = random.Between(first_us, last_us);
        AddsUp(RowsOf(fold, {.before_us = at_us}, by), RowsOf(fold, {.from_us = at_us}, by), whole);
      }
    }
    EXPECT_GT(fold.state().movements().size(), 500u) << "too little moved to prove anything";
  }
}

INSTANTIATE_TEST_SUITE_P(All, RegisterPropertyTest,
                         ::testing::Values(Profile::kRealistic, Profile::kHostile));

}  // namespace
}  // namespace rundlet::testing
