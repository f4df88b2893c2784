#include "client/commands/addition_words.h"

#include <algorithm>
#include <optional>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/commands/known_materials.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/number.h"
#include "core/quantity/rate.h"
#include "core/quantity/rounding.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

constexpr int64_t kExampleBase = 2'000'000;  // 2 g, 2 L
constexpr int64_t kExampleCount = 2;

// The material, and the packet that it is taken from, if any.
struct Choice {
  Uuid material;
  std::optional<Uuid> packet;
};

struct Packet {
  Uuid id;
  std::string name;
  std::string expires_on;
  bool in_stock = false;
};

std::vector<Packet> PacketsOf(const Planner& planner, const Uuid& material) {
  const Fold& fold = planner.fold();
  std::vector<Packet> packets;
  for (const Handle handle : ThingsByName(fold, v1::Thing::kMaterialLot)) {
    const v1::MaterialLot& lot = fold.directory().Find(handle)->thing.material_lot();
    if (lot.material_id() != material.bytes()) continue;
    Packet packet{
        .id = fold.interner().id(handle), .name = lot.name(), .expires_on = lot.expires_on()};
    for (const Balance& balance : fold.state().balances()) {
      packet.in_stock =
          packet.in_stock || (balance.place == Place::Stock() && balance.amount > 0 &&
                              fold.commodities().info(balance.commodity).handle == handle);
    }
    packets.push_back(std::move(packet));
  }
  // Ids are by time of making: the oldest first.
  std::sort(packets.begin(), packets.end(),
            [](const Packet& a, const Packet& b) { return a.id < b.id; });
  return packets;
}

absl::StatusOr<Uuid> MaterialOfPacket(const Planner& planner, const Uuid& packet) {
  const v1::Thing* thing = planner.Find(packet);
  const auto material = Uuid::FromBytes(thing->material_lot().material_id());
  if (material.ok()) return material;
  return absl::FailedPreconditionError(
      absl::StrCat("the packet '", planner.NameOf(packet), "' does not say of what it is"));
}

void WarnOfExpiry(const Planner& planner, const std::string& name, const std::string& expires_on,
                  Change& change) {
  if (!expires_on.empty() && expires_on < FormatWhenDay(planner.now())) {
    change.warnings.push_back(absl::StrCat("packet ", name, " expired on ", expires_on));
  }
}

absl::StatusOr<std::optional<Uuid>> ChoosePacket(const Planner& planner, const Uuid& material,
                                                 Change& change) {
  const std::vector<Packet> packets = PacketsOf(planner, material);
  if (packets.empty()) return std::optional<Uuid>();
  const std::string today = FormatWhenDay(planner.now());
  const std::string name = planner.NameOf(material);
  const Packet* expired = nullptr;
  for (const Packet& packet : packets) {
    if (!packet.in_stock) continue;
    if (packet.expires_on.empty() || packet.expires_on >= today)
      return std::make_optional(packet.id);
    expired = &packet;
  }
  if (expired != nullptr) {
    return absl::FailedPreconditionError(
        absl::StrCat("every packet of ", name, " in stock has expired, ", expired->name, " on ",
                     expired->expires_on, "; to use it all the same: --packet ", expired->name));
  }
  // Stock that is used up by the book may still be on the shelf.
  if (packets.size() == 1) {
    WarnOfExpiry(planner, packets[0].name, packets[0].expires_on, change);
    return std::make_optional(packets[0].id);
  }
  return absl::FailedPreconditionError(absl::StrCat(
      "no packet of ", name,
      " is in stock by the book. A new one: rundlet packet "
      "new '",
      name, "' --name NAME --amount 100g; or name one: --packet ", packets.back().name));
}

absl::StatusOr<Choice> Choose(const Planner& planner, const std::string& word,
                              const std::vector<std::string>& named, Change& change) {
  const auto material = planner.Named(v1::Thing::kMaterial, word);
  if (!material.ok()) {
    const auto packet = planner.Named(v1::Thing::kMaterialLot, word);
    if (packet.ok()) {
      const auto of = MaterialOfPacket(planner, *packet);
      if (!of.ok()) return of.status();
      WarnOfExpiry(planner, word, planner.Find(*packet)->material_lot().expires_on(), change);
      return Choice{.material = *of, .packet = *packet};
    }
    if (!absl::IsNotFound(material.status())) return material.status();
    return absl::NotFoundError(Sentences(
        material.status().message(),
        absl::StrCat("A new one: rundlet material new '", word,
                     "', or with its packet: rundlet packet new '", word, "' --name NAME")));
  }
  for (const std::string& name : named) {
    const auto packet = planner.Named(v1::Thing::kMaterialLot, name);
    if (!packet.ok()) return packet.status();
    if (planner.Find(*packet)->material_lot().material_id() != material->bytes()) continue;
    WarnOfExpiry(planner, name, planner.Find(*packet)->material_lot().expires_on(), change);
    return Choice{.material = *material, .packet = *packet};
  }
  const auto packet = ChoosePacket(planner, *material, change);
  if (!packet.ok()) return packet.status();
  return Choice{.material = *material, .packet = *packet};
}

bool LooksLikeARate(const std::string& text) {
  return absl::StrContains(text, '/') || absl::StrContains(text, "ppm") ||
         absl::StrContains(text, " per ");
}

