// rundlet bottle: wine into bottles.
#include "absl/algorithm/container.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/cli/near.h"
#include "client/commands/addition_words.h"
#include "client/commands/bottle_cautions.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/plan_words.h"
#include "client/commands/transfer_words.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// bottle C2 --size 750mL --count 24 --bin "Rack A" --run NAME --lot-code L2601
class Bottle : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("from", from_, "the vessels that are bottled; C2=18L when the rest stays in")
        ->type_name("VESSEL[=VOLUME]")
        ->required();
    AddList(app, "--size", sizes_,
            "what one bottle holds: 750mL; with --count and --bin again for each size")
        ->type_name("VOLUME");
    AddList(app, "--count", counts_, "how many bottles")->type_name("COUNT")->required();
    AddList(app, "--bin", bins_, "the bin where they lie; once for all, or for each size")
        ->type_name("BIN")
        ->required();
    AddList(app, "--fill", fills_, "what one bottle holds as measured, where that is not its size")
        ->type_name("VOLUME");
    app.add_option("--low", low_, "bottles beside those counted that were not filled up, set aside")
        ->type_name("COUNT");
    app.add_option("--low-fill", low_fill_, "what one of them holds: 600mL")->type_name("VOLUME");
    app.add_option("--low-bin", low_bin_, "where they lie; with the others if left out")
        ->type_name("BIN");
    app.add_option("--run", run_, "the name of the bottling run; that of the lot if left out")
        ->type_name("BOTTLING");
    app.add_option("--lot-code", lot_code_, "the lot code as printed on the label: L2601");
    AddList(app, "--use", uses_, "closures, bottles, capsules from stock: corks=24")
        ->type_name("MATERIAL=COUNT");
    AddList(app, "--packet", packets_, "the packet of what is used")->type_name("PACKET");
    outflows_.Declare(app);
  }

 private:
  absl::StatusOr<Uuid> MainLot(const Planner& planner, const v1::Bottled& bottled) const;
  absl::Status NameTheRun(Planner& planner, v1::Bottled& bottled, Change& change) const;
  absl::Status FillGroups(const Planner& planner, v1::Bottled& bottled) const;
  absl::Status FillPackaging(const Planner& planner, v1::Bottled& bottled, Change& change) const;
  absl::Status FillLow(const Planner& planner, v1::Bottled& bottled) const;
  absl::Status CheckRest(const Planner& planner, const v1::Bottled& bottled) const;
  static void SayYield(const Planner& planner, const v1::Bottled& bottled, Change& change);

  std::vector<std::string> from_, sizes_, counts_, bins_, fills_, uses_, packets_;
  std::string run_, lot_code_, low_, low_fill_, low_bin_;
  OutflowWords outflows_;
};

absl::StatusOr<int64_t> ReadVolume(absl::string_view option, const std::string& word) {
  const auto volume_ul = ParseVolume(word);
  if (!volume_ul.ok()) return Usage(absl::StrCat(option, ": ", volume_ul.status().message()));
  return volume_ul;
}

absl::Status Bottle::FillGroups(const Planner& planner, v1::Bottled& bottled) const {
  if (sizes_.size() != counts_.size())
    return Usage("as many --size as --count: --size 750mL --count 24");
  if (bins_.size() != 1 && bins_.size() != counts_.size())
    return Usage("one --bin for all, or one for each --size");
  if (fills_.size() > 1 && fills_.size() != counts_.size())
    return Usage("one --fill for all, or one for each --size");
  for (size_t i = 0; i < counts_.size(); ++i) {
    v1::BottleGroup& group = *bottled.add_groups();
    const auto size_ul = ReadVolume("--size", sizes_[i]);
    if (!size_ul.ok()) return size_ul.status();
    const auto count = ParseCount(counts_[i]);
    if (!count.ok()) return Usage(absl::StrCat("--count: ", count.status().message()));
    const std::string& bin_name = bins_[bins_.size() == 1 ? 0 : i];
    const auto bin = planner.Named(v1::Thing::kBin, bin_name);
    if (!bin.ok()) {
      return absl::Status(bin.status().code(),
                          Sentences(bin.status().message(),
                                    absl::StrCat("A new one: rundlet bin new '", bin_name, "'")));
    }
    group.set_size_ul(*size_ul);
    group.set_count(*count);
    group.set_bin_id(bin->ToBytes());
    if (fills_.empty()) continue;
    const auto fill_ul = ReadVolume("--fill", fills_[fills_.size() == 1 ? 0 : i]);
    if (!fill_ul.ok()) return fill_ul.status();
    group.set_fill_ul(*fill_ul);
  }
  return absl::OkStatus();
}

