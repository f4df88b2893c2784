// Goal: names find what people mean, and sentences and boards say what the book holds.
// Method: a small invented cellar; checks on what must be in the text, not on its every word.
#include <map>

#include "core/view/board.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/cellar_builder.h"

namespace rundlet {
namespace {

using ::testing::AllOf;
using testing::Draw;
using testing::DrawAll;
using testing::Fill;
using testing::FillRest;
using ::testing::HasSubstr;
using testing::kDawnUs;
using testing::kDayUs;
using testing::kLitre;
using testing::kMinuteUs;
using testing::Measured;
using testing::Out;

class ViewTest : public ::testing::Test {
 protected:
  ViewTest() {
    for (const char* vessel : {"Glass One", "Glass Two", "Old Barrel"})
      Add(device_.RegisterVessel(vessel));
    v1::Entry draft;
    draft.mutable_registered()->set_thing_id(testing::IdOf("white").ToBytes());
    draft.mutable_registered()->mutable_lot()->set_name("Orchard White");
    Add(device_.Write(draft));
  }

  void Add(const WrittenEntry& written) {
    entries_[*Uuid::FromBytes(written.entry.entry_id())] = written.entry;
    fold_.Add(written.entry);
  }
  v1::LogLine LogAt(size_t position) {
    return MakeLogLine(fold_, position,
                       entries_.at(fold_.sequence().row(fold_.sequence().at(position)).id));
  }

  testing::TestDevice device_{"phone"};
  Fold fold_;
  std::map<Uuid, v1::Entry> entries_;
};

TEST_F(ViewTest, FindsByNameInAnyCaseAndOffersNearOnes) {
  const auto kind = v1::Thing::kVessel;
  const auto exact = FindByName(fold_, kind, "Glass One");
  ASSERT_TRUE(exact.ok());
  EXPECT_EQ(*FindByName(fold_, kind, "glass one"), *exact);
  EXPECT_EQ(*FindByName(fold_, kind, fold_.interner().id(*exact).ToString()), *exact);
  const absl::Status missing = FindByName(fold_, kind, "Glas One").status();
  EXPECT_EQ(missing.code(), absl::StatusCode::kNotFound);
  EXPECT_THAT(std::string(missing.message()), HasSubstr("'Glass One'"));
  EXPECT_FALSE(FindByName(fold_, v1::Thing::kBin, "Glass One").ok()) << "a vessel is no bin";
}

TEST_F(ViewTest, APacketIsFoundByItsPrintedCodeWhereNoNameIsMeant) {
  const auto packet = [&](const char* name, const char* code) {
    v1::Entry draft;
    draft.mutable_registered()->set_thing_id(testing::IdOf(name).ToBytes());
    draft.mutable_registered()->mutable_material_lot()->set_name(name);
    draft.mutable_registered()->mutable_material_lot()->set_supplier_lot(code);
    Add(device_.Write(draft));
  };
  packet("KMS-1", "77-104");
  packet("KMS-2", "KMS-1");
  const auto kind = v1::Thing::kMaterialLot;
  const auto by_code = FindByName(fold_, kind, "77-104");
  ASSERT_TRUE(by_code.ok()) << by_code.status();
  EXPECT_EQ(fold_.interner().id(*by_code), testing::IdOf("KMS-1"));
  EXPECT_EQ(fold_.interner().id(*FindByName(fold_, kind, "kms-1")), testing::IdOf("KMS-1"))
      << "a name before a code";
  packet("KMS-3", "77-104");
  EXPECT_EQ(FindByName(fold_, kind, "77-104").status().code(),
            absl::StatusCode::kFailedPrecondition);
  EXPECT_FALSE(FindByName(fold_, v1::Thing::kVessel, "77-104").ok());
}

TEST_F(ViewTest, TwoThingsOfOneNameAreToldApartById) {
  v1::Entry draft;
  draft.mutable_registered()->set_thing_id(testing::IdOf("another").ToBytes());
  draft.mutable_registered()->mutable_vessel()->set_name("Glass One");
  Add(device_.Write(draft));
  const absl::Status status = FindByName(fold_, v1::Thing::kVessel, "Glass One").status();
  EXPECT_EQ(status.code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(status.message()), HasSubstr(testing::IdOf("another").ToString()));
}

TEST_F(ViewTest, ARetiredNameYieldsToALivingOne) {
  v1::Entry draft;
  draft.mutable_retired()->set_thing_id(testing::IdOf("Glass One").ToBytes());
  Add(device_.Write(draft));
  EXPECT_TRUE(FindByName(fold_, v1::Thing::kVessel, "Glass One").ok())
      << "nobody else answers to it";
  draft.Clear();
  draft.mutable_registered()->set_thing_id(testing::IdOf("another").ToBytes());
  draft.mutable_registered()->mutable_vessel()->set_name("Glass One");
  Add(device_.Write(draft));
  EXPECT_EQ(*FindByName(fold_, v1::Thing::kVessel, "Glass One"),
            fold_.interner().Find(testing::IdOf("another")));
}

TEST_F(ViewTest, BoardShowsContentAndTheReadingsOfTheWineNotOfTheVessel) {
  Add(device_.Receive("white", {Fill("Glass One", 20 * kLitre)}));
  const auto density = [](int64_t micro) {
    return Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_SPECIFIC_GRAVITY, micro);
  };
  Add(device_.Read("Glass One", {density(1'085'000)}));
  Add(device_.Read("Glass One", {density(1'040'000)}));
  Add(device_.Rack({DrawAll("Glass One")}, {FillRest("Glass Two")},
                   {Out(v1::ACCOUNT_LEES, kLitre)}));

