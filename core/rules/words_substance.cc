#include "core/rules/words.h"

namespace rundlet::rules {

absl::string_view Name(v1::Substance substance) {
  switch (substance) {
    case v1::SUBSTANCE_TOTAL_SO2:
      return "total sulfur dioxide";
    case v1::SUBSTANCE_FREE_SO2:
      return "free sulfur dioxide";
    case v1::SUBSTANCE_BOUND_SO2:
      return "bound sulfur dioxide";
    case v1::SUBSTANCE_SORBIC_ACID:
      return "sorbic acid";
    case v1::SUBSTANCE_DMDC:
      return "DMDC";
    case v1::SUBSTANCE_LYSOZYME:
      return "lysozyme";
    case v1::SUBSTANCE_ASCORBIC_ACID:
      return "ascorbic acid";
    case v1::SUBSTANCE_ERYTHORBIC_ACID:
      return "erythorbic acid";
    case v1::SUBSTANCE_CITRIC_ACID:
      return "citric acid";
    case v1::SUBSTANCE_TARTARIC_ACID:
      return "tartaric acid";
    case v1::SUBSTANCE_MALIC_ACID:
      return "malic acid";
    case v1::SUBSTANCE_LACTIC_ACID:
      return "lactic acid";
    case v1::SUBSTANCE_FUMARIC_ACID:
      return "fumaric acid";
    case v1::SUBSTANCE_METATARTARIC_ACID:
      return "metatartaric acid";
    case v1::SUBSTANCE_FIXED_ACID:
      return "fixed acid";
    case v1::SUBSTANCE_VOLATILE_ACIDITY:
      return "volatile acidity";
    case v1::SUBSTANCE_PH:
      return "pH";
    case v1::SUBSTANCE_ACID_REDUCTION:
      return "acid reduction";
    case v1::SUBSTANCE_CALCIUM_CARBONATE:
      return "calcium carbonate";
    case v1::SUBSTANCE_POTASSIUM_CARBONATE:
      return "potassium carbonate";
    case v1::SUBSTANCE_POTASSIUM_BITARTRATE:
      return "potassium bitartrate";
    case v1::SUBSTANCE_POTASSIUM_CITRATE:
      return "potassium citrate";
    case v1::SUBSTANCE_CALCIUM_TARTRATE:
      return "calcium tartrate";
    case v1::SUBSTANCE_CALCIUM_PHYTATE:
      return "calcium phytate";
    case v1::SUBSTANCE_SULFATE:
      return "sulfate";
    case v1::SUBSTANCE_BENTONITE:
      return "bentonite";
    case v1::SUBSTANCE_KAOLIN:
      return "kaolin";
    case v1::SUBSTANCE_SILICA:
      return "silica";
    case v1::SUBSTANCE_GELATINE:
      return "gelatine";
    case v1::SUBSTANCE_ISINGLASS:
      return "isinglass";
    case v1::SUBSTANCE_CASEIN:
      return "casein";
    case v1::SUBSTANCE_EGG_ALBUMIN:
      return "egg albumin";
    case v1::SUBSTANCE_MILK:
      return "milk";
    case v1::SUBSTANCE_CHITOSAN:
      return "chitosan";
    case v1::SUBSTANCE_CHITIN_GLUCAN:
      return "chitin-glucan";
    case v1::SUBSTANCE_PVPP:
      return "PVPP";
    case v1::SUBSTANCE_PVI_PVP:
      return "PVI/PVP";
    case v1::SUBSTANCE_PVP:
      return "PVP";
    case v1::SUBSTANCE_CARBON:
      return "carbon";
    case v1::SUBSTANCE_TANNIN:
      return "tannin";
    case v1::SUBSTANCE_PLANT_PROTEIN:
      return "plant protein";
    case v1::SUBSTANCE_YEAST_PROTEIN:
      return "yeast protein";
    case v1::SUBSTANCE_PLANT_FIBRE:
      return "plant fibre";
    case v1::SUBSTANCE_ALGINATE:
      return "alginate";
    case v1::SUBSTANCE_SOY_FLOUR:
      return "soy flour";
    case v1::SUBSTANCE_FRESH_LEES:
      return "fresh lees";
    case v1::SUBSTANCE_GUM_ARABIC:
      return "gum arabic";
    case v1::SUBSTANCE_CMC:
      return "cellulose gum";
    case v1::SUBSTANCE_POLYASPARTATE:
      return "polyaspartate";
    case v1::SUBSTANCE_AMMONIUM_PHOSPHATE:
      return "ammonium phosphate";
    case v1::SUBSTANCE_AMMONIUM_SULFATE:
      return "ammonium sulfate";
    case v1::SUBSTANCE_AMMONIUM_BISULFITE:
      return "ammonium bisulfite";
    case v1::SUBSTANCE_THIAMINE:
      return "thiamine";
    case v1::SUBSTANCE_YEAST_CELL_WALLS:
      return "yeast cell walls";
    case v1::SUBSTANCE_COPPER:
      return "copper";
    case v1::SUBSTANCE_COPPER_SULFATE:
      return "copper sulfate";
    case v1::SUBSTANCE_IRON:
      return "iron";
    case v1::SUBSTANCE_FERROUS_SULFATE:
      return "ferrous sulfate";
    case v1::SUBSTANCE_FERROCYANIDE:
      return "ferrocyanide";
    case v1::SUBSTANCE_LEAD:
      return "lead";
    case v1::SUBSTANCE_ARSENIC:
      return "arsenic";
    case v1::SUBSTANCE_CADMIUM:
      return "cadmium";
    case v1::SUBSTANCE_EXCESS_SODIUM:
      return "excess sodium";
    case v1::SUBSTANCE_ENRICHMENT:
      return "enrichment";
    case v1::SUBSTANCE_MUST_DENSITY:
      return "must density";
    case v1::SUBSTANCE_AMELIORATION:
      return "amelioration";
    case v1::SUBSTANCE_WATER:
      return "water";
    case v1::SUBSTANCE_ALCOHOL:
      return "alcohol";
    case v1::SUBSTANCE_TOTAL_ALCOHOL:
      return "total alcohol";
    case v1::SUBSTANCE_CARBON_DIOXIDE:
      return "carbon dioxide";
    case v1::SUBSTANCE_ACETALDEHYDE:
      return "acetaldehyde";
    case v1::SUBSTANCE_METHANOL:
      return "methanol";
    case v1::SUBSTANCE_OCHRATOXIN_A:
      return "ochratoxin A";
    case v1::SUBSTANCE_GLUCANASE:
      return "glucanase";
    case v1::SUBSTANCE_PECTINASE:
      return "pectinase";
    case v1::SUBSTANCE_UREASE:
      return "urease";
    case v1::SUBSTANCE_DEFOAMER:
      return "defoamer";
    case v1::SUBSTANCE_OAK:
      return "oak";
    case v1::SUBSTANCE_CORK:
      return "cork";
    case v1::SUBSTANCE_MALTOL:
      return "maltol";
    case v1::SUBSTANCE_ETHYL_MALTOL:
      return "ethyl maltol";
    default:
      return "unknown";
  }
}

}  // namespace rundlet::rules
