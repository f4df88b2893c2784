// Case 5: the file of a client's book is damaged while nobody looks: cut off, zeroed in a stretch,
// or with bits flipped, in the database or in its log. Method: for each damage a device with
// entries in its outbox; the book must say that it is damaged, or be sound and whole; `rundlet
// repair` and a sync must bring back everything but entries that lay on a damaged page.
#include <filesystem>
#include <fstream>
#include <iterator>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/store/db.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(30);
constexpr size_t kPageBytes = 4096;

std::string ReadAll(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

// A file of the book before and after.
class Damage {
 public:
  Damage(const std::string& path, Random& random) : path_(path), before_(ReadAll(path)) {
    std::string after = before_;
    const auto size = static_cast<int64_t>(before_.size());
    switch (random.Below(3)) {
      case 0:
        what_ = "cut off";
        after.resize(static_cast<size_t>(random.Between(size / 4, size - 1)));
        break;
      case 1: {
        what_ = "zeroed";
        const int64_t begin = random.Below(size);
        const int64_t end = std::min(size, begin + random.Between(100, 6000));
        after.replace(static_cast<size_t>(begin), static_cast<size_t>(end - begin),
                      static_cast<size_t>(end - begin), '\0');
        break;
      }
      default:
        what_ = "bits flipped";
        for (int64_t i = random.Between(1, 5); i > 0; --i)
          after[static_cast<size_t>(random.Below(size))] ^= static_cast<char>(1 << random.Below(8));
    }
    std::ofstream(path, std::ios::binary | std::ios::trunc) << after;
    after.resize(before_.size(), '\1');
    after_ = after;
  }

  std::string Text() const { return absl::StrCat(path_, ": ", what_); }
  // Whether bytes are not in it at all, or on pages to which nothing happened.
  bool Spared(const std::string& bytes) const {
    if (before_.find(bytes) == std::string::npos) return true;
    // A page of the log begins behind two heads; what is near the damage counts as hit.
    for (size_t at = before_.find(bytes); at != std::string::npos;
         at = before_.find(bytes, at + 1)) {
      const size_t from = at < 2 * kPageBytes ? 0 : at - 2 * kPageBytes;
      const size_t size = bytes.size() + 4 * kPageBytes;
      if (before_.compare(from, size, after_, from, size) == 0) return true;
    }
    return false;
  }
  bool Changed() const { return before_ != after_; }

 private:
  std::string path_;
  std::string before_;
  std::string after_;
  std::string what_;
};

class Case05 {
 public:
  Case05(Fleet& fleet, Random& random) : fleet_(fleet), random_(random) {}

  // One damage and its repair.
  void Play() {
    ClientProcess& device = fleet_.Join(absl::StrCat("Hand ", ++hands_));
    for (int i = 0; i < 4; ++i) fleet_.MustSave(device, "draw sample T1 10mL");
    if (random_.Chance(500)) Empty(device);
    for (int i = 0; i < 4; ++i) fleet_.MustSave(device, "draw sample T1 10mL");
    const std::vector<BookLine> before = ReadBook(device.home());
    const bool in_log =
        random_.Chance(500) && std::filesystem::file_size(device.home() + "/cellar.db-wal") > 0;
    const Damage damage(device.home() + (in_log ? "/cellar.db-wal" : "/cellar.db"), random_);
    SCOPED_TRACE(damage.Text());
    std::filesystem::remove(device.home() + "/cellar.db-shm");
    if (!damage.Changed()) return;
    ExpectToldOrWhole(device, before);
    Repair(device);
    ExpectSparedAreKept(device, before, damage);
  }
  int told() const { return told_; }

 private:
  // What is in the log goes into the database.
  static void Empty(const ClientProcess& device) {
    auto db = client::Db::Open(device.home() + "/cellar.db", /*create=*/false);
    ASSERT_TRUE(db.ok()) << db.status();
    EXPECT_TRUE(db->Exec("PRAGMA wal_checkpoint(TRUNCATE)").ok());
  }
  void ExpectToldOrWhole(const ClientProcess& device, const std::vector<BookLine>& before) {
    const Finished status = device.Try("status");
    const bool told =
        status.exit_code != 0 || !status.err.empty() || absl::StrContains(status.out, "damaged");
    told_ += told ? 1 : 0;
    if (told) return;
    const std::vector<BookLine> now = ReadBook(device.home());
    EXPECT_EQ(CountIn(now, "outbox"), CountIn(before, "outbox")) << "gone without a word";
  }
  void Repair(const ClientProcess& device) {
    const Finished repaired = device.Try("repair");
    // Not one whole entry left: come in anew.
    if (repaired.exit_code != 0 || absl::StrContains(repaired.out, "rundlet join")) {
      if (repaired.exit_code != 0) {
        for (const char* file : {"/cellar.db", "/cellar.db-wal", "/cellar.db-shm"})
          std::filesystem::remove(device.home() + file);
      }
      const Finished joined =
          device.Try({"join", fleet_.server().Invite(kCircle, absl::StrCat("Hand ", hands_)),
                      "--device", "again"});
      EXPECT_TRUE(EndedWell(joined)) << repaired.out << repaired.err << joined.out << joined.err;
    }
    const Finished synced = device.Try("sync --repair");
    EXPECT_TRUE(EndedWell(synced)) << synced.out << synced.err;
    const Finished status = device.Try("status");
    EXPECT_EQ(status.exit_code, 0) << status.err;
    EXPECT_FALSE(absl::StrContains(status.out, "damaged")) << status.out;
  }
  void ExpectSparedAreKept(const ClientProcess& device, const std::vector<BookLine>& before,
                           const Damage& damage) {
    std::set<std::string> there;
    for (const BookLine& line : ReadBook(device.home())) there.insert(line.entry_id);
    for (const BookLine& line : before) {
      if (there.count(line.entry_id) > 0) continue;
      EXPECT_NE(line.state, "recorded") << line.entry_id << " is on the server";
      EXPECT_FALSE(damage.Spared(line.bytes)) << line.entry_id << " lay on a sound page";
      fleet_.promises().Excuse(line.entry_id);
    }
  }

  Fleet& fleet_;
  Random& random_;
  int hands_ = 0;
  int told_ = 0;
};

TEST_F(FaultCase, Case05_BookDamagedOnDisk) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Case05 play(fleet, random());
  for (int i = 0; i < Times(10, 150) && !HasFailure(); ++i) {
    play.Play();
    ++tally().runs;
  }
  EXPECT_GE(play.told(), Times(4, 60)) << "most damage does show";
  Recovered(fleet.Settle(kBound), kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