  const v1::Board board = MakeBoard(fold_, {});
  ASSERT_EQ(board.vessels_size(), 3);
  EXPECT_EQ(board.vessels(0).volume_ul(), 0);
  EXPECT_EQ(board.vessels(0).readings_size(), 0);
  EXPECT_EQ(board.vessels(1).name(), "Glass Two");
  EXPECT_EQ(board.vessels(1).volume_ul(), 19 * kLitre);
  EXPECT_EQ(board.vessels(1).lot_name(), "Orchard White");
  ASSERT_EQ(board.vessels(1).readings_size(), 1);
  EXPECT_EQ(board.vessels(1).readings(0).value_micro(), 1'040'000);
}

TEST_F(ViewTest, ABlendHasNoReadingsUntilItIsMeasured) {
  Add(device_.Receive("white", {Fill("Glass One", 12 * kLitre)}));
  Add(device_.Receive("white", {Fill("Glass Two", 6 * kLitre)}));
  Add(device_.Read("Glass One", {Measured(v1::READING_KIND_DENSITY,
                                          v1::READING_UNIT_SPECIFIC_GRAVITY, 1'040'000)}));
  Add(device_.Blend({DrawAll("Glass One"), DrawAll("Glass Two")}, {FillRest("Old Barrel")}));
  const v1::Board board = MakeBoard(fold_, {});
  EXPECT_EQ(board.vessels(2).name(), "Old Barrel");
  EXPECT_EQ(board.vessels(2).volume_ul(), 18 * kLitre);
  EXPECT_EQ(board.vessels(2).readings_size(), 0);
}

TEST_F(ViewTest, LogSaysWhatHappenedAndWhatBecameOfIt) {
  const WrittenEntry received = device_.Receive("white", {Fill("Glass One", 20 * kLitre)});
  Add(received);
  Add(device_.Rack({DrawAll("Old Barrel")}, {FillRest("Glass Two")}));
  const size_t last = fold_.sequence().size() - 1;
  EXPECT_THAT(LogAt(last - 1).summary(),
              AllOf(HasSubstr("received juice"), HasSubstr("Glass One"), HasSubstr("20 L")));
  EXPECT_EQ(LogAt(last - 1).state(), "counts");
  EXPECT_EQ(LogAt(last).state(), "held");
  EXPECT_THAT(LogAt(last).reason(),
              AllOf(HasSubstr("Old Barrel is empty"), HasSubstr("rundlet amend")));

  Add(device_.Void(received.entry));
  EXPECT_EQ(LogAt(last - 1).state(), "void");
  const Handle vessel = fold_.interner().Find(testing::IdOf("Glass One"));
  EXPECT_EQ(PositionsAbout(fold_, vessel).size(), 2u) << "its registration and the receipt";
}

TEST_F(ViewTest, HeldNamesTheEvidence) {
  Add(device_.Receive("white", {Fill("Glass One", 20 * kLitre)}));
  Add(device_.Rack({Draw("Glass One", 15 * kLitre)}, {FillRest("Glass Two")}));
  const WrittenEntry impossible =
      device_.Rack({Draw("Glass One", 15 * kLitre)}, {FillRest("Old Barrel")});
  Add(impossible);
  ASSERT_EQ(fold_.state().held().size(), 1u);
  const v1::HeldLine line = MakeHeldLine(fold_, fold_.state().held()[0], impossible.entry);
  EXPECT_EQ(line.reason(), v1::HELD_REASON_NOT_ENOUGH_WINE);
  EXPECT_EQ(line.needed(), 15 * kLitre);
  EXPECT_EQ(line.there(), 5 * kLitre);
  EXPECT_EQ(line.subject_name(), "Glass One");
  EXPECT_THAT(line.message(),
              AllOf(HasSubstr("needs 15 L"), HasSubstr("holds 5 L"), HasSubstr("last to take")));
}

}  // namespace
}  // namespace rundlet
