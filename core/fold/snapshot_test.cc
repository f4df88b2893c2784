// Goal: a fold opened from its snapshot is the same fold, also for what comes after; a damaged
// snapshot is refused. Method: generated cellars, hostile ones too (the seed is in the message);
// save in the middle, open, give both the rest in another order, compare digests. Flip bytes; cut.
#include "core/fold/snapshot.h"

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <random>

#include "gtest/gtest.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/generator.h"
#include "tests/support/run_options.h"

namespace rundlet {
namespace {

using testing::FirstSeed;
using testing::GeneratorOptions;
using testing::Profile;
using testing::Runs;

// A private, writable, aligned copy, as a mapping of the file would be.
class Mapping {
 public:
  explicit Mapping(const std::string& bytes)
      : size_(bytes.size()),
        memory_(static_cast<char*>(std::aligned_alloc(64, (bytes.size() + 63) / 64 * 64)),
                std::free) {
    std::copy(bytes.begin(), bytes.end(), memory_.get());
  }
  absl::Span<char> bytes() { return {memory_.get(), size_}; }

 private:
  size_t size_;
  std::unique_ptr<char, decltype(&std::free)> memory_;
};

std::string SaveFold(const Fold& fold) {
  std::string bytes;
  Snapshot::Save(fold, "stamp",
                 [&](absl::string_view piece) { bytes.append(piece.data(), piece.size()); });
  return bytes;
}

TEST(SnapshotTest, GoesOnAsIfItHadNeverBeenSaved) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(40); ++seed) {
    SCOPED_TRACE(::testing::Message() << "seed " << seed);
    const Profile profile = seed % 2 == 0 ? Profile::kRealistic : Profile::kHostile;
    std::vector<WrittenEntry> entries = Generate(GeneratorOptions::Of(profile, seed), 400);
    std::mt19937_64 random(seed);
    std::shuffle(entries.begin(), entries.end(), random);

    Fold whole;
    size_t i = 0;
    for (; i < entries.size() / 2; ++i) whole.Insert(entries[i].entry);
    whole.Settle();
    Mapping mapping(SaveFold(whole));
    auto opened = Snapshot::Open(mapping.bytes(), Snapshot::Verify::kAll);
    ASSERT_TRUE(opened.ok()) << opened.status();
    EXPECT_EQ(opened->stamp, "stamp");
    EXPECT_EQ(opened->fold->StateDigest(), whole.StateDigest());

    std::vector<WrittenEntry> rest(entries.begin() + i, entries.end());
    rest.push_back(entries.front());  // one that it has
    for (const WrittenEntry& written : rest) whole.Add(written.entry);
    std::shuffle(rest.begin(), rest.end(), random);
    for (const WrittenEntry& written : rest) opened->fold->Insert(written.entry);
    opened->fold->Settle();
    EXPECT_EQ(opened->fold->StateDigest(), whole.StateDigest());
    EXPECT_TRUE(testing::AuditFold(*opened->fold).ok()) << testing::AuditFold(*opened->fold);

    // And saved once more, now with a base and a tail.
    Mapping again(SaveFold(*opened->fold));
    auto reopened = Snapshot::Open(again.bytes(), Snapshot::Verify::kAll);
    ASSERT_TRUE(reopened.ok()) << reopened.status();
    EXPECT_EQ(reopened->fold->StateDigest(), whole.StateDigest());
  }
}

TEST(SnapshotTest, EmptyFold) {
  Mapping mapping(SaveFold(Fold()));
  auto opened = Snapshot::Open(mapping.bytes(), Snapshot::Verify::kAll);
  ASSERT_TRUE(opened.ok()) << opened.status();
  EXPECT_EQ(opened->fold->StateDigest(), Fold().StateDigest());
}

TEST(SnapshotTest, DamageIsFound) {
  Fold fold;
  for (const WrittenEntry& written : Generate(GeneratorOptions::Of(Profile::kRealistic, 3), 200)) {
    fold.Insert(written.entry);
  }
  fold.Settle();
  const std::string sound = SaveFold(fold);
  std::mt19937_64 random(11);
  size_t found = 0;
  for (int i = 0; i < 300; ++i) {
    std::string damaged = sound;
    const size_t at = random() % damaged.size();
    damaged[at] = static_cast<char>(damaged[at] ^ (1 << random() % 8));
    Mapping mapping(damaged);
    const auto opened = Snapshot::Open(mapping.bytes(), Snapshot::Verify::kAll);
    // The gaps between sections carry nothing; a flip there is no damage.
    if (opened.ok()) {
      EXPECT_EQ(opened->fold->StateDigest(), fold.StateDigest()) << "byte " << at;
    } else {
      ++found;
    }
  }
  EXPECT_GT(found, 250u);
  for (const size_t length :
       {size_t{0}, size_t{10}, size_t{500}, sound.size() / 2, sound.size() - 1}) {
    Mapping mapping(sound.substr(0, length));
    EXPECT_EQ(Snapshot::Open(mapping.bytes(), Snapshot::Verify::kHeads).status().code(),
              absl::StatusCode::kDataLoss);
  }
}

TEST(SnapshotTest, ThatOfAnotherBuildIsNotRead) {
  std::string other = SaveFold(Fold());
  other[8] = static_cast<char>(other[8] + 1);  // the version
  Mapping mapping(other);
  EXPECT_EQ(Snapshot::Open(mapping.bytes(), Snapshot::Verify::kHeads).status().code(),
            absl::StatusCode::kFailedPrecondition);
}

}  // namespace
}  // namespace rundlet