absl::StatusOr<Amount> ReadAmount(const AdditionWords& words, int64_t volume_ul) {
  auto amount = ParseAmount(words.amount);
  // "1/2 tsp" is an amount with a stroke in it.
  if (amount.ok() || !LooksLikeARate(words.amount)) return amount;
  const auto rate = ParseRate(words.amount);
  if (!rate.ok()) return rate.status();
  if (volume_ul == 0) {
    return absl::FailedPreconditionError(
        absl::StrCat("a rate such as ", words.amount,
                     " needs wine to be reckoned by, and there is none: write an amount"));
  }
  return rate->Times(volume_ul);
}

// Microlitres brought by an amount: the effect is that of one gram, millilitre or piece.
absl::StatusOr<int64_t> VolumeOf(const v1::Material& material, const Amount& amount) {
  const int64_t per = amount.dimension == Dimension::kMass     ? 1'000'000
                      : amount.dimension == Dimension::kVolume ? 1'000
                                                               : 1;
  const auto volume_ul =
      DivideHalfEven(static_cast<__int128>(amount.base) * material.volume_effect_ul(), per);
  if (!volume_ul.has_value()) return absl::OutOfRangeError("that is more than any vessel holds");
  return volume_ul->value;
}

// By weight, as far as it is known what one piece or one millilitre of it weighs.
std::optional<int64_t> MassOf(const v1::Material& material, const Amount& amount) {
  if (amount.dimension == Dimension::kMass) return amount.base;
  if (material.unit_mass_ug() == 0) return std::nullopt;
  const int64_t per = amount.dimension == Dimension::kCount ? 1 : 1000;
  const auto mass_ug =
      DivideHalfEven(static_cast<__int128>(amount.base) * material.unit_mass_ug(), per);
  return mass_ug.has_value() ? std::optional(mass_ug->value) : std::nullopt;
}

// Its caution, once a change; and of a sulfite what it brings, which is not what it weighs.
void MindMaterial(const v1::Material& material, const Amount& amount, int64_t volume_ul,
                  Change& change) {
  if (std::string caution = CautionOf(material); !caution.empty()) {
    caution = absl::StrCat(material.name(), ": ", caution);
    if (std::find(change.cautions.begin(), change.cautions.end(), caution) == change.cautions.end())
      change.cautions.push_back(std::move(caution));
  }
  if (!IsSulfite(material) || volume_ul == 0) return;
  if (const auto mass_ug = MassOf(material, amount);
      mass_ug.has_value() && material.so2_ppm() > 0) {
    const auto so2_ug_l = DivideHalfEven(static_cast<__int128>(*mass_ug) * material.so2_ppm(),
                                         static_cast<__int128>(volume_ul));
    if (so2_ug_l.has_value()) {
      change.warnings.push_back(
          absl::StrCat("that brings ", PrintRatio(so2_ug_l->value, 1000, 0, 0), " mg/L of SO2"));
    }
  } else {
    change.warnings.push_back(absl::StrCat(
        "nobody has said how much SO2 ", material.name(),
        " yields, so it is not counted: rundlet material new 'potassium metabisulfite', or "
        "rundlet material change '",
        material.name(), "' --so2 57.6%, by weight",
        amount.dimension == Dimension::kMass ? "" : ", and --unit-mass 0.44g"));
  }
}

}  // namespace

absl::Status CheckMeasure(const v1::Material& material, absl::string_view written,
                          const Amount& amount) {
  if (!material.has_dimension() || material.dimension() == ToWire(amount.dimension))
    return absl::OkStatus();
  return Usage(absl::StrCat(
      "'", written, "' is a ", DimensionName(amount.dimension), ", and ", material.name(),
      " is measured otherwise: write it like ",
      FormatAmountOf(material.dimension(),
                     material.dimension() == v1::DIMENSION_COUNT ? kExampleCount : kExampleBase)));
}

absl::Status CheckPackets(const Planner& planner, absl::Span<const std::string> materials,
                          absl::Span<const std::string> packets) {
  for (const std::string& name : packets) {
    const auto packet = planner.Named(v1::Thing::kMaterialLot, name);
    if (!packet.ok()) return packet.status();
    const auto of = MaterialOfPacket(planner, *packet);
    if (!of.ok()) return of.status();
    bool used = false;
    for (const std::string& word : materials) {
      const auto material = planner.Named(v1::Thing::kMaterial, word);
      const auto itself = planner.Named(v1::Thing::kMaterialLot, word);
      used = used || (material.ok() ? *material == *of : itself.ok() && *itself == *packet);
    }
    if (!used) {
      return Usage(absl::StrCat("packet ", name, " is of ", planner.NameOf(*of),
                                ", which is not what is added here"));
    }
  }
  return absl::OkStatus();
}

absl::StatusOr<v1::AdditionLine> ReadAddition(const Planner& planner, const AdditionWords& words,
                                              const std::vector<std::string>& packets,
                                              int64_t volume_ul, Change& change) {
  const auto choice = Choose(planner, words.material, packets, change);
  if (!choice.ok()) return choice.status();
  const auto amount = ReadAmount(words, volume_ul);
  if (!amount.ok()) return amount.status();
  const v1::Material& material = planner.Find(choice->material)->material();
  if (absl::Status status = CheckMeasure(material, words.amount, *amount); !status.ok())
    return status;
  const auto brought_ul = VolumeOf(material, *amount);
  if (!brought_ul.ok()) return brought_ul.status();
  v1::AdditionLine line;
  if (choice->packet.has_value()) {
    line.set_material_lot_id(choice->packet->ToBytes());
  } else {
    line.set_material_id(choice->material.ToBytes());
  }
  *line.mutable_amount() = ToWire(*amount);
  line.set_volume_effect_ul(*brought_ul);
  MindMaterial(material, *amount, volume_ul, change);
  return line;
}

}  // namespace rundlet::client
