#ifndef RUNDLET_TESTS_SUPPORT_BODY_MAKER_H_
#define RUNDLET_TESTS_SUPPORT_BODY_MAKER_H_

#include <cstdint>
#include <deque>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "rundlet/v1/entry.pb.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"

namespace rundlet::testing {

// What the next entry of a random cellar says, without envelope, time, voids and amendments.
class BodyMaker {
 public:
  virtual ~BodyMaker() = default;

  // The next body; the first ones register things.
  virtual v1::Entry Make() = 0;
  // A body to be written in place of `original`.
  virtual v1::Entry Corrected(const v1::Entry& original) = 0;
};

// Bodies that are nearly always possible: it remembers roughly what is where, as a hand in the
// cellar does. Back-dating, voids and amendments make it wrong at times, which is as in life.
class RealisticBodies : public BodyMaker {
 public:
  RealisticBodies(const GeneratorOptions& options, Random& random);

  v1::Entry Make() override;
  v1::Entry Corrected(const v1::Entry& original) override;

 private:
  struct Vessel {
    std::string name;
    int64_t capacity_ul;
    int64_t volume_ul = 0;
  };
  struct Run {
    std::string bin;
    std::string bottling;
    int64_t size_ul;
    int64_t count;
  };
  using Maker = v1::Entry (RealisticBodies::*)();

  void RegisterAll();
  // Any vessel that is empty, or that is not; nullptr if there is none.
  Vessel* Find(bool filled);
  Run* FindRun();

  v1::Entry Receive();
  v1::Entry Add();
  v1::Entry Rack();
  v1::Entry Blend();
  v1::Entry Top();
  v1::Entry Press();
  v1::Entry Gauge();
  v1::Entry Withdraw();
  v1::Entry Read();
  v1::Entry Treat();
  v1::Entry Observe();
  v1::Entry Bottle();
  v1::Entry TakeBottles();
  v1::Entry MoveBottles();
  v1::Entry ReturnBottles();
  v1::Entry CountBin();
  v1::Entry ReceiveMaterial();
  v1::Entry CountMaterial();
  v1::Entry Settings();
  v1::Entry Things();

  GeneratorOptions options_;
  Random& random_;
  std::vector<std::pair<int, Maker>> makers_;  // with the sum of weights up to each
  std::deque<v1::Entry> queue_;                // to be written before anything new
  std::vector<Vessel> vessels_;
  std::vector<std::string> bins_;
  std::vector<std::string> materials_;  // without stock
  std::vector<std::string> material_lots_;
  std::vector<Run> runs_;
  std::string lot_;  // of the season
  int lots_ = 0;
  int bottlings_ = 0;
};

// Anything that passes the check of a single entry.
class HostileBodies : public BodyMaker {
 public:
  HostileBodies(const GeneratorOptions& options, Random& random);

  v1::Entry Make() override;
  v1::Entry Corrected(const v1::Entry& original) override;

 private:
  std::string AnyOf(const char* prefix, int count);
  std::string AnyVessel();
  std::string AnyBin();
  std::string AnyLot();
  std::string AnyBottling();
  std::string AnyMaterialLot();
  std::string AnyMaterial();
  std::string AnyThing();
  int64_t AnyVolume();
  int64_t AnySize();
  v1::Account AnyWineAccount();
  v1::Account AnyBottleAccount();
  v1::Amount AnyAmount();
  v1::Bottles AnyBottles(bool zero_is_fine);
  std::vector<v1::Draw> Draws();
  std::vector<v1::Fill> Fills(bool* rest);
  std::vector<v1::Outflow> Outflows(bool* rest);
  std::vector<v1::AdditionLine> Lines();
  v1::Entry AnyTransfer();
  v1::Entry OfThings();
  v1::Entry OfWine(int64_t dice);
  v1::Entry OfStore(int64_t dice);

  GeneratorOptions options_;
  Random& random_;
  std::deque<v1::Entry> queue_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_BODY_MAKER_H_
