// Goal: pouring splits every list by largest remainder, to the unit, and makes or loses nothing.
// Method: examples worked out by hand; random lists of every size, up to the limits, against an
// apportionment done another way: exact fractions in 128 bits, remainders handed out by sorting.
#include "core/fold/mix.h"

#include <algorithm>
#include <numeric>

#include "absl/strings/str_cat.h"
#include "core/entry/limits.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::Random;

Share Of(uint32_t of, int64_t amount) { return {.amount = amount, .of = of}; }

Mix MixOf(std::vector<Share> origins, std::vector<Share> doses = {}) {
  Mix mix;
  mix.origins = std::move(origins);
  mix.doses = std::move(doses);
  for (const Share& share : mix.origins) mix.volume_ul += share.amount;
  return mix;
}

// 7 of 10 over 5, 3, 2: exact parts 3.5, 2.1, 1.4; rounded down 3, 2, 1, one is missing, and 0.5 is
// the greatest remainder.
TEST(MixTest, LargestRemainder) {
  Mix from = MixOf({Of(1, 5), Of(2, 3), Of(3, 2)});
  Mix part;
  Pour(from, 7, part);
  EXPECT_THAT(part.origins, ElementsAre(Of(1, 4), Of(2, 2), Of(3, 1)));
  EXPECT_THAT(from.origins, ElementsAre(Of(1, 1), Of(2, 1), Of(3, 1)));
  EXPECT_EQ(part.volume_ul, 7);
  EXPECT_EQ(from.volume_ul, 3);
}

TEST(MixTest, ATieGoesToTheSmallerNumber) {
  Mix from = MixOf({Of(4, 1), Of(7, 1), Of(9, 1), Of(11, 1)});
  Mix part;
  Pour(from, 2, part);
  EXPECT_THAT(part.origins, ElementsAre(Of(4, 1), Of(7, 1)));
  EXPECT_THAT(from.origins, ElementsAre(Of(9, 1), Of(11, 1)));
}

TEST(MixTest, DosesGoToTheNearestUnitAndHalvesStay) {
  Mix from = MixOf({Of(1, 4)}, {Of(1, 1), Of(2, 2), Of(3, 3), Of(4, 5)});
  Mix part;
  Pour(from, 2, part);  // halves of 1, 2, 3 and 5
  EXPECT_THAT(part.doses, ElementsAre(Of(2, 1), Of(3, 1), Of(4, 2)));
  EXPECT_THAT(from.doses, ElementsAre(Of(1, 1), Of(2, 1), Of(3, 2), Of(4, 3)));
  from = MixOf({Of(1, 10)}, {Of(1, 1)});
  Pour(from, 6, part);  // 0.6
  EXPECT_THAT(part.doses, ElementsAre(Of(1, 1)));
  EXPECT_THAT(from.doses, IsEmpty());
}

TEST(MixTest, AllAndNothing) {
  Mix from = MixOf({Of(1, 4), Of(2, 6)}, {Of(1, 7)});
  Mix part = MixOf({Of(5, 1)});
  Pour(from, 0, part);
  EXPECT_TRUE(part.empty());
  EXPECT_THAT(part.origins, IsEmpty());
  EXPECT_EQ(from.volume_ul, 10);
  Pour(from, 10, part);
  EXPECT_TRUE(from.empty());
  EXPECT_EQ(part.volume_ul, 10);
  EXPECT_THAT(part.doses, ElementsAre(Of(1, 7)));
  // Out of a vessel without wine, what waits in it.
  Mix waiting = MixOf({}, {Of(3, 9)});
  Pour(waiting, 0, part);
  EXPECT_THAT(part.doses, ElementsAre(Of(3, 9)));
  EXPECT_TRUE(waiting.empty());
}

TEST(MixTest, BlendsByNumber) {
  Mix into = MixOf({Of(2, 4), Of(5, 6)}, {Of(1, 1)});
  Blend(into, MixOf({Of(1, 3), Of(5, 4), Of(9, 1)}, {Of(1, 2), Of(2, 5)}));
  EXPECT_THAT(into.origins, ElementsAre(Of(1, 3), Of(2, 4), Of(5, 10), Of(9, 1)));
  EXPECT_THAT(into.doses, ElementsAre(Of(1, 3), Of(2, 5)));
  EXPECT_EQ(into.volume_ul, 18);
}

TEST(MixTest, ScalesBeyond64Bits) {
  const Quotient q = Scale(kMaxHeldQuantity, kMaxHeldQuantity - 1, kMaxHeldQuantity);
  EXPECT_EQ(q.whole, kMaxHeldQuantity - 1);
  EXPECT_EQ(q.remainder, 0);
  EXPECT_EQ(Scale(kMaxHeldQuantity, 1, 3).whole, 1'333'333'333'333'333'333);
  EXPECT_EQ(Scale(kMaxHeldQuantity, 1, 3).remainder, 1);
  EXPECT_EQ(Scale(7, 0, 3).whole, 0);
}

// The same apportionment the slow way: all remainders sorted, one unit to each of the first.
std::vector<int64_t> ApportionBySorting(const std::vector<int64_t>& amounts, int64_t volume_ul) {
  using Wide = unsigned __int128;
  Wide total = 0;
  for (const int64_t amount : amounts) total += static_cast<Wide>(amount);
  std::vector<int64_t> parts;
  std::vector<std::pair<Wide, size_t>> remainders;
  Wide given = 0;
  for (size_t i = 0; i < amounts.size(); ++i) {
    const Wide product = static_cast<Wide>(amounts[i]) * static_cast<Wide>(volume_ul);
    parts.push_back(static_cast<int64_t>(product / total));
    given += product / total;
    remainders.emplace_back(product % total, i);
  }
  std::stable_sort(remainders.begin(), remainders.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  for (size_t i = 0; given < static_cast<Wide>(volume_ul); ++i, ++given) {
    ++parts[remainders[i].second];
  }
  return parts;
}

TEST(MixTest, AgreesWithSortingAllRemainders) {
  const uint64_t runs = testing::Runs(20'000);
  Random random(testing::FirstSeed());
  for (uint64_t run = 0; run < runs; ++run) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", testing::FirstSeed(), " run ", run));
    const int64_t most =
        random.Pick(std::vector<int64_t>{2, 40, 1'000'000, kMaxVolumeUl, kMaxHeldQuantity / 40});
    std::vector<int64_t> amounts(random.Between(1, 40));
    Mix from;
    for (size_t i = 0; i < amounts.size(); ++i) {
      amounts[i] = random.Between(1, most);
      from.origins.push_back(Of(static_cast<uint32_t>(2 * i), amounts[i]));
      from.volume_ul += amounts[i];
    }
    const Mix before = from;
    const int64_t volume_ul = random.Between(0, from.volume_ul);
    const std::vector<int64_t> wanted = ApportionBySorting(amounts, volume_ul);
    Mix part;
    Pour(from, volume_ul, part);
    std::vector<int64_t> got(amounts.size());
    for (const Share& share : part.origins) {
      ASSERT_GT(share.amount, 0);
      got[share.of / 2] = share.amount;
    }
    ASSERT_EQ(got, wanted);
    ASSERT_EQ(std::accumulate(got.begin(), got.end(), int64_t{0}), volume_ul);
    Blend(from, part);
    ASSERT_EQ(from.origins, before.origins);
    ASSERT_EQ(from.volume_ul, before.volume_ul);
  }
}

}  // namespace
}  // namespace rundlet
