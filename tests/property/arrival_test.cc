// Goal: a cellar is a set of entries. In whatever order, number and batches they arrive, the state
// is the same, and so is its digest.
// Method: random cellars of both profiles; random permutations, duplicates and cuts into batches,
// each against one fold of all entries in the order of writing; and every entry as the late one.
#include <numeric>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/describe.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

std::string DigestText(const Fold& fold) {
  return absl::BytesToHexString(HashBytes(fold.StateDigest()));
}

void FoldAll(const std::vector<WrittenEntry>& entries, Fold& fold) {
  for (const WrittenEntry& written : entries) fold.Insert(written.entry);
  fold.Settle();
}

// The entries in random order, some of them several times, settled now and then.
void FoldShuffled(const std::vector<WrittenEntry>& entries, Random& random, Fold& fold) {
  std::vector<size_t> arrivals(entries.size());
  std::iota(arrivals.begin(), arrivals.end(), 0);
  for (int64_t extra = random.Below(20); extra > 0; --extra) {
    arrivals.push_back(random.Below(static_cast<int64_t>(entries.size())));
  }
  // Wholly mixed, or nearly in order, as from devices that sync often.
  if (random.Chance(500)) {
    random.Shuffle(arrivals);
  } else {
    for (int64_t swaps = random.Between(0, 30); swaps > 0; --swaps) {
      const int64_t at = random.Below(static_cast<int64_t>(arrivals.size()) - 1);
      std::swap(arrivals[at], arrivals[at + 1]);
    }
  }
  const int settle = static_cast<int>(random.Pick(std::vector<int64_t>{10, 100, 1000}));
  std::vector<bool> seen(entries.size());
  for (const size_t i : arrivals) {
    EXPECT_EQ(fold.Insert(entries[i].entry), !seen[i]);
    seen[i] = true;
    if (random.Chance(settle)) fold.Settle();
  }
  fold.Settle();
}

struct Case {
  Profile profile;
  int newer_kinds;
  size_t entries;
  int permutations;
  uint64_t cellars;
};

class ArrivalTest : public ::testing::TestWithParam<Case> {};

TEST_P(ArrivalTest, DoesNotMatter) {
  const Case& c = GetParam();
  const uint64_t cellars = Runs(c.cellars);
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + cellars; ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    GeneratorOptions options = GeneratorOptions::Of(c.profile, seed);
    options.newer_kinds = c.newer_kinds;
    const std::vector<WrittenEntry> entries = Generate(options, c.entries);
    Fold reference;
    FoldAll(entries, reference);
    ASSERT_TRUE(AuditFold(reference).ok()) << AuditFold(reference);
    const std::string digest = DigestText(reference);
    Random random(seed);
    for (int i = 0; i < c.permutations; ++i) {
      Fold fold;
      FoldShuffled(entries, random, fold);
      ASSERT_EQ(DigestText(fold), digest) << "permutation " << i << "\n--- one\n"
                                          << DescribeAll(reference) << "--- other\n"
                                          << DescribeAll(fold);
      // The digest leaves nothing out that can be told apart.
      if (i == 0) {
        ASSERT_EQ(DescribeAll(fold), DescribeAll(reference));
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Cellars, ArrivalTest,
                         ::testing::Values(Case{Profile::kHostile, 0, 120, 50, 120},
                                           Case{Profile::kHostile, 0, 16, 60, 80},
                                           Case{Profile::kHostile, 15, 80, 20, 20},
                                           Case{Profile::kRealistic, 0, 250, 20, 20}),
                         [](const ::testing::TestParamInfo<Case>& info) {
                           return absl::StrCat(
                               info.param.profile == Profile::kHostile ? "Hostile" : "Realistic",
                               info.param.newer_kinds > 0 ? "WithNewerKinds" : "",
                               info.param.entries);
                         });

// Every entry is the late one once: all others first, then it alone. And at every step of a growing
// cellar the state is what a fold from nothing gives.
TEST(LateEntryTest, EqualsAFoldFromNothing) {
  const uint64_t cellars = Runs(8);
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + cellars; ++seed) {
    for (const Profile profile : {Profile::kHostile, Profile::kRealistic}) {
      SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
      const auto entries = Generate(GeneratorOptions::Of(profile, seed), 100);
      Fold whole;
      FoldAll(entries, whole);
      const std::string digest = DigestText(whole);
      for (size_t late = 0; late < entries.size(); ++late) {
        Fold fold;
        for (size_t i = 0; i < entries.size(); ++i) {
          if (i != late) fold.Insert(entries[i].entry);
        }
        fold.Settle();
        ASSERT_TRUE(fold.Add(entries[late].entry));
        ASSERT_EQ(DigestText(fold), digest) << "late " << late;
      }
      Random random(seed);
      std::vector<WrittenEntry> arrivals = entries;
      random.Shuffle(arrivals);
      Fold growing;
      for (size_t i = 0; i < arrivals.size(); ++i) {
        growing.Add(arrivals[i].entry);
        ASSERT_TRUE(AuditFold(growing).ok()) << AuditFold(growing);
        Fold fresh;
        FoldAll({arrivals.begin(), arrivals.begin() + static_cast<int64_t>(i) + 1}, fresh);
        ASSERT_EQ(DigestText(growing), DigestText(fresh)) << "prefix " << i;
      }
    }
  }
}

}  // namespace
}  // namespace rundlet::testing