// Low fills are of the first size: a bottle is a bottle, and only its content differs.
absl::Status Bottle::FillLow(const Planner& planner, v1::Bottled& bottled) const {
  if (low_.empty())
    return low_fill_.empty() && low_bin_.empty() ? absl::OkStatus()
                                                 : Usage("how many of them? Write --low 2");
  const auto count = ParseCount(low_);
  if (!count.ok()) return Usage(absl::StrCat("--low: ", count.status().message()));
  if (low_fill_.empty()) return Usage("what does one of them hold? Write --low-fill 600mL");
  const auto fill_ul = ReadVolume("--low-fill", low_fill_);
  if (!fill_ul.ok()) return fill_ul.status();
  v1::BottleGroup low = bottled.groups(0);
  if (*fill_ul >= low.size_ul())
    return Usage(
        absl::StrCat("--low-fill: that is full for a bottle of ", FormatVolume(low.size_ul())));
  low.set_count(*count);
  low.set_fill_ul(*fill_ul);
  low.set_set_aside(true);
  if (!low_bin_.empty()) {
    const auto bin = planner.Named(v1::Thing::kBin, low_bin_);
    if (!bin.ok()) return bin.status();
    low.set_bin_id(bin->ToBytes());
  }
  *bottled.add_groups() = low;
  return absl::OkStatus();
}

// How many bottles the wine would have filled, where it was drawn to the end into one size.
void Bottle::SayYield(const Planner& planner, const v1::Bottled& bottled, Change& change) {
  int64_t drawn_ul = 0, bottles = 0;
  const int64_t size_ul = bottled.groups(0).size_ul();
  for (const v1::Draw& draw : bottled.draws()) {
    drawn_ul += draw.all() ? planner.moment().VolumeOf(*Uuid::FromBytes(draw.vessel_id()))
                           : draw.volume_ul();
  }
  for (const v1::BottleGroup& group : bottled.groups()) {
    if (group.size_ul() != size_ul) return;
    bottles += group.count();
    WarnIfFull(planner, *Uuid::FromBytes(group.bin_id()), group.count(), change);
  }
  const int64_t expected = drawn_ul / size_ul;
  if (bottles < expected)
    change.warnings.push_back(absl::StrCat(FormatVolume(drawn_ul), " would fill ", expected,
                                           " bottles of ", FormatVolume(size_ul),
                                           ", and these are ", bottles));
}

absl::StatusOr<Uuid> Bottle::MainLot(const Planner& planner, const v1::Bottled& bottled) const {
  const Fold& then = planner.moment().fold();
  const Handle vessel = then.interner().Find(*Uuid::FromBytes(bottled.draws(0).vessel_id()));
  return then.interner().id(then.state().holding(vessel).lot);
}

absl::Status Bottle::NameTheRun(Planner& planner, v1::Bottled& bottled, Change& change) const {
  const auto lot = MainLot(planner, bottled);
  if (!lot.ok()) return lot.status();
  std::string name = run_;
  if (name.empty()) {
    if (lot->is_nil()) return Usage("what is the run called? --run NAME");
    name = planner.NameOf(*lot);
    if (FindByName(planner.fold(), v1::Thing::kBottling, name).ok()) {
      return Usage(absl::StrCat("there is a run '", name,
                                "' already: to add to it, or to make another: --run NAME"));
    }
  }
  v1::Thing* fresh = nullptr;
  const auto bottling = planner.FindOrMake(v1::Thing::kBottling, name, change, &fresh);
  if (!bottling.ok()) return bottling.status();
  bottled.set_bottling_id(bottling->ToBytes());
  if (fresh == nullptr) {
    const std::string& code = planner.Find(*bottling)->bottling().lot_code();
    if (!lot_code_.empty() && lot_code_ != code)
      return Usage(absl::StrCat("the run '", name, "' is there already, with ",
                                code.empty() ? "no lot code" : absl::StrCat("the lot code ", code),
                                ": leave --lot-code out, or first rundlet bottling change ",
                                ShellWord(name), " --lot-code ", ShellWord(lot_code_)));
    return absl::OkStatus();
  }
  if (!lot->is_nil()) fresh->mutable_bottling()->set_lot_id(lot->ToBytes());
  if (!lot_code_.empty()) fresh->mutable_bottling()->set_lot_code(lot_code_);
  return absl::OkStatus();
}

