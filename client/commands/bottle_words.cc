#include "client/commands/bottle_words.h"

#include <algorithm>
#include <set>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"

namespace rundlet::client {
namespace {

struct Run {
  Uuid bottling;
  int64_t size_ul = 0;  // 0: not said
};

absl::StatusOr<Run> FindRun(const Planner& planner, absl::string_view word) {
  Run run;
  const size_t at = word.rfind('@');
  if (at != absl::string_view::npos) {
    const auto size_ul = ParseVolume(word.substr(at + 1));
    if (!size_ul.ok()) return Usage(absl::StrCat("'", word, "': ", size_ul.status().message()));
    run.size_ul = *size_ul;
    word = word.substr(0, at);
  }
  const auto bottling = planner.Named(v1::Thing::kBottling, word);
  if (!bottling.ok()) return bottling.status();
  run.bottling = *bottling;
  return run;
}

// The sizes into which a run was ever filled.
std::set<int64_t> SizesOf(const Fold& fold, Handle bottling) {
  std::set<int64_t> sizes;
  for (const CommodityInfo& info : fold.commodities().infos()) {
    if (info.kind == CommodityInfo::Kind::kBottles && info.handle == bottling)
      sizes.insert(info.measure);
  }
  return sizes;
}

struct Where {
  Handle bin;
  int64_t size_ul;
  int64_t count;
};

std::vector<Where> PlacesOf(const Fold& fold, Handle bottling) {
  std::vector<Where> places;
  for (const Balance& balance : fold.state().balances()) {
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    if (balance.amount == 0 || balance.place.kind() != Place::Kind::kBin ||
        info.kind != CommodityInfo::Kind::kBottles || info.handle != bottling)
      continue;
    places.push_back(
        {.bin = balance.place.handle(), .size_ul = info.measure, .count = balance.amount});
  }
  return places;
}

absl::Status WhichSize(const std::set<int64_t>& sizes, absl::string_view run) {
  std::vector<std::string> words;
  for (const int64_t size_ul : sizes)
    words.push_back(absl::StrCat("'", run, "@", FormatVolume(size_ul), "'"));
  return absl::FailedPreconditionError(
      absl::StrCat("'", run, "' is in bottles of several sizes: write ", Enumerate(words)));
}

absl::Status WhichBin(const Fold& fold, const std::vector<Where>& places, absl::string_view run) {
  std::vector<std::string> words;
  for (const Where& place : places) {
    words.push_back(
        absl::StrCat(fold.directory().NameOf(place.bin, fold.sequence()), " (", place.count, ")"));
  }
  return absl::FailedPreconditionError(absl::StrCat(
      "bottles of '", run, "' lie in ", Enumerate(words, ", ", " and "), ": name the bin"));
}

}  // namespace

absl::StatusOr<FoundBottles> FindBottles(const Planner& planner, absl::string_view run_word,
                                         absl::string_view bin_word) {
  const auto run = FindRun(planner, run_word);
  if (!run.ok()) return run.status();
  const Fold& fold = planner.fold();
  std::vector<Where> places = PlacesOf(fold, fold.interner().Find(run->bottling));
  std::optional<Uuid> bin;
  if (!bin_word.empty()) {
    const auto found = planner.Named(v1::Thing::kBin, bin_word);
    if (!found.ok()) return found.status();
    bin = *found;
  }
  std::erase_if(places, [&](const Where& place) {
    return (run->size_ul != 0 && place.size_ul != run->size_ul) ||
           (bin.has_value() && fold.interner().id(place.bin) != *bin);
  });
  std::set<int64_t> sizes;
  for (const Where& place : places) sizes.insert(place.size_ul);
  if (sizes.size() > 1) return WhichSize(sizes, run_word);
  if (places.size() > 1) return WhichBin(fold, places, run_word);
  if (places.size() == 1) {
    return FoundBottles{.bottling = run->bottling,
                        .size_ul = places[0].size_ul,
                        .bin = fold.interner().id(places[0].bin),
                        .in_bin = places[0].count};
  }
  // By the book there are none. Where the words leave no doubt, the entry can wait for what
  // explains it.
  if (bin.has_value()) return FindBottlesFor(planner, run_word, bin_word);
  return absl::NotFoundError(
      absl::StrCat("no bin holds bottles of '", run_word, "' by the book: rundlet board"));
}

absl::StatusOr<FoundBottles> FindBottlesFor(const Planner& planner, absl::string_view run_word,
                                            absl::string_view bin_word) {
  auto run = FindRun(planner, run_word);
  if (!run.ok()) return run.status();
  const auto bin = planner.Named(v1::Thing::kBin, bin_word);
  if (!bin.ok()) return bin.status();
  const Fold& fold = planner.fold();
  if (run->size_ul == 0) {
    const std::set<int64_t> sizes = SizesOf(fold, fold.interner().Find(run->bottling));
    if (sizes.empty()) {
      return absl::FailedPreconditionError(absl::StrCat("nothing was bottled as '", run_word,
                                                        "' yet: write its size, as in '", run_word,
                                                        "@750mL'"));
    }
    if (sizes.size() > 1) return WhichSize(sizes, run_word);
    run->size_ul = *sizes.begin();
  }
  return FoundBottles{.bottling = run->bottling,
                      .size_ul = run->size_ul,
                      .bin = *bin,
                      .in_bin = planner.moment().BottlesIn(*bin, run->bottling, run->size_ul)};
}

void BottleChoice::Declare(CLI::App& app, const std::string& count_help) {
  app.add_option("run", run, "the bottling run; RUN@375mL where there are several sizes")
      ->type_name("BOTTLING")
      ->required();
  app.add_option("count", count, count_help)->type_name("COUNT|all")->required();
  app.add_option("--from", from, "the bin, where there are several")->type_name("BIN|OCCASION");
}

absl::StatusOr<BottleChoice::Chosen> BottleChoice::Read(const Planner& planner) const {
  const auto found = FindBottles(planner, run, from);
  if (!found.ok()) return found.status();
  const auto number = ReadBottleCount(count, found->in_bin);
  if (!number.ok()) return number.status();
  return Chosen{.found = *found, .count = *number, .bottles = ToBottles(*found, *number)};
}

absl::StatusOr<FoundBottles> FindOpened(const Planner& planner, absl::string_view run_word) {
  const auto run = FindRun(planner, run_word);
  if (!run.ok()) return run.status();
  const Fold& fold = planner.fold();
  const Handle bottling = fold.interner().Find(run->bottling);
  FoundBottles opened{.bottling = run->bottling};
  std::set<int64_t> sizes;
  for (const Balance& balance : fold.state().balances()) {
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    if (balance.amount == 0 || balance.place != Place::Outside(v1::ACCOUNT_OPENED) ||
        info.handle != bottling || (run->size_ul != 0 && info.measure != run->size_ul))
      continue;
    sizes.insert(info.measure);
    opened.size_ul = info.measure;
    opened.in_bin = balance.amount;
  }
  if (sizes.size() > 1) return WhichSize(sizes, run_word);
  if (!sizes.empty()) return opened;
  return absl::NotFoundError(
      absl::StrCat("no bottle of '", run_word, "' stands opened by the book: rundlet open"));
}

void WarnIfFull(const Planner& planner, const Uuid& bin, int64_t more, Change& change) {
  const v1::Thing* thing = planner.Find(bin);
  const int64_t room = thing == nullptr ? 0 : thing->bin().capacity_bottles();
  if (room == 0) return;
  const Fold& then = planner.moment().fold();
  int64_t there = more;
  for (const Balance& balance : then.state().balances()) {
    if (balance.place == Place::Bin(then.interner().Find(bin))) there += balance.amount;
  }
  if (there <= room) return;
  change.warnings.push_back(absl::StrCat(planner.NameOf(bin), " has room for ", room,
                                         " bottles, and would hold ", there));
}

RunWord SplitRunWord(absl::string_view word, absl::string_view preposition) {
  RunWord split;
  const std::string between = absl::StrCat(" ", preposition, " ");
  if (const size_t at = word.rfind(between); at != absl::string_view::npos) {
    split.bin = std::string(word.substr(at + between.size()));
    word = word.substr(0, at);
  }
  const NameAndValue parts = SplitAtEquals(word);
  split.run = parts.name;
  split.count = parts.value;
  return split;
}

absl::StatusOr<int64_t> ReadBottleCount(absl::string_view word, int64_t in_bin) {
  if (word != "all") return ParseCount(word);
  if (in_bin > 0) return in_bin;
  return absl::FailedPreconditionError(
      "'all' of none: by the book no bottles are there; write how many there are");
}

v1::Bottles ToBottles(const FoundBottles& found, int64_t count) {
  v1::Bottles bottles;
  bottles.set_bottling_id(found.bottling.ToBytes());
  bottles.set_size_ul(found.size_ul);
  bottles.set_count(count);
  return bottles;
}

}  // namespace rundlet::client
