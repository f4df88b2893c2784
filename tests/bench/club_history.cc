#include "tests/bench/club_history.h"

#include "absl/strings/str_cat.h"

namespace rundlet::bench {
namespace {

using namespace rundlet::testing;  // NOLINT: the words of the builder

constexpr int kVessels = 20;
constexpr int kPackets = 6;

class Club {
 public:
  Club(TestDevice& device, std::vector<WrittenEntry>& history)
      : device_(device), history_(history) {}

  void Open() {
    for (int i = 0; i < kVessels; ++i) Put(device_.RegisterVessel(Vessel(i), 25 * kLitre));
    Put(device_.RegisterBin("rack"));
    for (int i = 0; i < kPackets; ++i) {
      const std::string material = absl::StrCat("material ", i);
      Put(device_.RegisterMaterial(material));
      Put(device_.RegisterMaterialLot(Packet(i), material));
      Put(device_.ReceiveMaterial(Packet(i), Mass(900'000 * kGram)));
    }
  }

  void MakeBatch(int number) {
    const std::string lot = absl::StrCat("lot ", number);
    const std::string run = absl::StrCat("run ", number);
    const std::string first = Vessel(2 * number % kVessels);
    const std::string second = Vessel((2 * number + 1) % kVessels);
    Put(device_.RegisterLot(lot));
    Put(device_.RegisterBottling(run, lot));
    Put(device_.Receive(lot, {Fill(first, 23 * kLitre)}));
    Put(device_.Add(first, {Of(0, 5), Of(1, 10)}));
    for (int day = 0; day < 15; ++day) ReadDensity(first, 1'090'000 - 6'000 * day);
    Put(device_.Rack({DrawAll(first)}, {FillRest(second)}, {Out(v1::ACCOUNT_LEES, kLitre)}));
    Put(device_.Add(second, {Of(2, 2), Of(3, 4)}));
    for (int day = 0; day < 10; ++day) ReadDensity(second, 996'000);
    Put(device_.Treat(second, v1::TREATMENT_KIND_DEGASSING, 5));
    Put(device_.Add(second, {Of(4, 2)}));
    Put(device_.Add(second, {Of(5, 2)}));
    Put(device_.Rack({DrawAll(second)}, {FillRest(first)}, {Out(v1::ACCOUNT_LEES, kLitre / 2)}));
    for (int week = 0; week < 7; ++week) {
      Put(device_.Read(
          first, {Measured(v1::READING_KIND_FREE_SO2, v1::READING_UNIT_MG_PER_L, 30'000'000)}));
    }
    Put(device_.Withdraw(Draw(first, 100 * kMillilitre), v1::ACCOUNT_SAMPLE));
    Put(device_.Bottle(run, {DrawAll(first)}, {Group("rack", 28)}));
    for (int evening = 0; evening < 4; ++evening)
      Put(device_.TakeBottles(BottlesOf(run, 2), "rack"));
  }

 private:
  static std::string Vessel(int i) { return absl::StrCat("vessel ", i); }
  static std::string Packet(int i) { return absl::StrCat("packet ", i); }
  static v1::AdditionLine Of(int packet, int64_t grams) {
    return FromLot(Packet(packet), Mass(grams * kGram));
  }

  void ReadDensity(const std::string& vessel, int64_t micro) {
    Put(device_.Read(
        vessel, {Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_SPECIFIC_GRAVITY, micro),
                 Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_CELSIUS, 20'000'000)}));
  }
  void Put(WrittenEntry written) { history_.push_back(std::move(written)); }

  TestDevice& device_;
  std::vector<WrittenEntry>& history_;
};

}  // namespace

std::vector<WrittenEntry> ClubHistory(TestDevice& device, size_t entries) {
  std::vector<WrittenEntry> history;
  Club club(device, history);
  club.Open();
  for (int batch = 0; history.size() < entries; ++batch) club.MakeBatch(batch);
  return history;
}

}  // namespace rundlet::bench