absl::Status Bottle::FillPackaging(const Planner& planner, v1::Bottled& bottled,
                                   Change& change) const {
  std::vector<std::string> materials;
  for (const std::string& word : uses_) materials.push_back(SplitAtEquals(word).name);
  if (absl::Status status = CheckPackets(planner, materials, packets_); !status.ok()) return status;
  for (const std::string& word : uses_) {
    const NameAndValue split = SplitAtEquals(word);
    if (!split.has_value)
      return Usage(absl::StrCat("--use ", word, ": write how many, as in --use ", word, "=24"));
    auto line =
        ReadAddition(planner, {.material = split.name, .amount = split.value}, packets_, 0, change);
    if (!line.ok()) return line.status();
    line->clear_volume_effect_ul();
    bottled.add_packaging()->Swap(&*line);
  }
  return absl::OkStatus();
}

absl::Status Bottle::CheckRest(const Planner& planner, const v1::Bottled& bottled) const {
  if (outflows_.TakesRest()) return absl::OkStatus();
  int64_t drawn_ul = 0;
  for (const v1::Draw& draw : bottled.draws()) {
    drawn_ul += draw.all() ? planner.moment().VolumeOf(*Uuid::FromBytes(draw.vessel_id()))
                           : draw.volume_ul();
  }
  __int128 said_ul = 0;  // counts are checked later only
  for (const v1::BottleGroup& group : bottled.groups()) {
    said_ul += static_cast<__int128>(group.count()) *
               (group.fill_ul() > 0 ? group.fill_ul() : group.size_ul());
  }
  for (const v1::Outflow& outflow : bottled.outflows()) said_ul += outflow.volume_ul();
  // A glass or two is lost at every bottling.
  if (drawn_ul - said_ul <= planner.moment().fold().state().tolerance().For(drawn_ul))
    return absl::OkStatus();
  const auto taken_ul = static_cast<int64_t>(said_ul);
  const std::string stays =
      bottled.draws_size() > 1
          ? absl::StrCat("say of each vessel how much was drawn, as in ",
                         SplitAtEquals(from_[0]).name, "=5L")
          : absl::StrCat("write ", SplitAtEquals(from_[0]).name, "=",
                         absl::StrReplaceAll(FormatVolumeExact(taken_ul), {{" ", ""}}));
  return Usage(absl::StrCat("what becomes of the ", FormatVolume(drawn_ul - taken_ul),
                            " that the bottles do not hold? Where it stays in the vessel, ", stays,
                            "; where it is gone, --loss rest or --lees rest"));
}

absl::Status Bottle::Make(Planner& planner, Change& change) {
  v1::Bottled bottled;
  for (const std::string& word : from_) {
    const auto amount = planner.ReadVesselAmount(word);
    if (!amount.ok()) return amount.status();
    for (const v1::Draw& other : bottled.draws()) {
      if (other.vessel_id() == amount->vessel.ToBytes())
        return Usage(absl::StrCat(amount->name, " is named twice: name each vessel once"));
    }
    v1::Draw& draw = *bottled.add_draws();
    draw.set_vessel_id(amount->vessel.ToBytes());
    if (amount->whole) {
      draw.set_all(true);
    } else {
      draw.set_volume_ul(amount->volume_ul);
    }
  }
  if (absl::Status status = FillGroups(planner, bottled); !status.ok()) return status;
  if (absl::Status status = FillLow(planner, bottled); !status.ok()) return status;
  if (absl::Status status = outflows_.Fill(*bottled.mutable_outflows()); !status.ok())
    return status;
  if (absl::Status status = CheckRest(planner, bottled); !status.ok()) return status;
  // Of a measured draw there should be no rest; if there is, the book counts it as lost unsaid.
  const bool emptied = absl::c_any_of(bottled.draws(), [](const v1::Draw& d) { return d.all(); });
  if (emptied && !outflows_.TakesRest()) {
    v1::Outflow& loss = *bottled.add_outflows();
    loss.set_account(v1::ACCOUNT_LOSS);
    loss.set_rest(true);
  }
  if (absl::Status status = FillPackaging(planner, bottled, change); !status.ok()) return status;
  if (absl::Status status = NameTheRun(planner, bottled, change); !status.ok()) return status;
  for (const v1::Draw& draw : bottled.draws()) {
    change.cautions.push_back(BottlingCaution(planner.moment().fold(),
                                              *Uuid::FromBytes(draw.vessel_id()), planner.now()));
  }
  SayYield(planner, bottled, change);
  change.Add().mutable_bottled()->Swap(&bottled);
  return absl::OkStatus();
}

}  // namespace

std::unique_ptr<Command> MakeBottle() { return std::make_unique<Bottle>(); }

}  // namespace rundlet::client
