// Goal: a trace names everything that is in a wine, exactly, and nothing that came later or went
// elsewhere. Method: small cellars of the (invented) Thistledown Wine Circle, worked out by hand
// beside the checks.
#include "core/lineage/trace.h"

#include <map>

#include "core/fold/fold.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/cellar_builder.h"

namespace rundlet {
namespace {

using testing::BottlesOf;
using testing::Draw;
using testing::DrawAll;
using ::testing::ElementsAre;
using testing::Fill;
using testing::FillRest;
using testing::FromLot;
using testing::Group;
using testing::kBottleUl;
using testing::kGram;
using testing::kLitre;
using testing::kMillilitre;
using testing::Mass;
using testing::OfMaterial;
using ::testing::UnorderedElementsAre;
using testing::Volume;

class TraceTest : public ::testing::Test {
 protected:
  TraceTest() {
    for (const char* vessel : {"C1", "C2", "C3"}) Add(device_.RegisterVessel(vessel));
    Register("white", [](v1::Thing& t) { t.mutable_lot()->set_name("white"); });
    Register("run", [](v1::Thing& t) {
      t.mutable_bottling()->set_name("run");
      t.mutable_bottling()->set_lot_id(testing::IdOf("white").ToBytes());
    });
    Register("shelf", [](v1::Thing& t) { t.mutable_bin()->set_name("shelf"); });
    Register("sulfite", [](v1::Thing& t) { t.mutable_material()->set_name("sulfite"); });
    Register("water", [](v1::Thing& t) { t.mutable_material()->set_name("water"); });
    for (const char* packet : {"P", "Q"}) {
      Register(packet, [&](v1::Thing& t) {
        t.mutable_material_lot()->set_name(packet);
        t.mutable_material_lot()->set_material_id(testing::IdOf("sulfite").ToBytes());
        t.mutable_material_lot()->set_supplier_lot("S-1");
      });
      Add(device_.ReceiveMaterial(packet, Mass(100 * kGram)));
    }
  }

  template <typename Set>
  void Register(const char* name, Set set) {
    v1::Entry draft;
    draft.mutable_registered()->set_thing_id(testing::IdOf(name).ToBytes());
    set(*draft.mutable_registered());
    Add(device_.Write(draft));
  }

  void Add(const WrittenEntry& written) {
    entries_[*Uuid::FromBytes(written.entry.entry_id())] = written.entry;
    fold_.Add(written.entry);
    ASSERT_EQ(fold_.state().held().size(), 0u) << "the test means every entry to count";
  }

  absl::StatusOr<v1::Trace> Trace(const char* subject, v1::TraceDirection direction) {
    return MakeTrace(fold_, fold_.interner().Find(testing::IdOf(subject)), direction,
                     [&](const Uuid& id) -> absl::StatusOr<v1::Entry> { return entries_.at(id); });
  }

  // "description amount", without units.
  static std::vector<std::string> Ends(const absl::StatusOr<v1::Trace>& trace) {
    std::vector<std::string> ends;
    if (!trace.ok()) return {trace.status().ToString()};
    for (const v1::TraceEnd& end : trace->ends()) {
      ends.push_back(end.description() + " " + std::to_string(end.amount().base()));
    }
    return ends;
  }
  static std::vector<std::string> Steps(const absl::StatusOr<v1::Trace>& trace) {
    std::vector<std::string> steps;
    if (!trace.ok()) return {trace.status().ToString()};
    for (const v1::TraceStep& step : trace->steps()) {
      steps.push_back(step.commodity() + " " + step.from() + ">" + step.to() + " " +
                      std::to_string(step.amount()));
    }
    return steps;
  }

  testing::TestDevice device_{"phone"};
  Fold fold_;
  std::map<Uuid, v1::Entry> entries_;
};

TEST_F(TraceTest, BackNamesWhatIsInTheWineAndNotWhatCameLater) {
  Add(device_.Receive("white", {Fill("C1", 20 * kLitre)}));
  Add(device_.Add("C1", {FromLot("P", Mass(2 * kGram))}));
  Add(device_.Rack({Draw("C1", 5 * kLitre)}, {FillRest("C2")}));  // a quarter, so 0.5 g of P
  Add(device_.Add("C1", {FromLot("Q", Mass(3 * kGram))}));        // too late for C2

  const auto trace = Trace("C2", v1::TRACE_DIRECTION_BACK);
  EXPECT_THAT(Ends(trace), ElementsAre("juice for white 5000000", "sulfite, packet P 500000"));
  EXPECT_THAT(Steps(trace),
              ElementsAre("wine C1>C2 5000000", "P store>C1 2000000", "wine source>C1 20000000"));
  EXPECT_EQ(trace->ends(1).supplier_lot(), "S-1");
}

TEST_F(TraceTest, ForwardAccountsForAllOfAPacket) {
  Add(device_.Receive("white", {Fill("C1", 20 * kLitre)}));
  Add(device_.Rack({Draw("C1", 5 * kLitre)}, {FillRest("C3")}));  // before the addition: free of P
  Add(device_.Add("C1", {FromLot("P", Mass(3 * kGram))}));
  Add(device_.Rack({Draw("C1", 5 * kLitre)}, {FillRest("C2")}));  // a third: 1 g
  Add(device_.Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));  // a tenth of 2 g
  Add(device_.Bottle("run", {DrawAll("C1")},
                     {Group("shelf", 12, kBottleUl)}));  // 9 L of 9 L: 1.8 g
  Add(device_.TakeBottles(BottlesOf("run", 2), "shelf", v1::ACCOUNT_SERVED));

