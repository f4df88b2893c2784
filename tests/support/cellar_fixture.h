#ifndef RUNDLET_TESTS_SUPPORT_CELLAR_FIXTURE_H_
#define RUNDLET_TESTS_SUPPORT_CELLAR_FIXTURE_H_

#include <string>
#include <vector>

#include "core/fold/fold.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/by_name.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::testing {

// A cellar with a few things in it, and a phone to write on. Every entry that is done is audited,
// and at the end the whole is folded again from nothing.
class CellarTest : public ::testing::Test {
 protected:
  using Moves = std::vector<std::string>;

  CellarTest() {
    for (const char* vessel : {"C1", "C2", "C3", "C4", "Barrel"}) Do(phone_.RegisterVessel(vessel));
    for (const char* lot : {"Riesling", "Elder"}) Do(phone_.RegisterLot(lot));
    for (const char* bin : {"Rack A", "Rack B"}) Do(phone_.RegisterBin(bin));
    Do(phone_.RegisterMaterial("Sulfite"));
    Do(phone_.RegisterMaterial("Water", v1::DIMENSION_VOLUME));
    Do(phone_.RegisterMaterial("Cork", v1::DIMENSION_COUNT));
    Do(phone_.RegisterMaterialLot("KMS-7", "Sulfite"));
    Do(phone_.RegisterMaterialLot("KMS-8", "Sulfite"));
    Do(phone_.RegisterMaterialLot("Corks 24", "Cork"));
    Do(phone_.RegisterBottling("Spring run", "Riesling"));
  }

  ~CellarTest() override {
    Fold again;
    for (const WrittenEntry& written : written_) again.Insert(written.entry);
    again.Settle();
    EXPECT_EQ(again.StateDigest(), fold_.StateDigest());
  }

  WrittenEntry Do(WrittenEntry written) {
    EXPECT_TRUE(fold_.Add(written.entry));
    const absl::Status audit = AuditFold(fold_);
    EXPECT_TRUE(audit.ok()) << audit;
    written_.push_back(written);
    return written;
  }

  int64_t VolumeIn(absl::string_view vessel) { return testing::VolumeIn(fold_, vessel); }
  std::string LotIn(absl::string_view vessel) { return testing::LotIn(fold_, vessel); }
  int64_t OriginIn(absl::string_view vessel, const WrittenEntry& entry) {
    return testing::OriginIn(fold_, vessel, entry);
  }
  int64_t DoseIn(absl::string_view vessel, absl::string_view material,
                 v1::Dimension dimension = v1::DIMENSION_MASS) {
    return testing::DoseIn(fold_, vessel, material, dimension);
  }
  int64_t StockOf(absl::string_view lot, v1::Dimension dimension = v1::DIMENSION_MASS) {
    return testing::StockOf(fold_, lot, dimension);
  }
  int64_t BottlesIn(absl::string_view bin, absl::string_view bottling = "Spring run",
                    int64_t size_ul = kBottleUl) {
    return testing::BottlesIn(fold_, bin, bottling, size_ul);
  }
  Moves FactsIn(absl::string_view vessel) { return testing::FactsIn(fold_, vessel); }
  Moves MovesOf(const WrittenEntry& entry) { return testing::MovesOf(fold_, entry); }
  std::string HeldText(const WrittenEntry& entry) { return testing::HeldText(fold_, entry); }
  // The parcels that an entry made.
  absl::Span<const Parcel> ParcelsOf(const WrittenEntry& entry) {
    return fold_.ParcelsAt(PositionOf(fold_, entry));
  }

  Fold fold_;
  TestDevice phone_{"phone"};
  std::vector<WrittenEntry> written_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_CELLAR_FIXTURE_H_
