// Goal: a trace finds by links what a reader of every movement finds, and what it carries forward
// is neither made nor lost. Method: random cellars of both profiles, folded in random order, so
// that links were cut and made again; each walk from random parcels and of every material against a
// plain pass over all movements; what is carried against the shares that parcels keep of
// deliveries, and against fractions carried in one pass over all movements.
#include <map>
#include <numeric>
#include <set>

#include "absl/strings/str_cat.h"
#include "core/lineage/carry.h"
#include "core/lineage/whereabouts.h"
#include "gtest/gtest.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

// ---- the plain reference: every movement, in fold order ----

struct PlainWalk {
  std::set<ParcelId> reached;
  std::vector<size_t> movements;
};

PlainWalk PlainForward(const State& state, const std::vector<ParcelId>& parcels,
                       const absl::flat_hash_set<Commodity>& materials) {
  PlainWalk walk;
  walk.reached.insert(parcels.begin(), parcels.end());
  for (size_t i = 0; i < state.movements().size(); ++i) {
    const Movement& m = state.movements()[i];
    const bool wine = m.commodity == kWine && walk.reached.contains(m.from_parcel);
    const bool added = m.to_parcel != kNone && materials.contains(m.commodity);
    const bool joined = m.to_parcel != kNone && m.commodity == kWine &&
                        walk.reached.contains(state.parcels()[m.to_parcel].before);
    if (!wine && !added && !joined) continue;
    if (m.to_parcel != kNone) walk.reached.insert(m.to_parcel);
    if (!(m.from == m.to)) walk.movements.push_back(i);
  }
  return walk;
}

std::vector<size_t> PlainBack(const State& state, const std::vector<ParcelId>& parcels) {
  std::set<ParcelId> reached(parcels.begin(), parcels.end());
  std::vector<size_t> movements;
  for (size_t i = state.movements().size(); i-- > 0;) {
    const Movement& m = state.movements()[i];
    if (m.to_parcel == kNone || !reached.contains(m.to_parcel)) continue;
    if (m.from_parcel != kNone) reached.insert(m.from_parcel);
    if (state.parcels()[m.to_parcel].before != kNone)
      reached.insert(state.parcels()[m.to_parcel].before);
    if (!(m.from == m.to)) movements.push_back(i);
  }
  return movements;
}

// How much of the wine of `starts` each parcel got and has left, as fractions of what was drawn.
struct Fraction {
  double arrived = 0, left = 0, volume_left = 0;
};
std::map<ParcelId, Fraction> PlainCarry(const State& state, const std::vector<ParcelId>& starts) {
  std::map<ParcelId, Fraction> all;
  const std::set<ParcelId> set(starts.begin(), starts.end());
  for (ParcelId id = 0; id < state.parcels().size(); ++id) {
    const auto volume = static_cast<double>(state.parcels()[id].volume_ul);
    all[id].volume_left = volume;
    if (set.contains(id)) all[id].arrived = all[id].left = volume;
  }
  for (size_t i = 0; i < state.movements().size(); ++i) {
    const Movement& m = state.movements()[i];
    if (m.commodity != kWine || m.from_parcel == kNone) continue;
    Fraction& from = all[m.from_parcel];
    const auto amount = static_cast<double>(m.amount);
    const double part = from.volume_left <= 0 ? 0 : from.left * amount / from.volume_left;
    from.left -= part;
    from.volume_left -= amount;
    if (m.to_parcel == kNone || set.contains(m.to_parcel)) continue;
    all[m.to_parcel].arrived += part;
    all[m.to_parcel].left += part;
  }
  return all;
}

// ---- cellars ----

std::unique_ptr<Fold> Shuffled(std::vector<WrittenEntry> entries, Random& random) {
  // Nearly in order, with some far out of it: that cuts the logs back often.
  for (int64_t swaps = random.Between(5, 40); swaps > 0; --swaps) {
    const auto size = static_cast<int64_t>(entries.size());
    std::swap(entries[random.Below(size)], entries[random.Below(size)]);
  }
  auto fold = std::make_unique<Fold>();
  for (const WrittenEntry& written : entries) {
    fold->Insert(written.entry);
    if (random.Chance(100)) fold->Settle();
  }
  fold->Settle();
  return fold;
}

