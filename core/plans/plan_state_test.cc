// Goal: the state of plans follows from the entries: what was done checks steps off, gates close
// and open by the readings, shifts and skips move what follows, what is void counts no longer, and
// the order of arrival does not matter. Method: small cellars of the invented circle, day by day.
#include "core/plans/plan_state.h"

#include <algorithm>
#include <random>

#include "absl/strings/str_cat.h"
#include "core/plans/plan_text.h"
#include "core/plans/templates.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::plans {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

constexpr int64_t kHour = 60 * kMinuteUs;

constexpr char kPlan[] = R"(plan: Trial
step pitch: Yeast
  done by: add
  dose: yeast = 0.25 g/L
step rack: Rack
  when: 14 days after pitch
  needs: density at most 0.998, 2 readings 2 days apart
  done by: rack
step degas: Degas
  done by: treat degas
step turn: Turn
  when: 2 days after degas
  done by: treat turn
step taste: Taste it
)";

class PlanStateTest : public CellarTest {
 protected:
  PlanStateTest() {
    Do(phone_.RegisterMaterial("white wine yeast"));
    Do(phone_.RegisterMaterial("yeast nutrient"));
    Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  }

  // Days after the plan's start.
  TestDevice& Day(double days) {
    return phone_.At(start_us_ + static_cast<int64_t>(days * kDayUs));
  }

