// rundlet count: a stocktake of a bin or a packet.
#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "core/quantity/amount.h"
#include "core/view/board.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

bool IsZero(absl::string_view word) {
  return word.find_first_not_of("0.,") == absl::string_view::npos && !word.empty();
}

// count "Rack A" "Orchard White 26=23" --adopt;  count KMS-1 83g
class Count : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    static constexpr v1::Thing::KindCase kKinds[] = {v1::Thing::kBin, v1::Thing::kMaterialLot};
    const auto thing = FindByName(planner.fold(), kKinds, thing_);
    if (!thing.ok()) return thing.status();
    const Uuid id = planner.fold().interner().id(*thing);
    return planner.fold().directory().kind(*thing) == v1::Thing::kBin
               ? CountBin(planner, id, change)
               : CountPacket(planner, id, *thing, change);
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "the bin or the packet")->required();
    app.add_option("counted", counted_, "in a bin: RUN=23, for each run; of a packet: 83g, or 0")
        ->required();
    app.add_flag("--adopt", adopt_,
                 "the book follows the count; otherwise the difference is only shown");
  }

 private:
  absl::Status CountBin(Planner& planner, const Uuid& bin, Change& change) const;
  absl::Status CountPacket(Planner& planner, const Uuid& packet, Handle handle,
                           Change& change) const;
  void SayDifference(const std::string& what, const std::string& counted, const std::string& book,
                     bool same, Change& change) const;

  std::string thing_;
  std::vector<std::string> counted_;
  bool adopt_ = false;
};

void Count::SayDifference(const std::string& what, const std::string& counted,
                          const std::string& book, bool same, Change& change) const {
  if (same) return;
  change.warnings.push_back(
      absl::StrCat(what, ": counted ", counted, ", the book has ", book,
                   adopt_ ? "" : "; the book stays as it is, to let it follow the count: --adopt"));
}

absl::Status Count::CountBin(Planner& planner, const Uuid& bin, Change& change) const {
  v1::BinCounted count;
  count.set_bin_id(bin.ToBytes());
  count.set_adopted(adopt_);
  for (const std::string& word : counted_) {
    const NameAndValue split = SplitAtEquals(word);
    if (!split.has_value)
      return Usage(absl::StrCat("how many of '", word, "'? Write '", word, "=23'"));
    auto found = FindBottles(planner, split.name, thing_);
    if (!found.ok()) return found.status();
    int64_t counted = 0;
    if (!IsZero(split.value)) {
      const auto number = ParseCount(split.value);
      if (!number.ok()) return Usage(absl::StrCat("'", word, "': ", number.status().message()));
      counted = *number;
    }
    *count.add_bottles() = ToBottles(*found, counted);
    SayDifference(split.name, absl::StrCat(counted), absl::StrCat(found->in_bin),
                  counted == found->in_bin, change);
  }
  change.Add().mutable_bin_counted()->Swap(&count);
  return absl::OkStatus();
}

absl::Status Count::CountPacket(Planner& planner, const Uuid& packet, Handle handle,
                                Change& change) const {
  if (counted_.size() != 1) return Usage("one amount for one packet: rundlet count KMS-1 83g");
  const v1::StockLine book = MakeStockLine(planner.fold(), handle);
  v1::MaterialCounted count;
  count.set_material_lot_id(packet.ToBytes());
  count.set_adopted(adopt_);
  if (IsZero(counted_[0])) {
    if (book.amount().base() == 0)
      return Usage(absl::StrCat("the book has none of ", thing_, " either: nothing to count"));
    count.mutable_amount()->set_dimension(book.amount().dimension());
  } else {
    const auto amount = ParseAmount(counted_[0]);
    if (!amount.ok()) return amount.status();
    *count.mutable_amount() = ToWire(*amount);
  }
  if (book.amount().base() > 0 && book.amount().dimension() != count.amount().dimension()) {
    return Usage(absl::StrCat(thing_, " is in the book as ",
                              FormatAmountOf(book.amount().dimension(), book.amount().base()),
                              ": count it in the same way"));
  }
  const auto say = [&](int64_t base) {
    return base == 0 ? "none" : FormatAmountOf(count.amount().dimension(), base);
  };
  SayDifference(thing_, say(count.amount().base()), say(book.amount().base()),
                count.amount().base() == book.amount().base(), change);
  change.Add().mutable_material_counted()->Swap(&count);
  return absl::OkStatus();
}

}  // namespace

std::unique_ptr<Command> MakeCount() { return std::make_unique<Count>(); }

}  // namespace rundlet::client