class LineageTest : public ::testing::TestWithParam<Profile> {
 protected:
  // Calls `check` with the fold of each of some random cellars.
  template <typename Check>
  void ForEachCellar(Check check) {
    const uint64_t cellars = Runs(GetParam() == Profile::kRealistic ? 12 : 8);
    for (uint64_t seed = FirstSeed(); seed < FirstSeed() + cellars; ++seed) {
      SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
      Random random(seed);
      const auto fold = Shuffled(Generate(GeneratorOptions::Of(GetParam(), seed), 600), random);
      check(*fold, random);
      if (HasFatalFailure()) return;
    }
  }

  static std::vector<ParcelId> SomeParcels(const State& state, Random& random) {
    std::vector<ParcelId> some;
    for (int64_t n = random.Between(1, 3); n > 0 && !state.parcels().empty(); --n) {
      some.push_back(
          static_cast<ParcelId>(random.Below(static_cast<int64_t>(state.parcels().size()))));
    }
    return some;
  }
};

TEST_P(LineageTest, LinksAreThoseThatAPassOverAllMovementsFinds) {
  ForEachCellar([](const Fold& fold, Random&) {
    const State& state = fold.state();
    std::map<ParcelId, uint32_t> last_from, last_to;
    std::map<Commodity, uint32_t> last_of;
    const auto swap = [](auto& heads, uint32_t key, uint32_t value) {
      const auto it = heads.find(key);
      const uint32_t old = it == heads.end() ? kNone : it->second;
      heads[key] = value;
      return old;
    };
    for (uint32_t i = 0; i < state.movements().size(); ++i) {
      const Movement& m = state.movements()[i];
      uint32_t from = kNone;
      if (m.commodity != kWine) {
        from = swap(last_of, m.commodity, i);
      } else if (m.from_parcel != kNone) {
        from = swap(last_from, m.from_parcel, i);
      }
      ASSERT_EQ(m.earlier_from, from) << i;
      ASSERT_EQ(m.earlier_to, m.to_parcel == kNone ? kNone : swap(last_to, m.to_parcel, i)) << i;
      if (m.from_parcel != kNone && m.to_parcel != kNone) {
        ASSERT_LT(m.from_parcel, m.to_parcel) << "what flows into a parcel is older than it";
      }
    }
    for (const auto& [commodity, last] : last_of) ASSERT_EQ(state.last_of(commodity), last);
    std::map<ParcelId, ParcelId> after;
    std::map<Handle, ParcelId> last_at;
    for (ParcelId id = 0; id < state.parcels().size(); ++id) {
      const Parcel& p = state.parcels()[id];
      ASSERT_EQ(p.last_from, last_from.contains(id) ? last_from[id] : kNone) << id;
      ASSERT_EQ(p.last_to, last_to.contains(id) ? last_to[id] : kNone) << id;
      if (p.before != kNone) {
        ASSERT_TRUE(after.emplace(p.before, id).second) << "two parcels after one";
      }
      const Handle here = p.place != kNoHandle ? p.place : p.lot;
      if (here != kNoHandle) {
        ASSERT_EQ(p.earlier_here, swap(last_at, here, id)) << id;
      }
    }
    for (ParcelId id = 0; id < state.parcels().size(); ++id)
      ASSERT_EQ(state.parcels()[id].after, after.contains(id) ? after[id] : kNone) << id;
    for (const auto& [place, last] : last_at) ASSERT_EQ(state.last_at(place), last);
  });
}

TEST_P(LineageTest, AWalkFindsWhatAPassOverAllMovementsFinds) {
  size_t longest = 0;
  ForEachCellar([&](const Fold& fold, Random& random) {
    const State& state = fold.state();
    for (int i = 0; i < 20; ++i) {
      const std::vector<ParcelId> start = SomeParcels(state, random);
      absl::flat_hash_set<Commodity> materials;
      if (random.Chance(500) && fold.commodities().size() > 1) {
        materials.insert(static_cast<Commodity>(
            1 + random.Below(static_cast<int64_t>(fold.commodities().size()) - 1)));
      }
      const std::vector<ParcelId> parcels =
          materials.empty() || random.Chance(300) ? start : std::vector<ParcelId>{};
      const Walk walk = WalkForward(state, parcels, materials);
      const PlainWalk plain = PlainForward(state, parcels, materials);
      ASSERT_EQ(walk.movements, plain.movements);
      ASSERT_EQ(walk.reached, std::vector<ParcelId>(plain.reached.begin(), plain.reached.end()));
      ASSERT_EQ(WalkBack(state, start), PlainBack(state, start));
      longest = std::max(longest, walk.reached.size());
    }
  });
  EXPECT_GT(longest, 20u) << "the cellars are too poor to try walks on";
}