  WrittenEntry Start(const std::string& text = kPlan, absl::string_view id = "plan",
                     absl::string_view lot = "Riesling") {
    v1::Entry draft;
    v1::PlanStarted& plan = *draft.mutable_plan_started();
    plan = *ParsePlan(text);
    plan.set_plan_id(IdOf(id).ToBytes());
    plan.set_lot_id(IdOf(lot).ToBytes());
    return Do(Day(0).Write(draft));
  }
  v1::Entry Done(absl::string_view key, absl::string_view id = "plan") {
    v1::Entry draft;
    draft.mutable_plan_step_done()->set_plan_id(IdOf(id).ToBytes());
    draft.mutable_plan_step_done()->set_key(std::string(key));
    return draft;
  }
  v1::Entry Skipped(absl::string_view key) {
    v1::Entry draft;
    draft.mutable_plan_step_skipped()->set_plan_id(IdOf("plan").ToBytes());
    draft.mutable_plan_step_skipped()->set_key(std::string(key));
    draft.mutable_plan_step_skipped()->set_reason("not this time");
    return draft;
  }
  v1::Entry Shifted(absl::string_view key, int hours) {
    v1::Entry draft;
    draft.mutable_plan_shifted()->set_plan_id(IdOf("plan").ToBytes());
    draft.mutable_plan_shifted()->set_key(std::string(key));
    draft.mutable_plan_shifted()->set_hours(hours);
    return draft;
  }
  v1::Measurement Density(int64_t micro) {
    return Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_SPECIFIC_GRAVITY, micro);
  }
  void Pitch(double day) {
    Do(Day(day).Add("C1", {OfMaterial("white wine yeast", Mass(5 * kGram))}));
  }
  void Dry(double day, absl::string_view vessel = "C1") {
    Do(Day(day).Read(vessel, {Density(997'000)}));
    Do(Day(day + 2).Read(vessel, {Density(996'000)}));
  }

  int64_t AtDay(double days) const { return start_us_ + static_cast<int64_t>(days * kDayUs); }
  PlanState PlanAt(double days) const {
    std::vector<PlanState> plans = PlansOf(fold_, AtDay(days));
    EXPECT_THAT(plans, SizeIs(1));
    return plans.at(0);
  }
  StepState StepAt(double days, absl::string_view key) const {
    const PlanState plan = PlanAt(days);
    const StepState* step = plan.Find(key);
    EXPECT_NE(step, nullptr) << key;
    return *step;
  }
  StepStatus StatusAt(double days, absl::string_view key) const { return StepAt(days, key).status; }

  const int64_t start_us_ = kDawnUs + 10 * kDayUs;
};

TEST_F(PlanStateTest, NoPlansNoState) { EXPECT_THAT(PlansOf(fold_, AtDay(0)), IsEmpty()); }

TEST_F(PlanStateTest, APlanBeginsWithItsFirstStep) {
  Start();
  const PlanState plan = PlanAt(1);
  EXPECT_EQ(plan.name, "Trial");
  EXPECT_TRUE(plan.running());
  EXPECT_THAT(plan.vessels, ElementsAre(HandleOf(fold_, "C1")));
  ASSERT_THAT(plan.steps, SizeIs(5));
  EXPECT_EQ(plan.steps[0].status, StepStatus::kDue);
  EXPECT_EQ(plan.steps[0].due_since_us, AtDay(0));
  ASSERT_THAT(plan.steps[0].doses, SizeIs(1));
  EXPECT_EQ(plan.steps[0].doses[0].amount.base, 5 * kGram) << "0.25 g/L in 20 L";
  for (size_t i = 1; i < 5; ++i) EXPECT_EQ(plan.steps[i].status, StepStatus::kLater);
  EXPECT_EQ(plan.steps[1].due_at_us, AtDay(15)) << "if the yeast goes in now";
  EXPECT_EQ(plan.steps[3].due_at_us, AtDay(17));
}

TEST_F(PlanStateTest, DosesFollowTheVolume) {
  Start();
  Do(Day(0.1).Rack({Draw("C1", 5 * kLitre)}, {FillRest("C2")}));
  const StepState step = StepAt(1, "pitch");
  ASSERT_THAT(step.doses, SizeIs(2));
  EXPECT_EQ(step.doses[0].amount.base, 3'750'000);
  EXPECT_EQ(step.doses[1].amount.base, 1'250'000);
}

TEST_F(PlanStateTest, WhatWasDoneChecksItselfOff) {
  Start();
  Do(Day(0.1).Add("C1", {OfMaterial("yeast nutrient", Mass(kGram))}));
  EXPECT_EQ(StatusAt(0.2, "pitch"), StepStatus::kDue) << "nutrient is no yeast";
  Pitch(0.2);
  const StepState pitch = StepAt(1, "pitch");
  EXPECT_EQ(pitch.status, StepStatus::kDone);
  EXPECT_TRUE(pitch.by_itself);
  EXPECT_EQ(pitch.over_at_us, AtDay(0.2));
  EXPECT_EQ(pitch.by, RowOf(fold_, written_.back()));
  EXPECT_EQ(StatusAt(1, "rack"), StepStatus::kWaiting);
  EXPECT_EQ(StepAt(1, "rack").due_at_us, AtDay(14.2));

  Dry(12);
  const WrittenEntry racked = Do(Day(14.2).Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(StepAt(15, "rack").by, RowOf(fold_, racked));
  EXPECT_EQ(StatusAt(15, "degas"), StepStatus::kDue);
  Do(Day(15).Treat("C2", v1::TREATMENT_KIND_STIRRING));
  EXPECT_EQ(StatusAt(15.1, "degas"), StepStatus::kDue) << "stirring is no degassing";
  Do(Day(15.2).Treat("C3", v1::TREATMENT_KIND_DEGASSING));
  EXPECT_EQ(StatusAt(15.3, "degas"), StepStatus::kDue) << "an empty vessel has no wine of the lot";
  Do(Day(15.4).Treat("C2", v1::TREATMENT_KIND_DEGASSING));
  EXPECT_EQ(StatusAt(15.5, "degas"), StepStatus::kDone);
  Do(Day(17.5).Treat("C2", v1::TREATMENT_KIND_TURNING));
  EXPECT_EQ(StatusAt(18, "turn"), StepStatus::kDone);
  EXPECT_EQ(StatusAt(18, "taste"), StepStatus::kDue) << "nothing but a person";
  EXPECT_TRUE(PlanAt(18).running());
  Do(Day(18).Write(Done("taste")));
  EXPECT_FALSE(StepAt(19, "taste").by_itself);
  EXPECT_TRUE(PlanAt(19).finished());
}

TEST_F(PlanStateTest, ADayEarlyCountsAndMoreDoesNot) {
  Start();
  Pitch(0);
  Dry(5);
  Do(Day(13 - 0.01).Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(StatusAt(14.5, "rack"), StepStatus::kDue);
  Do(Day(13).Rack({DrawAll("C2")}, {FillRest("C3")}));
  EXPECT_EQ(StatusAt(14.5, "rack"), StepStatus::kDone);
}

TEST_F(PlanStateTest, AnEntryFulfilsOneStepOnly) {
  Start("plan: Two\nstep a: A\n  done by: rack\nstep b: B\n  done by: rack\n");
  Do(Day(1).Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(StatusAt(2, "a"), StepStatus::kDone);
  EXPECT_EQ(StatusAt(2, "b"), StepStatus::kDue);
}

TEST_F(PlanStateTest, MaterialsMayComeTogetherOrOneByOne) {
  const char kTwo[] =
      "plan: Two\nstep a: A\n  done by: add\n  dose: yeast = 1 g\n  dose: sulfite = 1 g\n"
      "step b: B\n  done by: add\n  dose: water = 1 L\n";
  Start(kTwo);
  Do(Day(1).Add("C1", {OfMaterial("white wine yeast", Mass(kGram))}));
  EXPECT_EQ(StatusAt(2, "a"), StepStatus::kDue);
  EXPECT_THAT(StepAt(2, "a").done_in, SizeIs(1));
  Do(Day(3).Add("C1",
                {FromLot("KMS-7", Mass(kGram)), OfMaterial("Water", Volume(kLitre), kLitre)}));
  EXPECT_EQ(StatusAt(4, "a"), StepStatus::kDone) << "a packet answers to its material's name";
  EXPECT_EQ(StatusAt(4, "b"), StepStatus::kDone) << "another material of the same entry";
}

TEST_F(PlanStateTest, AGateSaysWhichReadingOpensIt) {
  Start();
  Pitch(0);
  const auto block = [&](double day) {
    const StepState step = StepAt(day, "rack");
    EXPECT_EQ(step.status, StepStatus::kBlocked);
    return step.blocks.empty() ? GateBlock() : step.blocks[0];
  };
  EXPECT_THAT(block(15).text, HasSubstr("no reading yet"));
  EXPECT_EQ(block(15).vessel, HandleOf(fold_, "C1"));
  EXPECT_EQ(block(15).kind, v1::READING_KIND_DENSITY);
  Do(Day(15).Read("C1", {Density(1'004'000)}));
  EXPECT_EQ(block(16).text,
            "density at most 0.998 SG, 2 readings 2 days apart: last is 1.004 SG on 2024-01-26");
  Do(Day(16).Read("C1", {Density(998'000)}));
  EXPECT_THAT(block(16.5).text, HasSubstr("; 1 more, not before 2024-01-29 08:00"));
  EXPECT_EQ(block(16.5).not_before_us, AtDay(18));
  Do(Day(17).Read("C1", {Density(997'000)}));
  EXPECT_THAT(block(17.5).text, HasSubstr("; 1 more, not before 2024-01-29 08:00"))
      << "two, but a day apart";
  Do(Day(18).Read("C1", {Density(997'000)}));
  EXPECT_EQ(StatusAt(18.5, "rack"), StepStatus::kDue) << "who reads daily needs not skip a day";
  EXPECT_EQ(StepAt(18.5, "rack").due_since_us, AtDay(18));
  Do(Day(19).Read("C1", {Density(999'000)}));
  EXPECT_THAT(block(19.5).text, HasSubstr("last is 0.999 SG")) << "it went up again";
}

TEST_F(PlanStateTest, WithAClosedGateNothingIsCheckedOff) {
  Start();
  Pitch(0);
  Do(Day(15).Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(StatusAt(16, "rack"), StepStatus::kBlocked);
  Do(Day(16).Write(Done("rack")));
  EXPECT_EQ(StatusAt(17, "rack"), StepStatus::kDone) << "a person may say so";
}

TEST_F(PlanStateTest, ReadingsOnOtherScalesAreHeldAgainstTheBound) {
  Start("plan: P\nstep a: A\n  needs: density at most 1.010\n  needs: temperature at most 20 C\n");
  const auto read = [&](double day, v1::ReadingUnit density, int64_t value, int64_t fahrenheit) {
    Do(Day(day).Read(
        "C1", {Measured(v1::READING_KIND_DENSITY, density, value),
               Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_FAHRENHEIT, fahrenheit)}));
  };
  read(1, v1::READING_UNIT_BRIX, 5'000'000, 68'000'000);
  EXPECT_THAT(StepAt(2, "a").blocks, SizeIs(1)) << "5 Brix are about 1.020; 68 F are 20 C";
  read(2, v1::READING_UNIT_BRIX, 2'000'000, 69'000'000);
  ASSERT_THAT(StepAt(3, "a").blocks, SizeIs(1)) << "2 Brix are about 1.008";
  EXPECT_EQ(StepAt(3, "a").blocks[0].kind, v1::READING_KIND_TEMPERATURE);
  read(3, v1::READING_UNIT_KG_PER_M3, 1'000'000'000, 60'000'000);
  EXPECT_EQ(StatusAt(4, "a"), StepStatus::kDue);
}

TEST_F(PlanStateTest, AStepOfReadingsIsDoneWhenTheySaySo) {
  Start(
      "plan: P\nstep first: First\nstep dry: Dry\n"
      "  needs: density at most 0.998, 2 readings 2 days apart\n  done by: read\n");
  Do(Day(0.5).Write(Done("first")));
  Do(Day(1).Read("C1", {Density(998'000)}));
  EXPECT_EQ(StatusAt(2, "dry"), StepStatus::kBlocked);
  const WrittenEntry last = Do(Day(3).Read("C1", {Density(997'000)}));
  EXPECT_EQ(StatusAt(4, "dry"), StepStatus::kDone);
  EXPECT_EQ(StepAt(4, "dry").by, RowOf(fold_, last));
}

TEST_F(PlanStateTest, EveryVesselOfTheLotTakesPart) {
  Start("plan: P\nstep degas: Degas\n  done by: treat degas\nstep rack: Rack\n  done by: rack\n");
  Do(Day(0.1).Rack({Draw("C1", 5 * kLitre)}, {FillRest("C2")}));
  Do(Day(1).Treat("C2", v1::TREATMENT_KIND_DEGASSING));
  EXPECT_EQ(StatusAt(2, "degas"), StepStatus::kDue);
  EXPECT_THAT(StepAt(2, "degas").done_in, ElementsAre(HandleOf(fold_, "C2")));
  Do(Day(2).Rack({DrawAll("C2")}, {FillRest("C3")}));
  EXPECT_THAT(StepAt(3, "degas").done_in, ElementsAre(HandleOf(fold_, "C3")))
      << "wine takes with it what was done to it";
  Do(Day(3).Treat("C1", v1::TREATMENT_KIND_DEGASSING));
  EXPECT_EQ(StatusAt(4, "degas"), StepStatus::kDone);
  Do(Day(4).Rack({DrawAll("C1")}, {FillRest("C4")}));
  EXPECT_EQ(StatusAt(5, "rack"), StepStatus::kDue);
  Do(Day(5).Rack({DrawAll("C3")}, {FillRest("C4")}));
  EXPECT_EQ(StatusAt(6, "rack"), StepStatus::kDone) << "both are in C4 now";
}

TEST_F(PlanStateTest, EveryVesselOfTheLotHasItsGate) {
  Start("plan: P\nstep a: A\n  needs: density at most 0.998\n");
  Do(Day(1).Read("C1", {Density(1'050'000)}));
  Do(Day(2).Rack({Draw("C1", 5 * kLitre)}, {FillRest("C2")}));
  Do(Day(3).Read("C2", {Density(997'000)}));
  const StepState step = StepAt(4, "a");
  ASSERT_THAT(step.blocks, SizeIs(1));
  EXPECT_EQ(step.blocks[0].vessel, HandleOf(fold_, "C1"));
  Do(Day(4).Read("C1", {Density(996'000)}));
  EXPECT_EQ(StatusAt(5, "a"), StepStatus::kDue);
  Do(Day(5).Rack({DrawAll("C1")}, {FillRest("C3")}));
  EXPECT_EQ(StatusAt(6, "a"), StepStatus::kDue) << "readings go where the wine goes";
}

TEST_F(PlanStateTest, ShiftsMoveWhatFollows) {
  Start();
  Pitch(0);
  Do(Day(1).Write(Shifted("rack", 72)));
  EXPECT_EQ(StepAt(2, "rack").due_at_us, AtDay(17));
  EXPECT_EQ(StepAt(2, "turn").due_at_us, AtDay(19)) << "and what counts from it";
  Do(Day(1).Write(Shifted("rack", -24)));
  EXPECT_EQ(StepAt(2, "rack").due_at_us, AtDay(16));
  EXPECT_EQ(StepAt(2, "turn").due_at_us, AtDay(18));
}

TEST_F(PlanStateTest, SkippedIsOverWithItsReason) {
  Start();
  Do(Day(3).Write(Skipped("pitch")));
  EXPECT_EQ(StatusAt(4, "pitch"), StepStatus::kSkipped);
  EXPECT_EQ(StepAt(4, "pitch").reason, "not this time");
  EXPECT_EQ(StepAt(4, "rack").due_at_us, AtDay(17));
  Pitch(3.5);
  EXPECT_EQ(StatusAt(4, "pitch"), StepStatus::kSkipped);
}

TEST_F(PlanStateTest, AnEndedPlanTakesNothingMore) {
  Start();
  v1::Entry end;
  end.mutable_plan_ended()->set_plan_id(IdOf("plan").ToBytes());
  end.mutable_plan_ended()->set_reason("sold");
  Do(Day(1).Write(end));
  Pitch(2);
  Do(Day(2).Write(Done("pitch")));
  const PlanState plan = PlanAt(3);
  EXPECT_TRUE(plan.ended());
  EXPECT_FALSE(plan.running());
  EXPECT_EQ(plan.end_reason, "sold");
  EXPECT_EQ(plan.steps[0].status, StepStatus::kDue);
}

TEST_F(PlanStateTest, WhatIsVoidOrAmendedCountsNoLonger) {
  const WrittenEntry start = Start();
  Pitch(0.1);
  const WrittenEntry pitched = written_.back();
  const WrittenEntry skipped = Do(Day(1).Write(Skipped("rack")));
  EXPECT_EQ(StatusAt(2, "rack"), StepStatus::kSkipped);
  Do(Day(2).Void(skipped.entry));
  EXPECT_EQ(StatusAt(3, "rack"), StepStatus::kWaiting);
  Do(phone_.Amending(pitched.entry)
         .At(AtDay(0.1))
         .Add("C1", {OfMaterial("yeast nutrient", Mass(kGram))}));
  EXPECT_EQ(StatusAt(3, "pitch"), StepStatus::kDue);
  Do(Day(4).Void(start.entry));
  EXPECT_THAT(PlansOf(fold_, AtDay(5)), IsEmpty());
}

TEST_F(PlanStateTest, AHeldEntryChecksNothingOff) {
  Start("plan: P\nstep rack: Rack\n  done by: rack\n");
  Do(Day(1).Rack({Draw("C1", 19 * kLitre), Draw("C4", kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(StatusAt(2, "rack"), StepStatus::kDue);
}

TEST_F(PlanStateTest, SanitisingReceivingSeeingAndBottling) {
  Start(
      "plan: P\nstep clean: Clean\n  done by: sanitise\nstep in: In\n  done by: receive\n"
      "step see: See\n  done by: note\nstep out: Out\n  done by: bottle\n",
      "plan", "Elder");
  Do(Day(1).Write(draft::Sanitised("C1")));
  EXPECT_EQ(StatusAt(2, "clean"), StepStatus::kDue) << "C1 holds another lot";
  Do(Day(2).Write(draft::Sanitised("C2")));
  EXPECT_EQ(StatusAt(3, "clean"), StepStatus::kDone);
  Do(Day(3).Receive("Elder", {Fill("C2", 3 * kLitre)}));
  EXPECT_EQ(StatusAt(4, "in"), StepStatus::kDone);
  Do(Day(4).Observe("C1"));
  EXPECT_EQ(StatusAt(5, "see"), StepStatus::kDue);
  Do(Day(5).Observe("Elder"));
  EXPECT_EQ(StatusAt(6, "see"), StepStatus::kDone) << "a note on the lot is one on all of it";
  Do(Day(6).Bottle("Spring run", {DrawAll("C2")}, {Group("Rack A", 4)}));
  EXPECT_EQ(StatusAt(7, "out"), StepStatus::kDone);
  EXPECT_TRUE(PlanAt(7).finished());
}

// All that is said of all plans, by names, so that folds can be compared.
std::string Story(const Fold& fold, int64_t now_us) {
  std::string text;
  const auto entry = [&](RowId row) {
    return row == kNone ? "-" : fold.sequence().row(row).id.ToString();
  };
  for (const PlanState& plan : PlansOf(fold, now_us)) {
    absl::StrAppend(&text, plan.name, " ", entry(plan.row), " ", entry(plan.ended_by), "\n");
    for (const StepState& step : plan.steps) {
      absl::StrAppend(&text, step.step.key(), " ", static_cast<int>(step.status), " ",
                      entry(step.by), " ", step.over_at_us, " ", step.due_at_us, " ",
                      step.due_since_us, " ", step.by_itself);
      for (const GateBlock& block : step.blocks)
        absl::StrAppend(&text, "; ", fold.directory().NameOf(block.vessel, fold.sequence()), " ",
                        block.text);
      for (const DoseNow& dose : step.doses)
        absl::StrAppend(&text, "; ", fold.directory().NameOf(dose.vessel, fold.sequence()), " ",
                        dose.amount.base);
      absl::StrAppend(&text, "\n");
    }
  }
  return text;
}

TEST_F(PlanStateTest, TheOrderOfArrivalDoesNotMatter) {
  Start();
  Do(phone_.RegisterLot("Fair"));
  Do(Day(0.2).Receive("Elder", {Fill("C3", 10 * kLitre)}));
  Start(std::string(Templates()[0].text), "second", "Elder");
  Pitch(0.5);
  Dry(11);
  Do(Day(2).Write(Shifted("rack", -24)));
  Do(Day(13).Rack({Draw("C1", 12 * kLitre)}, {FillRest("C2")}));
  Do(Day(13.1).Rack({DrawAll("C1")}, {FillRest("C4")}));
  const WrittenEntry wrong = Do(Day(14).Treat("C2", v1::TREATMENT_KIND_DEGASSING));
  Do(Day(14.5).Treat("C4", v1::TREATMENT_KIND_DEGASSING));
  Do(Day(15).Void(wrong.entry));
  Do(Day(3).Write(Done("clean", "second")));
  Do(Day(15).Read("C3", {Density(1'010'000)}));
  const std::string story = Story(fold_, AtDay(16));
  EXPECT_THAT(story, HasSubstr("rack 0"));
  EXPECT_THAT(story, HasSubstr("degas 2")) << story;

  std::mt19937 random(7);
  std::vector<WrittenEntry> entries = written_;
  for (int round = 0; round < 20; ++round) {
    std::shuffle(entries.begin(), entries.end(), random);
    Fold other;
    for (const WrittenEntry& each : entries) {
      other.Insert(each.entry);
      if (random() % 4 == 0) other.Settle();
    }
    other.Settle();
    ASSERT_EQ(Story(other, AtDay(16)), story);
  }
}

}  // namespace
}  // namespace rundlet::plans
