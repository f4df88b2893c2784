// Goal: no bytes from a stranger crash a reader, and whatever can be read folds with all invariants
// intact, the same in every order.
// Method: the fixed corpus; valid journals with some entries mutated, byte by byte and field by
// field, a fixed number of times.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "google/protobuf/stubs/logging.h"
#include "gtest/gtest.h"
#include "tests/fuzz/fold_input.h"
#include "tests/fuzz/mutator.h"
#include "tests/support/generator.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

std::vector<std::filesystem::path> CorpusFiles() {
  std::vector<std::filesystem::path> files;
  for (const auto& file : std::filesystem::directory_iterator(RUNDLET_CORPUS_DIR)) {
    files.push_back(file.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

std::string ContentOf(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

class MutationTest : public ::testing::Test {
 protected:
  // Text that is no UTF-8 is what we are looking for; protobuf need not tell.
  google::protobuf::LogSilencer silence_;
};

TEST_F(MutationTest, TheCorpus) {
  const auto files = CorpusFiles();
  EXPECT_GE(files.size(), 5);
  for (const auto& path : files) {
    const FoldedInput folded = FoldInput(ContentOf(path));
    EXPECT_TRUE(folded.status.ok()) << path << "\n" << folded.status;
  }
}

// Ids that entries of the journal use, for one to be put in place of another.
std::vector<std::string> IdsIn(const std::vector<WrittenEntry>& journal) {
  std::vector<std::string> ids;
  for (const WrittenEntry& written : journal) {
    ids.push_back(written.entry.entry_id());
    ids.push_back(written.entry.device_id());
    if (written.entry.has_registered()) ids.push_back(written.entry.registered().thing_id());
    if (written.entry.has_gauging()) ids.push_back(written.entry.gauging().vessel_id());
  }
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

struct Counts {
  size_t entries = 0, read = 0, moved = 0;
};

void RunMutations(uint64_t seed, Counts& counts) {
  Random random(seed);
  GeneratorOptions options =
      GeneratorOptions::Of(random.Chance(500) ? Profile::kHostile : Profile::kRealistic, seed);
  options.newer_kinds = 3;
  const std::vector<WrittenEntry> journal = Generate(options, 90);
  const std::vector<std::string> ids = IdsIn(journal);
  const int share = static_cast<int>(random.Pick(std::vector<int64_t>{30, 200, 600}));
  std::vector<std::string> entries;
  for (const WrittenEntry& written : journal) {
    std::string bytes = written.bytes;
    if (random.Chance(share)) {
      if (random.Chance(400)) {
        MutateBytes(random, bytes);
      } else {
        v1::Entry entry = written.entry;
        for (int64_t n = random.Between(1, 3); n > 0; --n) MutateMessage(random, ids, entry);
        bytes = entry.SerializeAsString();
      }
    }
    entries.push_back(std::move(bytes));
  }
  const FoldedInput folded = FoldInput(JoinEntries(entries));
  ASSERT_TRUE(folded.status.ok()) << folded.status;
  counts.entries += entries.size();
  counts.read += folded.read;
  counts.moved += folded.moved;
}

TEST_F(MutationTest, MutatedJournals) {
  Counts counts;
  const uint64_t runs = Runs(1'500);
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + runs; ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    RunMutations(seed, counts);
    if (HasFatalFailure()) return;
  }
  std::printf("%zu entries, %zu read, %zu movements\n", counts.entries, counts.read, counts.moved);
  // The mutations must neither be harmless nor leave nothing to fold.
  EXPECT_LT(counts.read, counts.entries * 95 / 100);
  EXPECT_GT(counts.read, counts.entries * 60 / 100);
  EXPECT_GT(counts.moved, counts.entries / 10);
}

TEST_F(MutationTest, BytesWithoutAnyMeaning) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + 2'000; ++seed) {
    Random random(seed);
    std::string noise(static_cast<size_t>(random.Below(300)), '\0');
    for (char& c : noise) c = static_cast<char>(random.Next());
    const FoldedInput folded = FoldInput(noise);
    ASSERT_TRUE(folded.status.ok()) << "RUNDLET_SEED=" << seed << "\n" << folded.status;
  }
}

}  // namespace
}  // namespace rundlet::testing