  const auto trace = Trace("P", v1::TRACE_DIRECTION_FORWARD);
  EXPECT_THAT(
      Ends(trace),
      ElementsAre("vessel C2 1000000", "bottling run: 10 x 750 mL in shelf, 2 served 1800000",
                  "no longer here: lees, losses, samples, wine served from the vessel 200000"));
  EXPECT_EQ(trace->ends(1).bottles(), 10);
  EXPECT_EQ(Ends(Trace("sulfite", v1::TRACE_DIRECTION_FORWARD)), Ends(trace))
      << "all packets of it: only P was used";
}

TEST_F(TraceTest, ALotSplitAndToppedWithSomethingElseIsToldApart) {
  Register("red", [](v1::Thing& t) { t.mutable_lot()->set_name("red"); });
  Add(device_.Receive("white", {Fill("C1", 18 * kLitre), Fill("C2", 18 * kLitre)}));
  Add(device_.Receive("red", {Fill("C3", 10 * kLitre)}));
  Add(device_.Top(Draw("C3", 2 * kLitre), {FillRest("C2")}));

  EXPECT_THAT(Ends(Trace("C1", v1::TRACE_DIRECTION_BACK)), ElementsAre("juice for white 18000000"));
  EXPECT_THAT(Ends(Trace("C2", v1::TRACE_DIRECTION_BACK)),
              ElementsAre("juice for white 18000000", "juice for red 2000000"));
  EXPECT_THAT(Ends(Trace("red", v1::TRACE_DIRECTION_FORWARD)),
              UnorderedElementsAre("vessel C2 2000000", "vessel C3 8000000"));
  EXPECT_THAT(Ends(Trace("white", v1::TRACE_DIRECTION_BACK)),
              ElementsAre("juice for white 36000000", "juice for red 2000000"));
}

// A vessel is sulfited, and the wine is racked onto it: the packet is in that wine, and in its
// bottles.
TEST_F(TraceTest, APacketThatWaitedInAnEmptyVesselIsFound) {
  Add(device_.Receive("white", {Fill("C1", 18 * kLitre)}));
  Add(device_.Add("C2", {FromLot("P", Mass(2 * kGram))}));
  Add(device_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_THAT(Ends(Trace("P", v1::TRACE_DIRECTION_FORWARD)), ElementsAre("vessel C2 2000000"));
  EXPECT_THAT(Steps(Trace("C2", v1::TRACE_DIRECTION_BACK)),
              ElementsAre("wine C1>C2 18000000", "P store>C2 2000000", "wine source>C1 18000000"));
  Add(device_.Bottle("run", {Draw("C2", 9 * kLitre)}, {Group("shelf", 12, kBottleUl)}));
  EXPECT_THAT(Ends(Trace("P", v1::TRACE_DIRECTION_FORWARD)),
              ElementsAre("vessel C2 1000000", "bottling run: 12 x 750 mL in shelf 1000000"));
}

TEST_F(TraceTest, WaterAndClosuresAreNamed) {
  Register("corks", [](v1::Thing& t) { t.mutable_material()->set_name("corks"); });
  Add(device_.Receive("white", {Fill("C1", 8 * kLitre)}));
  Add(device_.Add("C1", {OfMaterial("water", Volume(kLitre), kLitre)}));
  Add(device_.Bottle("run", {DrawAll("C1")}, {Group("shelf", 12, kBottleUl)}, {},
                     {OfMaterial("corks", testing::Count(12))}));
  EXPECT_THAT(Ends(Trace("run", v1::TRACE_DIRECTION_BACK)),
              ElementsAre("juice for white 8000000", "water 1000000", "corks 12"));
  EXPECT_THAT(Ends(Trace("corks", v1::TRACE_DIRECTION_FORWARD)),
              ElementsAre("bottling run: 12 x 750 mL in shelf 12"));
}

TEST_F(TraceTest, SaysWhatCannotBeTraced) {
  EXPECT_EQ(Trace("C1", v1::TRACE_DIRECTION_BACK).status().code(),
            absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(Trace("P", v1::TRACE_DIRECTION_FORWARD).status().code(),
            absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(Trace("P", v1::TRACE_DIRECTION_BACK).status().code(),
            absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(Trace("shelf", v1::TRACE_DIRECTION_FORWARD).status().code(),
            absl::StatusCode::kInvalidArgument);
}

}  // namespace
}  // namespace rundlet