TEST_P(LineageTest, WhatIsCarriedIsNeitherMadeNorLost) {
  ForEachCellar([](const Fold& fold, Random& random) {
    const State& state = fold.state();
    for (int i = 0; i < 10; ++i) {
      std::vector<ParcelId> start = SomeParcels(state, random);
      start.resize(std::min<size_t>(start.size(), 1));
      if (start.empty()) return;
      const Walk walk = WalkForward(state, start, {});
      const std::vector<Carried> carried = CarryForward(state, start, walk.reached);
      const std::map<ParcelId, Fraction> plain = PlainCarry(state, start);
      const auto slack = static_cast<double>(walk.movements.size() + walk.reached.size());
      double left = 0, gone = 0;
      std::set<ParcelId> reached(walk.reached.begin(), walk.reached.end());
      for (const Carried& one : carried) {
        ASSERT_NEAR(static_cast<double>(one.arrived_ul), plain.at(one.parcel).arrived, slack);
        ASSERT_NEAR(static_cast<double>(one.left_ul), plain.at(one.parcel).left, slack);
        ASSERT_LE(one.arrived_ul, state.parcels()[one.parcel].volume_ul + slack);
        left += static_cast<double>(one.left_ul);
        gone += plain.at(one.parcel).arrived - plain.at(one.parcel).left;
      }
      // What left every parcel went into another one, or out of the cellar.
      double arrived = 0;
      for (const Carried& one : carried)
        arrived += one.parcel == start[0] ? 0 : plain.at(one.parcel).arrived;
      const double out = gone - arrived;
      EXPECT_NEAR(left + out, static_cast<double>(state.parcels()[start[0]].volume_ul), slack + 1);
    }
  });
}

TEST_P(LineageTest, ADeliveryIsWhereTheSharesSayItIs) {
  size_t compared = 0;
  ForEachCellar([&](const Fold& fold, Random&) {
    const State& state = fold.state();
    for (ParcelId id = 0; id < state.parcels().size(); ++id) {
      if (state.parcels()[id].origin != v1::ACCOUNT_SOURCE) continue;
      Followed exact;
      exact.deliveries.insert(id);
      Followed by_parcel;
      by_parcel.parcels.push_back(id);
      const Walk walk = WalkOf(fold, exact);
      const auto slack = static_cast<int64_t>(walk.movements.size() + walk.reached.size());
      const Whereabouts where = FindWhereabouts(fold, exact, walk);
      const Whereabouts carried = FindWhereabouts(fold, by_parcel, WalkOf(fold, by_parcel));
      EXPECT_LE(where.found, where.entered + slack);
      std::map<Handle, int64_t> difference;
      for (const auto& in : where.vessels) difference[in.vessel] += in.amount;
      for (const auto& in : carried.vessels) difference[in.vessel] -= in.amount;
      for (const auto& in : where.sessions) difference[in.bottling] += in.amount;
      for (const auto& in : carried.sessions) difference[in.bottling] -= in.amount;
      for (const auto& [thing, ul] : difference) {
        EXPECT_LE(std::abs(ul), slack) << fold.directory().NameOf(thing, fold.sequence());
      }
      compared += difference.size();
    }
  });
  EXPECT_GT(compared, 20u) << "nothing was compared";
}

INSTANTIATE_TEST_SUITE_P(Profiles, LineageTest,
                         ::testing::Values(Profile::kRealistic, Profile::kHostile),
                         [](const auto& info) {
                           return info.param == Profile::kRealistic ? "Realistic" : "Hostile";
                         });

}  // namespace
}  // namespace rundlet::testing
