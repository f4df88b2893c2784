// Goal: entries of care and plans move nothing, wait for nobody, are kept through a snapshot, and
// are void or amended like all others; a rule broken knowingly is kept beside what was done.
// Method: a small cellar of the invented circle.
#include "core/fold/records.h"

#include "core/fold/snapshot.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet {
namespace {

using testing::Fill;
using ::testing::IsEmpty;
using testing::kLitre;
using testing::RowOf;
using ::testing::SizeIs;

class RecordsTest : public testing::CellarTest {};

TEST_F(RecordsTest, CareMovesNothingAndWaitsForNobody) {
  const WrittenEntry known = Do(phone_.Write(testing::draft::Sanitised("C1")));
  const WrittenEntry unknown = Do(phone_.Write(testing::draft::Sanitised("a pump nobody named")));
  for (const WrittenEntry& written : {known, unknown}) {
    EXPECT_THAT(MovesOf(written), IsEmpty());
    EXPECT_EQ(HeldText(written), "");
    const v1::Entry* kept = fold_.records().Find(RowOf(fold_, written));
    ASSERT_NE(kept, nullptr);
    EXPECT_EQ(kept->sanitised().agent(), "hot water");
  }
}

TEST_F(RecordsTest, ARuleBrokenKnowinglyIsKeptBesideWhatWasDone) {
  v1::Entry draft = testing::draft::Observation("C1");
  draft.mutable_observation()->mutable_impressions(0)->set_aspect(v1::ASPECT_TASTE);
  draft.mutable_anyway()->add_rule_ids("trial-rule");
  draft.mutable_anyway()->set_reason("the pump had failed");
  const WrittenEntry written = Do(phone_.Write(draft));
  const v1::Entry* kept = fold_.records().Find(RowOf(fold_, written));
  ASSERT_NE(kept, nullptr);
  EXPECT_EQ(kept->anyway().reason(), "the pump had failed");
  EXPECT_FALSE(kept->has_observation());
}

TEST_F(RecordsTest, ObservationsThatRulesAskForAreKept) {
  const WrittenEntry clear = Do(phone_.Write(testing::draft::Observation("C1", "bright")));
  const v1::Entry* kept = fold_.records().Find(RowOf(fold_, clear));
  ASSERT_NE(kept, nullptr);
  EXPECT_EQ(kept->observation().impressions(0).text(), "bright");
  v1::Entry taste = testing::draft::Observation("C1", "of apples");
  taste.mutable_observation()->mutable_impressions(0)->set_aspect(v1::ASPECT_TASTE);
  EXPECT_EQ(fold_.records().Find(RowOf(fold_, Do(phone_.Write(taste)))), nullptr);
  taste.set_note("the Malolactic is under way");
  EXPECT_NE(fold_.records().Find(RowOf(fold_, Do(phone_.Write(taste)))), nullptr);
}

TEST_F(RecordsTest, TheyAreVoidLikeOthersAndKeptThroughASnapshot) {
  const WrittenEntry kept = Do(phone_.Write(testing::draft::Sanitised("C1")));
  const WrittenEntry gone = Do(phone_.Write(testing::draft::Sanitised("C2")));
  Do(phone_.Void(gone.entry));
  std::string bytes;
  Snapshot::Save(fold_, "stamp", [&](absl::string_view part) { absl::StrAppend(&bytes, part); });
  auto opened = Snapshot::Open(absl::MakeSpan(bytes), Snapshot::Verify::kAll);
  ASSERT_TRUE(opened.ok()) << opened.status();
  EXPECT_THAT(opened->fold->records().all(), SizeIs(2));
  EXPECT_EQ(opened->fold->StateDigest(), fold_.StateDigest());
  const RowId row = RowOf(*opened->fold, gone);
  EXPECT_EQ(opened->fold->sequence().row(row).standing, Row::Standing::kVoid);
  EXPECT_NE(opened->fold->records().Find(RowOf(*opened->fold, kept)), nullptr);
}

TEST_F(RecordsTest, APlanIsCheckedBeforeItIsWritten) {
  v1::Entry draft;
  v1::PlanStarted& plan = *draft.mutable_plan_started();
  plan.set_plan_id(testing::IdOf("plan").ToBytes());
  plan.set_lot_id(testing::IdOf("Elder").ToBytes());
  v1::PlanStep& step = *plan.add_steps();
  step.set_key("rack");
  step.set_title("rack it");
  step.set_after_key("pitch");
  ChainHead head = phone_.head();
  draft.set_effective_at_us(testing::kDawnUs);
  draft.set_written_at_us(testing::kDawnUs);
  const auto refused = WriteEntry(phone_.writer(), testing::IdOf("entry"), draft, head);
  EXPECT_EQ(refused.status().code(), absl::StatusCode::kInvalidArgument);
  step.clear_after_key();
  EXPECT_TRUE(WriteEntry(phone_.writer(), testing::IdOf("entry"), draft, head).ok());
}

}  // namespace
}  // namespace rundlet
