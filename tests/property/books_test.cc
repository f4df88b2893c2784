// Goal: movements explain every balance, and nothing is made or lost by blending.
// Method: a second bookkeeper, and sums over all vessels, beside random cellars.
#include <numeric>
#include <string>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

TEST(BooksTest, MovementsExplainEveryBalanceOfLargeCellars) {
  const uint64_t cellars = Runs(4);
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + cellars; ++seed) {
    for (const Profile profile : {Profile::kHostile, Profile::kRealistic}) {
      SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
      Fold fold;
      for (const WrittenEntry& written : Generate(GeneratorOptions::Of(profile, seed), 4'000)) {
        fold.Insert(written.entry);
      }
      fold.Settle();
      ASSERT_TRUE(AuditFold(fold).ok()) << AuditFold(fold);
    }
  }
}

// Every microlitre of every origin and every microgram of every material, over all vessels.
struct Totals {
  int64_t volume_ul = 0;
  absl::flat_hash_map<ParcelId, int64_t> origins;
  absl::flat_hash_map<Commodity, int64_t> doses;

  friend bool operator==(const Totals&, const Totals&) = default;
};

Totals TotalsOf(const Fold& fold) {
  const State& state = fold.state();
  Totals totals;
  for (Handle vessel = 0; vessel < state.holdings(); ++vessel) {
    const Holding& holding = state.holding(vessel);
    totals.volume_ul += holding.volume_ul;
    for (const Share& share : state.origins(holding)) totals.origins[share.of] += share.amount;
    for (const Share& share : state.doses(holding)) totals.doses[share.of] += share.amount;
  }
  return totals;
}

std::string VesselName(int64_t i) { return absl::StrCat("V", i); }

// From one to three vessels to one to three others or the same, nothing measured out of the cellar.
v1::Entry RandomBlend(Random& random, int vessels) {
  std::vector<int64_t> order(vessels);
  std::iota(order.begin(), order.end(), 0);
  random.Shuffle(order);
  std::vector<v1::Draw> draws;
  int64_t drawn_ul = 0;
  for (int64_t n = random.Between(1, 3); n > 0; --n) {
    draws.push_back(Draw(VesselName(order[n]), random.Between(1, 3'000'017)));
    drawn_ul += draws.back().volume_ul();
  }
  random.Shuffle(order);
  std::vector<v1::Fill> fills;
  for (int64_t n = random.Between(1, 3); n > 0; --n) {
    if (n == 1) {
      fills.push_back(FillRest(VesselName(order[n])));
    } else {
      const int64_t part_ul = random.Between(1, std::max<int64_t>(1, drawn_ul / 3));
      drawn_ul -= part_ul;
      fills.push_back(Fill(VesselName(order[n]), part_ul));
    }
  }
  return draft::Blend(draws, fills);
}

TEST(BooksTest, TenThousandBlendsMakeAndLoseNothing) {
  constexpr int kVessels = 8;
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(1); ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Random random(seed);
    TestDevice phone("phone");
    Fold fold;
    fold.Insert(phone.SetTolerance(0, 0).entry);  // so that nothing is gained
    fold.Insert(phone.RegisterLot("Riesling").entry);
    fold.Insert(phone.RegisterMaterial("Sulfite").entry);
    for (int i = 0; i < kVessels; ++i) {
      const std::string vessel = VesselName(i);
      const std::string material = absl::StrCat("lot ", i);
      fold.Insert(phone.RegisterVessel(vessel).entry);
      fold.Insert(phone.RegisterMaterialLot(material, "Sulfite").entry);
      fold.Insert(phone.Receive("Riesling", {Fill(vessel, random.Between(5, 50'000'000))}).entry);
      fold.Insert(phone
                      .Add(vessel, {FromLot(material, Mass(random.Between(1, 9'999'999))),
                                    FromLot("lot 0", Mass(random.Between(1, 99)))})
                      .entry);
    }
    fold.Settle();
    const Totals before = TotalsOf(fold);
    EXPECT_EQ(before.origins.size(), kVessels);
    size_t applied = 0;
    for (int i = 0; i < 10'000; ++i) {
      const WrittenEntry blend = phone.Write(RandomBlend(random, kVessels));
      fold.Add(blend.entry);
      if (fold.HeldAt(fold.sequence().size() - 1) == nullptr) ++applied;
      if (i % 1'000 == 0) {
        ASSERT_EQ(TotalsOf(fold), before) << "after blend " << i;
      }
    }
    EXPECT_EQ(TotalsOf(fold), before);
    EXPECT_GT(applied, 5'000);
    EXPECT_TRUE(AuditFold(fold).ok()) << AuditFold(fold);
  }
}

}  // namespace
}  // namespace rundlet::testing
