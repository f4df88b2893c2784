// rundlet occasion open, close: a tasting or a market day, with the bottles that are taken along.
#include "core/counts/occasion.h"

#include <map>

#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "client/commands/transfer_words.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr absl::string_view kRest = "rest";

// occasion open "Autumn tasting" --bring "Harrow White 1=6 from Rack A"
class OccasionOpen : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto occasion = FindOrOpen(planner, change);
    if (!occasion.ok()) return occasion.status();
    for (const std::string& word : bring_) {
      const RunWord split = SplitRunWord(word, "from");
      if (split.count.empty())
        return Usage(absl::StrCat("how many of '", split.run, "'? Write '", split.run, "=6'"));
      const auto found = FindBottles(planner, split.run, split.bin);
      if (!found.ok()) return found.status();
      const auto count = ReadBottleCount(split.count, found->in_bin);
      if (!count.ok()) return Usage(absl::StrCat("'", word, "': ", count.status().message()));
      v1::BottlesMoved& moved = *change.Add().mutable_bottles_moved();
      *moved.mutable_bottles() = ToBottles(*found, *count);
      moved.set_from_bin_id(found->bin.ToBytes());
      moved.set_to_bin_id(occasion->ToBytes());
    }
    if (change.entries.empty())
      return Usage("there is such an occasion: what else is brought? --bring RUN=6");
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("name", name_, "what it is called: \"Autumn tasting\"")
        ->type_name("NAME")
        ->required();
    app.add_option("--on", on_, "the day: 2026-11-21; today if left out")->type_name("DAY");
    app.add_option("--place", place_, "where it is");
    AddList(app, "--bring", bring_, "what is taken along: \"RUN=6\", or \"RUN=6 from BIN\"")
        ->type_name("BOTTLING=COUNT");
  }

 private:
  absl::StatusOr<Uuid> FindOrOpen(Planner& planner, Change& change) const {
    v1::Thing* fresh = nullptr;
    const auto id = planner.FindOrMake(v1::Thing::kBin, name_, change, &fresh);
    if (!id.ok()) return id.status();
    if (fresh != nullptr) {
      fresh->mutable_bin()->set_occasion_on(FormatWhenDay(planner.now()));
      if (!place_.empty()) fresh->mutable_bin()->set_location(place_);
      if (on_.empty()) return id;
      const auto day = ReadDay("--on", on_);
      if (!day.ok()) return day.status();
      fresh->mutable_bin()->set_occasion_on(*day);
      return id;
    }
    const Handle bin = planner.fold().interner().Find(*id);
    if (!counts::IsOccasion(planner.fold(), bin))
      return absl::FailedPreconditionError(
          absl::StrCat("'", name_, "' is a bin: give the occasion another name"));
    if (counts::OccasionOf(planner.fold(), bin).closed != kNone)
      return absl::FailedPreconditionError(absl::StrCat(
          "'", name_, "' is closed already: give the occasion another name, such as its year"));
    return id;
  }

  std::string name_, on_, place_;
  std::vector<std::string> bring_;
};

