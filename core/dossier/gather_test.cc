// Goal: a dossier has every entry that a stranger needs to follow a lot, and not the whole book.
// Method: two lots, one of which is blended into the other; what is and is not gathered, entry by
// entry.
#include "core/dossier/gather.h"

#include "core/dossier/testing.h"
#include "tests/support/cellar_fixture.h"

namespace rundlet::dossier {
namespace {

using ::testing::Contains;
using testing::Draw;
using testing::Fill;
using testing::kLitre;
using ::testing::Not;

class GatherTest : public testing::CellarTest {
 protected:
  std::vector<RowId> Gather(absl::string_view lot) {
    const auto rows = GatherRows(fold_, fold_.interner().Find(testing::IdOf(lot)),
                                 [&](RowId row) -> absl::StatusOr<v1::Entry> {
                                   for (const WrittenEntry& written : written_) {
                                     if (Row(written) == row) return written.entry;
                                   }
                                   return absl::NotFoundError("no such row");
                                 });
    EXPECT_TRUE(rows.ok()) << rows.status();
    return rows.ok() ? *rows : std::vector<RowId>();
  }
  RowId Row(const WrittenEntry& written) { return testing::RowOf(fold_, written); }
};

TEST_F(GatherTest, BackThroughABlendAndForwardToTheBottles) {
  const WrittenEntry riesling = Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  const WrittenEntry elder = Do(phone_.Receive("Elder", {Fill("C2", 10 * kLitre)}));
  const WrittenEntry before = Do(phone_.Observe("C2", "of flowers"));
  const WrittenEntry dosed = Do(phone_.Treat("C2", v1::TREATMENT_KIND_STIRRING));
  const WrittenEntry other = Do(phone_.Receive("Elder", {Fill("C4", 10 * kLitre)}));
  const WrittenEntry blend =
      Do(phone_.Blend({Draw("C2", 5 * kLitre)}, {Fill("C1", 5 * kLitre)}, "Riesling"));
  const WrittenEntry slip = Do(phone_.Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  const WrittenEntry gone = Do(phone_.Void(slip.entry));
  const WrittenEntry elsewhere = Do(phone_.Withdraw(Draw("C4", kLitre), v1::ACCOUNT_SAMPLE));

  const std::vector<RowId> rows = Gather("Riesling");
  for (const WrittenEntry* wanted : {&riesling, &elder, &before, &dosed, &blend, &slip, &gone})
    EXPECT_THAT(rows, Contains(Row(*wanted))) << wanted->entry.ShortDebugString();
  for (const WrittenEntry* unwanted : {&other, &elsewhere})
    EXPECT_THAT(rows, Not(Contains(Row(*unwanted)))) << unwanted->entry.ShortDebugString();
  EXPECT_TRUE(std::is_sorted(rows.begin(), rows.end()));
}

TEST_F(GatherTest, RegistrationsOfWhatIsNamedAndOfNothingElse) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  const WrittenEntry renamed = Do(phone_.RenameVessel("C1", "the blue one"));
  const WrittenEntry unused = Do(phone_.RegisterVessel("C9"));
  const std::vector<RowId> rows = Gather("Riesling");
  EXPECT_THAT(rows, Contains(Row(renamed)));
  EXPECT_THAT(rows, Not(Contains(Row(unused))));
  EXPECT_THAT(rows, Contains(Row(written_[0]))) << "the registration of C1";
}

TEST(GatherPeopleTest, WhoWroteItAndWhoLetThemIn) {
  SealedJournal journal;
  const Handle lot = journal.fold.interner().Find(testing::IdOf("White"));
  const auto rows = GatherRows(journal.fold, lot, [&](RowId row) -> absl::StatusOr<v1::Entry> {
    return ParseEntry(journal.bytes[row]);
  });
  ASSERT_TRUE(rows.ok()) << rows.status();
  EXPECT_THAT(*rows, Contains(0u)) << "the phone's key";
  EXPECT_THAT(*rows, Contains(5u)) << "the invitation";
  EXPECT_THAT(*rows, Contains(7u)) << "the tablet's key";
}

}  // namespace
}  // namespace rundlet::dossier
