// rundlet count: a stocktake of a bin, a vessel or a packet.
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
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
    const auto thing = FindCounted(planner);
    if (!thing.ok()) return thing.status();
    const Uuid id = planner.fold().interner().id(*thing);
    switch (planner.fold().directory().kind(*thing)) {
      case v1::Thing::kBin:
        return CountBin(planner, id, change);
      case v1::Thing::kVessel:
        return CountVessel(planner, id, change);
      default:
        return CountPacket(planner, id, *thing, change);
    }
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "the bin, the vessel or the packet")
        ->type_name("BIN|VESSEL|PACKET")
        ->required();
    app.add_option("counted", counted_,
                   "in a bin: RUN=23, for each run; of a vessel: 18.2L; of a packet: 83g, or 0")
        ->type_name("BOTTLING=COUNT|AMOUNT")
        ->required();
    app.add_flag("--blind", blind_, "say nothing of what the book has");
    app.add_flag("--adopt", adopt_,
                 "the book follows the count; otherwise the difference is only shown");
  }

 private:
  absl::StatusOr<Handle> FindCounted(const Planner& planner) const;
  absl::Status CountBin(Planner& planner, const Uuid& bin, Change& change) const;
  absl::Status CountVessel(Planner& planner, const Uuid& vessel, Change& change) const;
  absl::Status CountPacket(Planner& planner, const Uuid& packet, Handle handle,
                           Change& change) const;
  void SayDifference(const std::string& what, const std::string& counted, const std::string& book,
                     bool same, Change& change) const;

  std::string thing_;
  std::vector<std::string> counted_;
  bool adopt_ = false;
  bool blind_ = false;
};

absl::StatusOr<Handle> Count::FindCounted(const Planner& planner) const {
  static constexpr v1::Thing::KindCase kKinds[] = {v1::Thing::kBin, v1::Thing::kVessel,
                                                   v1::Thing::kMaterialLot};
  for (const auto kind : kKinds) {
    absl::string_view name = thing_;
    if (absl::ConsumePrefix(&name, absl::StrCat(KindWord(kind), ":")))
      return FindByName(planner.fold(), kind, name);
  }
  return FindByName(planner.fold(), kKinds, thing_);
}

absl::Status Count::CountVessel(Planner& planner, const Uuid& vessel, Change& change) const {
  if (counted_.size() != 1) return Usage("one volume for one vessel: rundlet count C1 18.2L");
  v1::Gauging gauging;
  gauging.set_vessel_id(vessel.ToBytes());
  gauging.set_noted(!adopt_);
  if (!IsZero(counted_[0])) {
    const auto volume_ul = ParseVolume(counted_[0]);
    if (!volume_ul.ok()) return volume_ul.status();
    gauging.set_volume_ul(*volume_ul);
  }
  const int64_t book_ul = planner.moment().VolumeOf(vessel);
  SayDifference(thing_, FormatVolume(gauging.volume_ul()), FormatVolume(book_ul),
                gauging.volume_ul() == book_ul, change);
  change.Add().mutable_gauging()->Swap(&gauging);
  return absl::OkStatus();
}

void Count::SayDifference(const std::string& what, const std::string& counted,
                          const std::string& book, bool same, Change& change) const {
  if (same || blind_) return;
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
