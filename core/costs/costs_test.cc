// Goal: every cent that was paid is in a bottle, in a vessel, in stock, or spent, by exact
// proportion through blends; the sums are worked out beside. Method: small cellars by hand, and
// random cellars for the sums.
#include "core/costs/costs.h"

#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::costs {
namespace {

using namespace rundlet::testing;  // NOLINT: the fixture's words

class CostsTest : public CellarTest {
 protected:
  void Receive(absl::string_view lot, absl::string_view vessel, int64_t litres, int64_t cents) {
    v1::Entry entry = draft::WineReceived(lot, {Fill(vessel, litres * kLitre)});
    entry.mutable_wine_received()->set_cost_cents(cents);
    Do(phone_.Write(entry));
  }
  void Packet(absl::string_view packet, const v1::Amount& amount, int64_t cents) {
    v1::Entry entry = draft::MaterialReceived(packet, amount);
    entry.mutable_material_received()->set_cost_cents(cents);
    Do(phone_.Write(entry));
  }
  void Enter(int64_t cents, absl::string_view lot = "") {
    v1::Entry entry;
    if (!lot.empty()) entry.mutable_cost_entered()->set_lot_id(IdOf(lot).ToBytes());
    entry.mutable_cost_entered()->set_cents(cents);
    entry.mutable_cost_entered()->set_what("invented");
    Do(phone_.Write(entry));
  }
  int64_t CentsAt(const CostBook& book, absl::string_view name) {
    int64_t cents = 0;
    for (const CostPlace& place : book.places) {
      if (fold_.directory().NameOf(place.place, fold_.sequence()) == name) cents += place.cents;
    }
    return cents;
  }
  CostBook Checked() {
    CostBook book = MakeCostBook(fold_);
    int64_t placed = 0;
    for (const CostPlace& place : book.places) placed += place.cents;
    EXPECT_EQ(placed + book.in_stock_cents + book.spent_cents, book.total_cents());
    return book;
  }
};

// 10 L for 20.00 and 10 L for 40.00; 5 L of each are blended: 10.00 and 20.00 are in the blend.
TEST_F(CostsTest, WineCarriesItsCostThroughABlend) {
  Receive("Riesling", "C1", 10, 2000);
  Receive("Elder", "C2", 10, 4000);
  Do(phone_.Blend({Draw("C1", 5 * kLitre), Draw("C2", 5 * kLitre)}, {FillRest("C3")}));
  const CostBook book = Checked();
  EXPECT_EQ(CentsAt(book, "C1"), 1000);
  EXPECT_EQ(CentsAt(book, "C2"), 2000);
  EXPECT_EQ(CentsAt(book, "C3"), 3000);
}

// What is lost is borne by what is left: 20.00 for 10 L, of which 2 L stay with the lees.
TEST_F(CostsTest, LossesAreBorneByWhatIsLeft) {
  Receive("Riesling", "C1", 10, 2000);
  Do(phone_.Rack({DrawAll("C1")}, {Fill("C2", 8 * kLitre)}, {OutRest(v1::ACCOUNT_LEES)}));
  EXPECT_EQ(CentsAt(Checked(), "C2"), 2000);
  Do(phone_.Withdraw(DrawAll("C2"), v1::ACCOUNT_DUMP));
  const CostBook book = Checked();
  EXPECT_EQ(book.spent_cents, 2000);
}

// 100 g for 5.00: 10 g go into 20 L, which is 0.50; half of that wine is bottled. 100 corks for
// 12.00: 12 of them are 1.44. The bottles: 10.00 + 0.25 + 1.44 = 11.69 for 12 bottles, 0.97 each.
TEST_F(CostsTest, MaterialsByWhatWasUsedOfThem) {
  Receive("Riesling", "C1", 18, 2000);
  Packet("KMS-7", Mass(100 * kGram), 500);
  Packet("Corks 24", Count(100), 1200);
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(10 * kGram))}));
  Do(phone_.Bottle("Spring run", {Draw("C1", 9 * kLitre)}, {Group("Rack A", 12)}, {},
                   {FromLot("Corks 24", Count(12))}));
  const CostBook book = Checked();
  EXPECT_EQ(CentsAt(book, "Spring run"), 1000 + 25 + 144);
  EXPECT_EQ(CentsAt(book, "C1"), 1000 + 25);
  EXPECT_EQ(book.in_stock_cents, 450 + 1056);
  for (const CostPlace& place : book.places) {
    if (!place.glass) continue;
    EXPECT_EQ(place.bottles, 12);
    EXPECT_EQ(place.CentsPerBottle(), 97);
  }
}

// 1.00 of the cellar over 10 L and 20 L: 0.33 and 0.67; 0.50 of one lot is its own.
TEST_F(CostsTest, CostsThatWereEntered) {
  Receive("Riesling", "C1", 10, 0);
  Receive("Elder", "C2", 20, 0);
  Enter(100);
  Enter(50, "Elder");
  const CostBook book = Checked();
  EXPECT_EQ(CentsAt(book, "C1"), 33);
  EXPECT_EQ(CentsAt(book, "C2"), 67 + 50);
}

// 6 L of Elder went into a vessel of Riesling and 4 L into another: Elder's 1.00 is shared by
// where its wine is, 0.60 and 0.40, though no vessel is called by it any more.
TEST_F(CostsTest, ACostOfALotFollowsItsWine) {
  Receive("Riesling", "C1", 10, 0);
  Receive("Elder", "C2", 10, 0);
  Do(phone_.Rack({Draw("C2", 6 * kLitre)}, {FillRest("C1")}));
  Receive("Riesling", "C3", 10, 0);
  Do(phone_.Rack({DrawAll("C2")}, {FillRest("C3")}));
  Enter(100, "Elder");
  const CostBook book = Checked();
  EXPECT_EQ(CentsAt(book, "C1"), 60);
  EXPECT_EQ(CentsAt(book, "C3"), 40);
}

// Bottles that were emptied again carry nothing: 6 of 12 go back.
TEST_F(CostsTest, EmptiedBottlesGiveTheirCostBack) {
  Receive("Riesling", "C1", 9, 1200);
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 12)}));
  Do(phone_.Write(draft::BottlesEmptied(BottlesOf("Spring run", 6), "Rack A", {FillRest("C2")})));
  const CostBook book = Checked();
  EXPECT_EQ(CentsAt(book, "Spring run"), 600);
  EXPECT_EQ(CentsAt(book, "C2"), 600);
}

}  // namespace
}  // namespace rundlet::costs
