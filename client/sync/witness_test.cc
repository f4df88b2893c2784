// Goal: a server that rewrites, loses or doubles its history, or signs with another key, is found
// out at the next sync, what it had signed is kept as proof, and the device's own work goes on.
// Method: devices with real stores against a journal in memory that is bent in each of these ways.
#include "client/sync/witness.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/base/file.h"
#include "client/sync/syncer.h"
#include "client/testing/entries.h"
#include "client/testing/fake_server.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class WitnessTest : public ::testing::Test {
 protected:
  std::vector<std::string> Sync(TestCellar& cellar, FakeServer& server) {
    Store store = cellar.OpenStore();
    SyncResult result;
    const absl::Status status = Syncer(store, server).Run(false, ++now_us_ * 1'000'000, result);
    EXPECT_TRUE(status.ok()) << status;
    return result.alarms;
  }
  uint64_t SignedSize(TestCellar& cellar) {
    const auto saved = ReadSavedCheckpoint(cellar.home());
    EXPECT_TRUE(saved.ok()) << saved.status();
    return saved->has_value() ? (*saved)->edge.size() : 0;
  }
  static int KeptProofs(TestCellar& cellar) {
    int kept = 0;
    for (const auto& file : std::filesystem::directory_iterator(cellar.home().dir()))
      kept += file.path().filename().string().rfind("checkpoint.broken-", 0) == 0 ? 1 : 0;
    return kept;
  }
  void Work(TestCellar& cellar, int from, int to) {
    for (int i = from; i < to; ++i) cellar.Do(absl::StrCat("vessel new V", i));
  }

  int64_t now_us_ = 0;
  FakeJournal journal_;
  TestCellar one_{1}, two_{2};
  FakeServer server_one_{journal_, TestDevice(1)};
  FakeServer server_two_{journal_, TestDevice(2)};
};

TEST_F(WitnessTest, AnHonestServerIsBelievedAsItGrows) {
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty()) << "of an empty journal there is nothing to say";
  for (int round = 0; round < 5; ++round) {
    Work(one_, 10 * round, 10 * round + 3);
    EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
    EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
    EXPECT_EQ(SignedSize(one_), journal_.entries.size());
    EXPECT_EQ(SignedSize(two_), journal_.entries.size());
  }
  EXPECT_EQ(KeptProofs(one_), 0);
}

TEST_F(WitnessTest, AServerThatSignsOtherThanItSends) {
  Work(one_, 0, 4);
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  journal_.signed_entries = [this] {
    std::vector<std::string> other = journal_.entries;
    other[1] = other[0];
    return other;
  };
  Work(one_, 4, 5);
  EXPECT_THAT(Sync(one_, server_one_), ElementsAre(HasSubstr("shows different histories")));
  EXPECT_EQ(SignedSize(one_), 4) << "the last one that held stays";
  journal_.signed_entries = nullptr;
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
}

// Set back to what it had, the server takes other entries meanwhile: the history is another one.
TEST_F(WitnessTest, ARestoredServerIsNamedAndWhatItSignedIsKept) {
  Work(one_, 0, 4);
  Sync(one_, server_one_);
  Sync(two_, server_two_);
  journal_.entries.resize(2);
  Work(two_, 10, 12);
  // The second device has what was lost, and has an entry of its own in its place.
  const std::vector<std::string> alarms = Sync(two_, server_two_);
  EXPECT_THAT(absl::StrJoin(alarms, "\n"),
              AllOf(HasSubstr("lost"), HasSubstr("does not begin any more with the 4 entries")));
  EXPECT_EQ(KeptProofs(two_), 1);
  EXPECT_THAT(absl::StrJoin(Sync(one_, server_one_), "\n"), HasSubstr("does not begin any more"));
  // From here on the new history is what both hold it to.
  Sync(two_, server_two_);
  Sync(one_, server_one_);
  EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_EQ(one_.Do("digest").out, two_.Do("digest").out) << "nothing was lost by it";
}

TEST_F(WitnessTest, AnotherKeyAndNoKeyAreSaid) {
  Work(one_, 0, 2);
  Sync(one_, server_one_);
  journal_.signing_seed = std::string(32, 'x');
  Work(one_, 2, 3);
  EXPECT_THAT(Sync(one_, server_one_), ElementsAre(HasSubstr("signs with another key")));
  journal_.signing_seed.clear();
  EXPECT_THAT(Sync(one_, server_one_), ElementsAre(HasSubstr("no signed checkpoints any more")));
  // Its keeper says that the key was replaced.
  journal_.signing_seed = std::string(32, 'x');
  ASSERT_TRUE(RemoveFile(one_.home().checkpoint()).ok());
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_EQ(SignedSize(one_), 3);
}

TEST_F(WitnessTest, AServerWithoutAKeyIsAnOlderOne) {
  journal_.signing_seed.clear();
  Work(one_, 0, 2);
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_EQ(SignedSize(one_), 0);
}

TEST_F(WitnessTest, ADamagedFileIsNamed) {
  Work(one_, 0, 2);
  Sync(one_, server_one_);
  ASSERT_TRUE(WritePrivateFile(one_.home().checkpoint(), "nonsense").ok());
  Store store = one_.OpenStore();
  SyncResult result;
  const absl::Status status = Syncer(store, server_one_).Run(false, 1, result);
  EXPECT_TRUE(absl::IsDataLoss(status));
  EXPECT_THAT(std::string(status.message()), HasSubstr("move it away"));
}

}  // namespace
}  // namespace rundlet::client
