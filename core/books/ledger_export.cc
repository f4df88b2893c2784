#include "core/books/ledger_export.h"

#include <algorithm>
#include <tuple>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "absl/time/civil_time.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"

namespace rundlet {
namespace {

constexpr int64_t kMinuteUs = 60'000'000;

// Whether a name can stand in an account and a commodity as it is. Two spaces end an account name,
// a colon parts it, quotes end a commodity; what else has a meaning somewhere is not worth a list.
bool IsPlain(absl::string_view name) {
  if (name.empty() || name.front() == ' ' || name.back() == ' ') return false;
  char before = 0;
  for (const char c : name) {
    const bool beyond_ascii = static_cast<unsigned char>(c) >= 0x80;
    if (!beyond_ascii && !absl::ascii_isalnum(c) &&
        !absl::StrContains(" -_.+", absl::string_view(&c, 1))) {
      return false;
    }
    if (c == ' ' && before == ' ') return false;
    before = c;
  }
  return !Uuid::Parse(name).ok();  // nor may it pass for an id
}

// How things, places and commodities are called in the text.
class Labels {
 public:
  explicit Labels(const Fold& fold) : fold_(fold) {
    for (const auto kind : {v1::Thing::kVessel, v1::Thing::kBin, v1::Thing::kMaterial,
                            v1::Thing::kMaterialLot, v1::Thing::kBottling}) {
      NameThings(kind);
    }
  }

  std::string Account(Place place) const {
    switch (place.kind()) {
      case Place::Kind::kVessel:
        return absl::StrCat("vessel:", Thing(place.handle()));
      case Place::Kind::kBin:
        return absl::StrCat("bin:", Thing(place.handle()));
      case Place::Kind::kStock:
        return "stock";
      case Place::Kind::kOutside:
        break;
    }
    const std::string& name = v1::Account_Name(place.account());
    return absl::StrCat("outside:", absl::AsciiStrToLower(absl::StripPrefix(name, "ACCOUNT_")));
  }

  std::string CommodityName(Commodity commodity) const {
    const CommodityInfo& info = fold_.commodities().info(commodity);
    switch (info.kind) {
      case CommodityInfo::Kind::kWine:
        return "wine in uL";
      case CommodityInfo::Kind::kBottles:
        return absl::StrCat("bottles ", Thing(info.handle), " of ", info.measure, " uL");
      case CommodityInfo::Kind::kMaterial:
        break;
    }
    const bool delivery = fold_.directory().kind(info.handle) == v1::Thing::kMaterialLot;
    const char* const unit = info.measure == v1::DIMENSION_MASS     ? "ug"
                             : info.measure == v1::DIMENSION_VOLUME ? "uL"
                                                                    : "pieces";
    return absl::StrCat(delivery ? "material lot " : "material ", Thing(info.handle), " in ", unit);
  }

 private:
  std::string Thing(Handle handle) const {
    const auto it = names_.find(handle);
    return it != names_.end() ? it->second : fold_.interner().id(handle).ToString();
  }

  void NameThings(v1::Thing::KindCase kind) {
    absl::flat_hash_map<std::string, Handle> taken;  // kNoHandle: by several
    fold_.directory().ForEach(kind, [&](Handle handle, const Directory::Known&) {
      const auto [it, fresh] =
          taken.try_emplace(fold_.directory().NameOf(handle, fold_.sequence()), handle);
      if (!fresh) it->second = kNoHandle;
    });
    for (auto& [name, handle] : taken) {
      if (handle != kNoHandle && IsPlain(name)) names_.emplace(handle, name);
    }
  }

  const Fold& fold_;
  absl::flat_hash_map<Handle, std::string> names_;
};

absl::string_view KindOf(const Row& row) {
  const auto* kind = v1::Entry::descriptor()->FindFieldByNumber(row.body);
  return kind == nullptr ? absl::string_view("unknown") : absl::string_view(kind->name());
}

std::string Heading(const Row& row) {
  const absl::Time wall_clock =
      absl::FromUnixMicros(row.effective_at_us + row.utc_offset_min * kMinuteUs);
  return absl::StrCat(absl::FormatCivilTime(absl::ToCivilDay(wall_clock, absl::UTCTimeZone())),
                      " (", row.id.ToString(), ") ", KindOf(row), "\n");
}

}  // namespace

void WriteLedger(const Fold& fold, absl::FunctionRef<void(absl::string_view)> write) {
  const Labels labels(fold);
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const absl::Span<const Movement> movements = fold.MovementsAt(position);
    if (movements.empty()) continue;
    std::string text = Heading(fold.sequence().row(fold.sequence().at(position)));
    for (const Movement& m : movements) {
      const std::string commodity = labels.CommodityName(m.commodity);
      absl::StrAppend(&text, "    ", labels.Account(m.to), "  ", m.amount, " \"", commodity,
                      "\"\n");
      absl::StrAppend(&text, "    ", labels.Account(m.from), "  -", m.amount, " \"", commodity,
                      "\"\n");
    }
    text += '\n';
    write(text);
  }
}

void ForEachLedgerMovement(const Fold& fold,
                           absl::FunctionRef<void(const LedgerMovement& movement)> visit) {
  const Labels labels(fold);
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const Row& row = fold.sequence().row(fold.sequence().at(position));
    for (const Movement& m : fold.MovementsAt(position)) {
      visit({.entry = row,
             .kind = KindOf(row),
             .from = labels.Account(m.from),
             .to = labels.Account(m.to),
             .commodity = labels.CommodityName(m.commodity),
             .amount = m.amount});
    }
  }
}

std::vector<LedgerBalance> LedgerBalances(const Fold& fold) {
  const Labels labels(fold);
  const State& state = fold.state();
  std::vector<LedgerBalance> balances;
  for (Handle vessel = 0; vessel < state.holdings(); ++vessel) {
    const int64_t volume_ul = state.holding(vessel).volume_ul;
    if (volume_ul == 0) continue;
    balances.push_back(
        {labels.Account(Place::Vessel(vessel)), labels.CommodityName(kWine), volume_ul});
  }
  for (const Balance& balance : state.balances()) {
    // What stands opened is no place: it is among the accounts of the world outside.
    if (balance.amount == 0 || balance.place.kind() == Place::Kind::kOutside) continue;
    balances.push_back(
        {labels.Account(balance.place), labels.CommodityName(balance.commodity), balance.amount});
  }
  std::sort(balances.begin(), balances.end(), [](const LedgerBalance& a, const LedgerBalance& b) {
    return std::tie(a.account, a.commodity) < std::tie(b.account, b.commodity);
  });
  return balances;
}

}  // namespace rundlet
