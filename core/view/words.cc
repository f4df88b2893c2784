// The words for what the wire counts with numbers.
#include <iterator>

#include "core/view/log_line.h"

namespace rundlet {

absl::string_view AccountWord(v1::Account account) {
  switch (account) {
    case v1::ACCOUNT_SOURCE:
      return "source";
    case v1::ACCOUNT_ADDITION:
      return "addition";
    case v1::ACCOUNT_GAIN:
      return "gain";
    case v1::ACCOUNT_LOSS:
      return "loss";
    case v1::ACCOUNT_LEES:
      return "lees";
    case v1::ACCOUNT_EVAPORATION:
      return "evaporation";
    case v1::ACCOUNT_SAMPLE:
      return "sample";
    case v1::ACCOUNT_SPILL:
      return "spill";
    case v1::ACCOUNT_DUMP:
      return "dump";
    case v1::ACCOUNT_GLASS:
      return "glass";
    case v1::ACCOUNT_SERVED:
      return "served";
    case v1::ACCOUNT_SOLD:
      return "sold";
    case v1::ACCOUNT_GIFT:
      return "gift";
    case v1::ACCOUNT_SHARE:
      return "share";
    case v1::ACCOUNT_DONATED:
      return "donated";
    case v1::ACCOUNT_BREAKAGE:
      return "breakage";
    case v1::ACCOUNT_USED:
      return "used";
    case v1::ACCOUNT_COUNTED:
      return "counted";
    case v1::ACCOUNT_OPENED:
      return "opened";
    default:
      return "elsewhere";
  }
}

absl::string_view ReadingWord(v1::ReadingKind kind) {
  switch (kind) {
    case v1::READING_KIND_DENSITY:
      return "density";
    case v1::READING_KIND_TEMPERATURE:
      return "temperature";
    case v1::READING_KIND_PH:
      return "pH";
    case v1::READING_KIND_TITRATABLE_ACIDITY:
      return "titratable acidity";
    case v1::READING_KIND_FREE_SO2:
      return "free SO2";
    case v1::READING_KIND_TOTAL_SO2:
      return "total SO2";
    case v1::READING_KIND_VOLATILE_ACIDITY:
      return "volatile acidity";
    case v1::READING_KIND_RESIDUAL_SUGAR:
      return "residual sugar";
    case v1::READING_KIND_ALCOHOL:
      return "alcohol";
    default:
      return "reading";
  }
}

absl::string_view TreatmentWord(v1::TreatmentKind kind) {
  switch (kind) {
    case v1::TREATMENT_KIND_DEGASSING:
      return "degassed";
    case v1::TREATMENT_KIND_STIRRING:
      return "stirred";
    case v1::TREATMENT_KIND_CHILLING:
      return "chilled";
    case v1::TREATMENT_KIND_WARMING:
      return "warmed";
    case v1::TREATMENT_KIND_FILTERING:
      return "filtered";
    case v1::TREATMENT_KIND_TURNING:
      return "turned";
    case v1::TREATMENT_KIND_PUNCHING_DOWN:
      return "punched down";
    case v1::TREATMENT_KIND_PUMPING_OVER:
      return "pumped over";
    case v1::TREATMENT_KIND_COVERING_WITH_GAS:
      return "covered with gas";
    default:
      return "treated";
  }
}

absl::Span<const TreatmentVerb> TreatmentVerbs() {
  static constexpr TreatmentVerb kVerbs[] = {
      {"degas", v1::TREATMENT_KIND_DEGASSING},
      {"stir", v1::TREATMENT_KIND_STIRRING},
      {"chill", v1::TREATMENT_KIND_CHILLING},
      {"warm", v1::TREATMENT_KIND_WARMING},
      {"filter", v1::TREATMENT_KIND_FILTERING},
      {"turn", v1::TREATMENT_KIND_TURNING},
      {"punch-down", v1::TREATMENT_KIND_PUNCHING_DOWN},
      {"pump-over", v1::TREATMENT_KIND_PUMPING_OVER},
      {"gas", v1::TREATMENT_KIND_COVERING_WITH_GAS},
  };
  static_assert(std::size(kVerbs) + 1 == v1::TreatmentKind_ARRAYSIZE);
  return kVerbs;
}

absl::string_view AspectWord(v1::Aspect aspect) {
  switch (aspect) {
    case v1::ASPECT_CLARITY:
      return "clarity";
    case v1::ASPECT_TASTE:
      return "taste";
    case v1::ASPECT_FIZZ:
      return "fizz";
    case v1::ASPECT_SMELL:
      return "smell";
    case v1::ASPECT_COLOUR:
      return "colour";
    case v1::ASPECT_SEDIMENT:
      return "sediment";
    default:
      return "impression";
  }
}

absl::string_view InflowWord(v1::InflowKind kind) {
  switch (kind) {
    case v1::INFLOW_KIND_JUICE:
      return "juice";
    case v1::INFLOW_KIND_MUST:
      return "must";
    case v1::INFLOW_KIND_CONCENTRATE:
      return "concentrate";
    case v1::INFLOW_KIND_FRUIT:
      return "fruit";
    case v1::INFLOW_KIND_BULK_WINE:
      return "wine";
    default:
      return "wine";
  }
}

}  // namespace rundlet