// occasion close "Autumn tasting" --back "Harrow White 1=2 into Rack A" --served "Harrow White
// 1=rest"
class OccasionClose : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto id = planner.Named(v1::Thing::kBin, name_);
    if (!id.ok()) return id.status();
    const Handle bin = planner.fold().interner().Find(*id);
    if (!counts::IsOccasion(planner.fold(), bin))
      return Usage(absl::StrCat("'", name_, "' is a bin, not an occasion"));
    occasion_ = *id;
    if (counts::OccasionOf(planner.fold(), bin).closed != kNone)
      return absl::FailedPreconditionError(
          absl::StrCat("'", name_, "' is closed already; what is open: rundlet differences"));
    // What is said to be the rest can only be told when everything else is.
    for (const bool rest : {false, true}) {
      if (absl::Status status = TakeAll(planner, rest, change); !status.ok()) return status;
    }
    SayWhatIsLeft(planner, bin, change);
    change.Add().mutable_occasion_closed()->set_bin_id(occasion_.ToBytes());
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("name", name_, "the occasion")->type_name("OCCASION")->required();
    AddList(app, "--back", back_, "what came back: \"RUN=2 into BIN\"")
        ->type_name("BOTTLING=COUNT");
    for (const auto& [option, account, words] : Reasons())
      AddList(app, absl::StrCat("--", option), *words,
              absl::StrCat(account == v1::ACCOUNT_SERVED ? "what was poured: RUN=3, or RUN=rest"
                                                         : "the same for this reason"))
          ->type_name("BOTTLING=COUNT");
  }

 private:
  struct Reason {
    absl::string_view option;
    v1::Account account;
    std::vector<std::string>* words;
  };
  std::vector<Reason> Reasons() {
    return {
        {"served", v1::ACCOUNT_SERVED, &served_},     {"sold", v1::ACCOUNT_SOLD, &sold_},
        {"gift", v1::ACCOUNT_GIFT, &gift_},           {"donated", v1::ACCOUNT_DONATED, &donated_},
        {"breakage", v1::ACCOUNT_BREAKAGE, &broken_}, {"sample", v1::ACCOUNT_SAMPLE, &sample_},
        {"opened", v1::ACCOUNT_OPENED, &opened_}};
  }

  // Everything that was said with a number, or as the rest.
  absl::Status TakeAll(const Planner& planner, bool rest, Change& change) {
    for (const std::string& word : back_) {
      if ((SplitRunWord(word, "into").count == kRest) != rest) continue;
      if (absl::Status status = BringBack(planner, word, change); !status.ok()) return status;
    }
    for (const auto& [option, account, words] : Reasons()) {
      for (const std::string& word : *words) {
        if ((SplitRunWord(word, "to").count == kRest) != rest) continue;
        if (absl::Status status = TakeOut(planner, word, account, change); !status.ok())
          return status;
      }
    }
    return absl::OkStatus();
  }

  // Takes a number of bottles off what the occasion still has; "rest" is all of it.
  absl::StatusOr<v1::Bottles> Claim(const Planner& planner, const RunWord& split,
                                    const std::string& word) {
    const auto found = FindBottles(planner, split.run, name_);
    if (!found.ok()) return found.status();
    const auto key = std::make_pair(found->bottling, found->size_ul);
    const auto pile = left_.try_emplace(key, found->in_bin).first;
    int64_t count = pile->second;
    if (split.count != kRest) {
      const auto number = ReadBottleCount(split.count, pile->second);
      if (!number.ok()) return Usage(absl::StrCat("'", word, "': ", number.status().message()));
      count = *number;
    }
    if (count > pile->second)
      return Usage(absl::StrCat("'", word, "': ", name_, " has no more than ", pile->second,
                                " of it left: more than was brought cannot be gone"));
    pile->second -= count;
    return ToBottles(*found, count);
  }

  absl::Status TakeOut(const Planner& planner, const std::string& word, v1::Account account,
                       Change& change) {
    const RunWord split = SplitRunWord(word, "to");
    const auto bottles = Claim(planner, split, word);
    if (!bottles.ok()) return bottles.status();
    if (bottles->count() == 0) return absl::OkStatus();
    v1::BottlesTaken& taken = *change.Add().mutable_bottles_taken();
    *taken.mutable_bottles() = *bottles;
    taken.set_from_bin_id(occasion_.ToBytes());
    taken.set_account(account);
    taken.set_person(split.bin);
    taken.set_occasion(name_);
    return absl::OkStatus();
  }

  absl::Status BringBack(const Planner& planner, const std::string& word, Change& change) {
    const RunWord split = SplitRunWord(word, "into");
    if (split.bin.empty())
      return Usage(absl::StrCat("'", word, "': back into which bin? Write '", word, " into BIN'"));
    const auto bin = planner.Named(v1::Thing::kBin, split.bin);
    if (!bin.ok()) return bin.status();
    const auto bottles = Claim(planner, split, word);
    if (!bottles.ok()) return bottles.status();
    if (bottles->count() == 0) return absl::OkStatus();
    WarnIfFull(planner, *bin, bottles->count(), change);
    v1::BottlesMoved& moved = *change.Add().mutable_bottles_moved();
    *moved.mutable_bottles() = *bottles;
    moved.set_from_bin_id(occasion_.ToBytes());
    moved.set_to_bin_id(bin->ToBytes());
    return absl::OkStatus();
  }

  void SayWhatIsLeft(const Planner& planner, Handle bin, Change& change) const {
    for (const counts::OccasionLine& line : counts::OccasionOf(planner.fold(), bin).lines) {
      const CommodityInfo& info = planner.fold().commodities().info(line.commodity);
      const Uuid run = planner.fold().interner().id(info.handle);
      const auto pile = left_.find({run, info.measure});
      const int64_t left = pile == left_.end() ? line.left : pile->second;
      if (left == 0) continue;
      change.warnings.push_back(
          absl::StrCat(left, " of ", planner.NameOf(run),
                       " are neither back nor gone: they stay open as a difference until somebody "
                       "says where they went, or they are accepted: rundlet differences"));
    }
  }

  std::string name_;
  Uuid occasion_;
  std::vector<std::string> back_, served_, sold_, gift_, donated_, broken_, sample_, opened_;
  std::map<std::pair<Uuid, int64_t>, int64_t> left_;
};

}  // namespace

std::unique_ptr<Command> MakeOccasionOpen() { return std::make_unique<OccasionOpen>(); }
std::unique_ptr<Command> MakeOccasionClose() { return std::make_unique<OccasionClose>(); }

}  // namespace rundlet::client
