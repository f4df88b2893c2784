// Goal: the text is what the header says, and names that would break it are written by id.
// Method: a small cellar by hand. Whether an accounting tool reads it is for tests/outside.
#include "core/books/ledger_export.h"

#include "absl/strings/str_cat.h"
#include "tests/support/cellar_fixture.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

class LedgerExportTest : public CellarTest {
 protected:
  std::string Text() {
    std::string text;
    WriteLedger(fold_, [&](absl::string_view piece) { text.append(piece.data(), piece.size()); });
    return text;
  }
};

TEST_F(LedgerExportTest, OneTransactionAnEntryTwoPostingsAMovement) {
  v1::Entry late_evening;  // 23:30 on 2 January, two hours east of Greenwich
  late_evening.mutable_wine_received()->set_kind(v1::INFLOW_KIND_JUICE);
  late_evening.mutable_wine_received()->set_lot_id(IdOf("Riesling").ToBytes());
  *late_evening.mutable_wine_received()->add_fills() = Fill("C1", 2 * kLitre);
  late_evening.set_utc_offset_min(120);
  const auto juice =
      Do(phone_.At(kDawnUs + kDayUs + (13 * 60 + 30) * kMinuteUs).Write(late_evening));
  const auto rack = Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}, {Out(v1::ACCOUNT_LEES, 5)}));
  Do(phone_.Observe("C1"));  // moves nothing
  EXPECT_EQ(Text(),
            absl::StrCat("2024-01-02 (", EntryId(juice.entry).ToString(), ") wine_received\n",
                         "    vessel:C1  2000000 \"wine in uL\"\n"
                         "    outside:source  -2000000 \"wine in uL\"\n\n",
                         "2024-01-02 (", EntryId(rack.entry).ToString(), ") racking\n",
                         "    vessel:C2  1999995 \"wine in uL\"\n"
                         "    vessel:C1  -1999995 \"wine in uL\"\n"
                         "    outside:lees  5 \"wine in uL\"\n"
                         "    vessel:C1  -5 \"wine in uL\"\n\n"));
}

TEST_F(LedgerExportTest, BalancesByAccountAndCommodity) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.ReceiveMaterial("KMS-7", Mass(100 * kGram)));
  Do(phone_.ReceiveMaterial("Corks 24", Count(50)));
  Do(phone_.Bottle("Spring run", {Draw("C1", 9 * kLitre)}, {Group("Rack A", 12)}, {},
                   {FromLot("Corks 24", Count(12))}));
  EXPECT_THAT(LedgerBalances(fold_),
              ElementsAre(LedgerBalance{"bin:Rack A", "bottles Spring run of 750000 uL", 12},
                          LedgerBalance{"stock", "material lot Corks 24 in pieces", 38},
                          LedgerBalance{"stock", "material lot KMS-7 in ug", 100 * kGram},
                          LedgerBalance{"vessel:C1", "wine in uL", kLitre}));
}

TEST_F(LedgerExportTest, NamesThatTheFormatCannotCarry) {
  for (const char* name : {"Two  spaces", "semi;colon", "(virtual)", "a:b", "a \"quoted\" one",
                           "= rule", "0190163d-8694-739b-aea5-966c26f8ad91", " leading"}) {
    Do(phone_.RegisterVessel(name));
    Do(phone_.Receive("Riesling", {Fill(name, kLitre)}));
    EXPECT_THAT(Text(), HasSubstr(absl::StrCat("    vessel:", IdOf(name).ToString(), "  1000000")));
    EXPECT_THAT(Text(), Not(HasSubstr(absl::StrCat("vessel:", name)))) << name;
  }
  for (const char* name : {"Fass 3", "Gärballon", "no.7_b-2+"}) {
    Do(phone_.RegisterVessel(name));
    Do(phone_.Receive("Riesling", {Fill(name, kLitre)}));
    EXPECT_THAT(Text(), HasSubstr(absl::StrCat("    vessel:", name, "  1000000")));
  }
}

TEST_F(LedgerExportTest, TwoThingsOfOneNameAreToldApart) {
  Do(phone_.RenameVessel("C2", "C1"));
  Do(phone_.Receive("Riesling", {Fill("C1", kLitre), Fill("C2", 2 * kLitre)}));
  const auto balances = LedgerBalances(fold_);
  ASSERT_EQ(balances.size(), 2);
  for (const LedgerBalance& balance : balances) {
    EXPECT_EQ(balance.account,
              absl::StrCat("vessel:", IdOf(balance.amount == kLitre ? "C1" : "C2").ToString()));
  }
}

}  // namespace
}  // namespace rundlet::testing
