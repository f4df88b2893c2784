// rundlet material: additives and dry goods in general; a delivery of one is a packet.
#include "absl/strings/str_cat.h"
#include "client/commands/addition_words.h"
#include "client/commands/gear_words.h"
#include "client/commands/known_materials.h"
#include "client/commands/thing.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

constexpr std::pair<const char*, v1::Dimension> kMeasures[] = {{"weight", v1::DIMENSION_MASS},
                                                               {"volume", v1::DIMENSION_VOLUME},
                                                               {"pieces", v1::DIMENSION_COUNT}};

absl::string_view MeasureWord(v1::Dimension dimension) {
  for (const auto& [word, value] : kMeasures) {
    if (value == dimension) return word;
  }
  return "";
}

class MaterialFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--kind", kind_, "sulfite, yeast, nutrient, oak, closure ...");
    app.add_option("--by", by_,
                   "how it is measured: weight, volume or pieces; by weight where nothing is said")
        ->type_name("weight|volume|pieces");
    app.add_option("--brings", brings_,
                   "the volume that one gram, millilitre or piece brings into the wine: 0.62mL")
        ->type_name("VOLUME");
    app.add_option("--so2", so2_, "the part of its weight that it yields as SO2: 57.6%")
        ->type_name("PERCENT");
    app.add_option("--unit-mass", unit_mass_,
                   "what one piece, or one millilitre, holds of it: 0.44g of a tablet")
        ->type_name("MASS");
    app.add_option("--keep", keep_, "so much is to be on hand, else it is to be bought: 100g")
        ->type_name("AMOUNT");
    app.add_option("--coldest", coldest_, "of a yeast, by its maker: it ferments from here: 15C")
        ->type_name("TEMPERATURE");
    app.add_option("--warmest", warmest_, "and up to here: 28C")->type_name("TEMPERATURE");
    app.add_option("--allergens", allergens_, "as a label must name them");
    app.add_option("--caution", caution_, "what to mind when handling it");
  }

  absl::Status Fill(const Planner&, v1::Thing& thing) const override {
    // What is said is said of the material even where it is nothing yet.
    const bool registering = thing.has_material();
    v1::Material material = thing.material();
    if (!kind_.empty()) material.set_kind(kind_);
    if (!allergens_.empty()) material.set_allergens(allergens_);
    if (!caution_.empty()) material.set_caution(caution_);
    if (absl::Status status = FillMeasures(material); !status.ok()) return status;
    if (registering) {
      FillInKnownMaterial(material);
      if (!material.has_dimension()) material.set_dimension(UsualDimension(material.kind()));
    }
    if (material.ByteSizeLong() > 0) thing.mutable_material()->Swap(&material);
    return absl::OkStatus();
  }

 private:
  absl::Status FillMeasures(v1::Material& material) const {
    for (const auto& [word, dimension] : kMeasures) {
      if (by_ == word) material.set_dimension(dimension);
    }
    if (!by_.empty() && !material.has_dimension())
      return Usage("--by: write weight, volume or pieces");
    if (!brings_.empty()) {
      const auto volume_ul = ParseVolume(brings_);
      if (!volume_ul.ok()) return Usage(absl::StrCat("--brings: ", volume_ul.status().message()));
      material.set_volume_effect_ul(*volume_ul);
    }
    if (!so2_.empty()) {
      absl::string_view text = so2_;
      const auto number = TakeNumber(&text);
      if (!number.ok() || (text != "%" && !text.empty()))
        return Usage("--so2: write a percentage, such as 57.6%");
      const auto ppm = DivideHalfEven(static_cast<__int128>(number->num) * 10'000, number->den);
      if (!ppm.has_value() || ppm->value < 0 || ppm->value > 1'000'000)
        return Usage("--so2: from 0% to 100%");
      material.set_so2_ppm(ppm->value);
    }
    if (!unit_mass_.empty()) {
      const auto mass_ug = ParseMass(unit_mass_);
      if (!mass_ug.ok()) return Usage(absl::StrCat("--unit-mass: ", mass_ug.status().message()));
      material.set_unit_mass_ug(*mass_ug);
    }
    return FillStockAndWarmth(material);
  }

  absl::Status FillStockAndWarmth(v1::Material& material) const {
    if (!keep_.empty()) {
      const auto amount = ParseAmount(keep_);
      if (!amount.ok()) return Usage(absl::StrCat("--keep: ", amount.status().message()));
      if (absl::Status status = CheckMeasure(material, keep_, *amount); !status.ok()) return status;
      material.set_dimension(ToWire(amount->dimension));
      material.set_keep_base(amount->base);
    }
    if (!coldest_.empty()) {
      const auto millic = ReadMillic("--coldest", coldest_);
      if (!millic.ok()) return millic.status();
      material.set_coldest_millic(*millic);
    }
    if (!warmest_.empty()) {
      const auto millic = ReadMillic("--warmest", warmest_);
      if (!millic.ok()) return millic.status();
      material.set_warmest_millic(*millic);
    }
    if (material.has_coldest_millic() && material.has_warmest_millic() &&
        material.coldest_millic() > material.warmest_millic())
      return Usage("--warmest: write a temperature above --coldest");
    return absl::OkStatus();
  }

  std::string kind_, by_, brings_, so2_, allergens_, caution_;
  std::string unit_mass_, keep_, coldest_, warmest_;
};

std::string MassText(int64_t mass_ug) { return mass_ug > 0 ? FormatMass(mass_ug) : ""; }

// "15 to 28 C" of a yeast.
std::string WarmthText(const v1::Material& material) {
  const auto celsius = [](int32_t millic) { return PrintRatio(millic, 1'000, 0, 1); };
  if (material.has_coldest_millic() && material.has_warmest_millic())
    return absl::StrCat(celsius(material.coldest_millic()), " to ",
                        celsius(material.warmest_millic()), " C");
  if (material.has_coldest_millic())
    return absl::StrCat("from ", celsius(material.coldest_millic()), " C");
  if (material.has_warmest_millic())
    return absl::StrCat("up to ", celsius(material.warmest_millic()), " C");
  return "";
}

std::vector<std::string> MaterialRow(const Fold&, Handle, const v1::Thing& thing) {
  const v1::Material& material = thing.material();
  return {
      material.name(),
      material.kind(),
      std::string(MeasureWord(material.dimension())),
      material.volume_effect_ul() > 0 ? FormatVolume(material.volume_effect_ul()) : "",
      material.so2_ppm() > 0 ? absl::StrCat(PrintRatio(material.so2_ppm(), 10'000, 0, 2), " %")
                             : "",
      MassText(material.unit_mass_ug()),
      material.keep_base() > 0 ? FormatAmountOf(material.dimension(), material.keep_base()) : "",
      WarmthText(material),
      material.allergens()};
}

}  // namespace

const ThingKind& MaterialKind() {
  static const ThingKind* const kKind =
      new ThingKind{.kind = v1::Thing::kMaterial,
                    .fields = [] { return std::unique_ptr<ThingFields>(new MaterialFields); },
                    .headings = {"Material", "Kind", "By", ">Brings", ">SO2", ">A unit holds",
                                 ">To keep", "Ferments at", "Allergens"},
                    .row = MaterialRow};
  return *kKind;
}

}  // namespace rundlet::client
