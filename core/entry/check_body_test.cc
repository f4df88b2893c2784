// Goal: every rule of a single entry holds: what breaks it is refused with a text that names it,
// and what just keeps it is taken. Method: a table by kind, in protobuf's text form, with the
// limits tried from both sides.
#include "core/entry/check_body.h"

#include <string>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "core/entry/limits.h"
#include "gmock/gmock.h"
#include "google/protobuf/text_format.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

using ::testing::HasSubstr;

// $A to $D stand for ids, $0 for one of zeroes; $MAXV and the like for limits, with + for one more.
std::string Expand(absl::string_view text) {
  return absl::StrReplaceAll(
      text, {{"$A", "'aaaaaaaaaaaaaaaa'"},
             {"$B", "'bbbbbbbbbbbbbbbb'"},
             {"$C", "'cccccccccccccccc'"},
             {"$D", "'dddddddddddddddd'"},
             {"$0", R"('\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0')"},
             {"$MAXV+", absl::StrCat(kMaxVolumeUl + 1)},
             {"$MAXV", absl::StrCat(kMaxVolumeUl)},
             {"$MAXA+", absl::StrCat(kMaxAmount + 1)},
             {"$MAXA", absl::StrCat(kMaxAmount)},
             {"$MAXB+", absl::StrCat(kMaxBottles + 1)},
             {"$MAXB", absl::StrCat(kMaxBottles)},
             {"$MAXR+", absl::StrCat(kMaxReadingMicro + 1)},
             {"$MAXR", absl::StrCat(kMaxReadingMicro)},
             {"$MAXD+", absl::StrCat(kMaxDurationMin + 1)},
             {"$MAXD", absl::StrCat(kMaxDurationMin)},
             {"$NAME+", absl::StrCat("'", std::string(kMaxNameBytes + 1, 'n'), "'")},
             {"$NAME", absl::StrCat("'", std::string(kMaxNameBytes, 'n'), "'")}});
}

absl::Status Check(absl::string_view text) {
  v1::Entry entry;
  const std::string expanded = Expand(text);
  EXPECT_TRUE(google::protobuf::TextFormat::ParseFromString(expanded, &entry)) << expanded;
  return CheckBody(entry);
}

void Fine(absl::string_view text) {
  const absl::Status status = Check(text);
  EXPECT_TRUE(status.ok()) << text << "\n" << status;
}

void Refused(absl::string_view text, absl::string_view why) {
  const absl::Status status = Check(text);
  EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument) << text;
  EXPECT_THAT(std::string(status.message()), HasSubstr(std::string(why))) << text;
}

// The same piece of text so many times, with a different id in each ($N).
std::string Repeated(absl::string_view piece, int count) {
  std::string text;
  for (int i = 0; i < count; ++i) {
    const std::string number = absl::StrCat(i);
    const std::string id = absl::StrCat("'", std::string(16 - number.size(), 'x'), number, "'");
    absl::StrAppend(&text, absl::StrReplaceAll(piece, {{"$N", id}}), " ");
  }
  return text;
}

TEST(CheckBodyTest, NothingSaid) { Refused("", "needs a kind"); }

TEST(CheckBodyTest, Settings) {
  Fine("settings_changed {}");
  Fine("settings_changed { tolerance_ppm: 500000 tolerance_ul: $MAXV cellar_name: $NAME }");
  Refused("settings_changed { tolerance_ppm: 500001 }", "a tolerance, in millionths");
  Refused("settings_changed { tolerance_ppm: -1 }", "a tolerance, in millionths");
  Refused("settings_changed { tolerance_ul: $MAXV+ }", "a tolerance, in microlitres");
  Refused("settings_changed { tolerance_ul: -1 }", "a tolerance, in microlitres");
  Refused("settings_changed { cellar_name: $NAME+ }", "a cellar name of at most 200");
  Refused("settings_changed { cellar_name: 'two\\nlines' }", "without control characters");
  Fine(absl::StrCat("settings_changed { jurisdictions { ", Repeated("codes: 'EU'", 32), "} }"));
  Refused(absl::StrCat("settings_changed { jurisdictions { ", Repeated("codes: 'EU'", 33), "} }"),
          "at most 32 jurisdictions");
}

TEST(CheckBodyTest, Things) {
  for (const char* kind :
       {"vessel", "equipment", "material", "material_lot", "bin", "member", "lot", "bottling"}) {
    const auto registered = [&](absl::string_view attributes) {
      return absl::StrCat("registered { thing_id: $A ", kind, " { ", attributes, " } }");
    };
    Fine(registered("name: $NAME"));
    Fine(registered("name: 'Gärfass (oak); \"5\"'"));
    Refused(registered(""), "a name");
    Refused(registered("name: ''"), "a name");
    Refused(registered("name: $NAME+"), "a name of at most 200 bytes");
    Refused(registered("name: 'bell\\007'"), "a name without control characters");
    Refused(registered("name: 'rubbed out\\177'"), "a name without control characters");
    Fine(absl::StrCat("changed { thing_id: $A ", kind, " {} }"));
    Refused(absl::StrCat("changed { thing_id: $A ", kind, " { name: '' } }"), "a name");
    Refused(absl::StrCat("registered { thing_id: 'short' ", kind, " { name: 'n' } }"), "the thing");
    Refused(absl::StrCat("registered { thing_id: $0 ", kind, " { name: 'n' } }"), "not all zero");
  }
  Refused("registered { thing_id: $A }", "the kind of thing");
  Refused("changed { thing_id: $A }", "the kind of thing");
  Refused("changed { vessel { name: 'n' } }", "the thing");
}

TEST(CheckBodyTest, AttributesOfThings) {
  const auto with = [](absl::string_view attributes) {
    return absl::StrCat("registered { thing_id: $A ", attributes, " }");
  };
  Fine(with("vessel { name: 'n' capacity_ul: $MAXV }"));
  Refused(with("vessel { name: 'n' capacity_ul: $MAXV+ }"), "a capacity, in microlitres");
  Refused(with("vessel { name: 'n' capacity_ul: -1 }"), "a capacity, in microlitres");
  Fine(with("material { name: 'n' volume_effect_ul: 1000000 so2_ppm: 1000000 }"));
  Refused(with("material { name: 'n' volume_effect_ul: 1000001 }"), "a volume effect");
  Refused(with("material { name: 'n' so2_ppm: 1000001 }"), "an SO2 content");
  Refused(with("material { name: 'n' so2_ppm: -1 }"), "an SO2 content");
  Fine(with("material_lot { name: 'n' material_id: $B }"));
  Refused(with("material_lot { name: 'n' material_id: 'b' }"), "the material");
  Fine(with("bin { name: 'n' capacity_bottles: $MAXB }"));
  Refused(with("bin { name: 'n' capacity_bottles: -1 }"), "a capacity, in bottles");
  Fine(with("bottling { name: 'n' lot_id: $B }"));
  Refused(with("bottling { name: 'n' lot_id: 'b' }"), "the lot");
  Refused(with("bottling { name: 'n' lot_id: $0 }"), "the lot");
  Fine("retired { thing_id: $A }");
  Refused("retired {}", "the thing");
}

TEST(CheckBodyTest, WineReceived) {
  Fine(
      "wine_received { kind: INFLOW_KIND_JUICE lot_id: $A fruit_mass_ug: $MAXA"
      " fills { vessel_id: $B volume_ul: $MAXV } fills { vessel_id: $C volume_ul: 1 } }");
  const char* const fill = "fills { vessel_id: $B volume_ul: 1 }";
  const auto with = [&](absl::string_view rest) {
    return absl::StrCat("wine_received { ", rest, " }");
  };
  Refused(with(absl::StrCat("lot_id: $A ", fill)), "what came in");
  Refused(with(absl::StrCat("kind: 77 lot_id: $A ", fill)), "what came in");
  Refused(with(absl::StrCat("kind: INFLOW_KIND_JUICE ", fill)), "the lot");
  Refused(with(absl::StrCat("kind: INFLOW_KIND_JUICE lot_id: $A fruit_mass_ug: -1 ", fill)),
          "a mass of fruit");
  Refused(with("kind: INFLOW_KIND_JUICE lot_id: $A"), "at least one vessel to fill");
  Refused(with("kind: INFLOW_KIND_JUICE lot_id: $A fills { volume_ul: 1 }"), "the vessel filled");
  Refused(with("kind: INFLOW_KIND_JUICE lot_id: $A fills { vessel_id: $B rest: true }"),
          "a measured volume");
  Refused(with("kind: INFLOW_KIND_JUICE lot_id: $A fills { vessel_id: $B volume_ul: $MAXV+ }"),
          "a measured volume");
  Refused(with(absl::StrCat("kind: INFLOW_KIND_JUICE lot_id: $A ", fill, fill)),
          "each vessel filled only once");
  Fine(with(absl::StrCat("kind: INFLOW_KIND_JUICE lot_id: $A ",
                         Repeated("fills { vessel_id: $N volume_ul: 1 }", kMaxLines))));
  Refused(with(absl::StrCat("kind: INFLOW_KIND_JUICE lot_id: $A ",
                            Repeated("fills { vessel_id: $N volume_ul: 1 }", kMaxLines + 1))),
          "at most 256");
}

TEST(CheckBodyTest, Additions) {
  const auto with = [](absl::string_view rest) { return absl::StrCat("addition { ", rest, " }"); };
  const char* const line = "lines { material_id: $B amount { dimension: DIMENSION_MASS base: 1 } }";
  Fine(with(absl::StrCat("vessel_id: $A ", line, line)));
  Fine(
      with("vessel_id: $A lines { material_lot_id: $B volume_effect_ul: $MAXV"
           " amount { dimension: DIMENSION_COUNT base: $MAXA } }"));
  Refused(with(line), "the vessel");
  Refused(with("vessel_id: $A"), "something added");
  Refused(with("vessel_id: $A lines { amount { dimension: DIMENSION_MASS base: 1 } }"),
          "what was added");
  Refused(
      with("vessel_id: $A lines { material_id: 'b' amount { dimension: DIMENSION_MASS base: 1 } }"),
      "what was added");
  Refused(with("vessel_id: $A lines { material_lot_id: $0 amount { dimension: DIMENSION_MASS base: "
               "1 } }"),
          "what was added");
  Refused(with("vessel_id: $A lines { material_id: $B }"), "by mass, volume or count");
  Refused(with("vessel_id: $A lines { material_id: $B amount { dimension: 4 base: 1 } }"),
          "by mass, volume or count");
  Refused(with("vessel_id: $A lines { material_id: $B amount { dimension: DIMENSION_MASS } }"),
          "an amount between 1");
  Refused(
      with("vessel_id: $A lines { material_id: $B amount { dimension: DIMENSION_MASS base: -1 } }"),
      "an amount between 1");
  Refused(with("vessel_id: $A lines { material_id: $B amount { dimension: DIMENSION_MASS base: "
               "$MAXA+ } }"),
          "an amount between 1");
  Refused(with("vessel_id: $A lines { material_id: $B volume_effect_ul: -1 amount { dimension: "
               "DIMENSION_MASS base: 1 } }"),
          "a volume effect");
  Refused(with("vessel_id: $A lines { material_id: $B volume_effect_ul: $MAXV+ amount { dimension: "
               "DIMENSION_MASS base: 1 } }"),
          "a volume effect");
  Fine(with(absl::StrCat("vessel_id: $A ", Repeated(line, kMaxLines))));
  Refused(with(absl::StrCat("vessel_id: $A ", Repeated(line, kMaxLines + 1))), "at most 256");
}

TEST(CheckBodyTest, Transfers) {
  for (const char* kind : {"racking", "blend", "topping", "pressing"}) {
    const auto with = [&](absl::string_view rest) { return absl::StrCat(kind, " { ", rest, " }"); };
    const auto after = [&](absl::string_view rest) {
      return with(absl::StrCat("draws { vessel_id: $A all: true } ", rest));
    };
    const char* const fill = " fills { vessel_id: $B rest: true } ";
    Fine(after(fill));
    Fine(
        with("draws { vessel_id: $A volume_ul: $MAXV } draws { vessel_id: $B volume_ul: 1 }"
             " fills { vessel_id: $A volume_ul: $MAXV } fills { vessel_id: $C volume_ul: 1 }"
             " outflows { account: ACCOUNT_LEES rest: true } outflows { account: ACCOUNT_LOSS "
             "volume_ul: $MAXV }"
             " lot_id: $C equipment_ids: $D"));
    Refused(with(fill), "at least one vessel to draw from");
    Refused(with(absl::StrCat("draws { all: true } ", fill)), "the vessel drawn from");
    Refused(with(absl::StrCat("draws { vessel_id: $A } ", fill)), "a drawn volume");
    Refused(with(absl::StrCat("draws { vessel_id: $A all: false } ", fill)),
            "'all' to be said or left out");
    Refused(with(absl::StrCat("draws { vessel_id: $A volume_ul: $MAXV+ } ", fill)),
            "a drawn volume");
    Refused(after(absl::StrCat("draws { vessel_id: $A volume_ul: 1 } ", fill)),
            "each vessel drawn from only once");
    Refused(after(""), "at least one vessel to fill");
    Refused(after("fills { rest: true }"), "the vessel filled");
    Refused(after("fills { vessel_id: $B }"), "a filled volume");
    Refused(after("fills { vessel_id: $B rest: false }"), "'rest' to be said or left out");
    Refused(after("fills { vessel_id: $B volume_ul: $MAXV+ }"), "a filled volume");
    Refused(after(absl::StrCat(fill, "fills { vessel_id: $B volume_ul: 1 }")),
            "each vessel filled only once");
    Refused(after(absl::StrCat(fill, "fills { vessel_id: $C rest: true }")),
            "at most one place for the rest");
    Refused(after(absl::StrCat(fill, "outflows { account: ACCOUNT_LEES rest: true }")),
            "at most one place for the rest");
    Refused(after(absl::StrCat(fill, "outflows { account: ACCOUNT_LEES }")),
            "an outflow, in microlitres");
    Refused(after(absl::StrCat(fill, "outflows { account: ACCOUNT_LEES rest: false }")),
            "'rest' to be said or left out");
    Refused(after(absl::StrCat(fill, "outflows { account: ACCOUNT_LEES volume_ul: $MAXV+ }")),
            "an outflow, in microlitres");
    Refused(after(absl::StrCat(fill, "lot_id: 'c'")), "the lot");
    Refused(after(absl::StrCat(fill, "equipment_ids: 'd'")), "the equipment");
    const std::string draw = "draws { vessel_id: $N all: true }";
    Fine(with(absl::StrCat(Repeated(draw, kMaxLines), fill)));
    Refused(with(absl::StrCat(Repeated(draw, kMaxLines + 1), fill)), "at most 256");
    const std::string filled = "fills { vessel_id: $N volume_ul: 1 }";
    Fine(after(Repeated(filled, kMaxLines)));
    Refused(after(Repeated(filled, kMaxLines + 1)), "at most 256");
    const std::string out = "outflows { account: ACCOUNT_SPILL volume_ul: 1 }";
    Fine(after(absl::StrCat(fill, Repeated(out, kMaxLines))));
    Refused(after(absl::StrCat(fill, Repeated(out, kMaxLines + 1))), "at most 256 outflows");
  }
}

TEST(CheckBodyTest, WhereWineMayGo) {
  for (int account = v1::Account_MIN; account <= v1::Account_MAX; ++account) {
    const std::string withdrawal =
        absl::StrCat("withdrawal { draw { vessel_id: $A all: true } account: ", account, " }");
    const std::string racking = absl::StrCat(
        "racking { draws { vessel_id: $A all: true } fills { vessel_id: $B volume_ul: 1 }",
        " outflows { rest: true account: ", account, " } }");
    switch (account) {
      case v1::ACCOUNT_LOSS:
      case v1::ACCOUNT_LEES:
      case v1::ACCOUNT_EVAPORATION:
      case v1::ACCOUNT_SAMPLE:
      case v1::ACCOUNT_SPILL:
      case v1::ACCOUNT_DUMP:
      case v1::ACCOUNT_SERVED:
      case v1::ACCOUNT_SOLD:
      case v1::ACCOUNT_GIFT:
      case v1::ACCOUNT_SHARE:
      case v1::ACCOUNT_DONATED:
        Fine(withdrawal);
        Fine(racking);
        break;
      default:
        Refused(withdrawal, "a reason");
        Refused(racking, "an outflow to lees, loss");
    }
  }
}

TEST(CheckBodyTest, GaugingAndWithdrawal) {
  Fine("gauging { vessel_id: $A volume_ul: 0 }");
  Fine("gauging { vessel_id: $A volume_ul: $MAXV cause: ACCOUNT_EVAPORATION }");
  Refused("gauging { volume_ul: 1 }", "the vessel");
  Refused("gauging { vessel_id: $A volume_ul: -1 }", "a volume, in microlitres");
  Refused("gauging { vessel_id: $A volume_ul: $MAXV+ }", "a volume, in microlitres");
  Refused("gauging { vessel_id: $A volume_ul: 1 cause: ACCOUNT_SOURCE }", "a cause");
  Refused("withdrawal { account: ACCOUNT_SAMPLE }", "the vessel drawn from");
  Refused("withdrawal { draw { vessel_id: $A } account: ACCOUNT_SAMPLE }", "a drawn volume");
  Refused("withdrawal { draw { vessel_id: $A all: true } }", "a reason");
}

TEST(CheckBodyTest, Facts) {
  const char* const density =
      "measurements { kind: READING_KIND_DENSITY unit: READING_UNIT_BRIX value_micro: -$MAXR }";
  Fine(absl::StrCat("reading { vessel_id: $A equipment_id: $B ", density, " }"));
  Fine(
      "reading { vessel_id: $A measurements { kind: READING_KIND_PH unit: READING_UNIT_PH "
      "value_micro: $MAXR } }");
  Refused(absl::StrCat("reading { ", density, " }"), "the vessel");
  Refused(absl::StrCat("reading { vessel_id: $A equipment_id: 'b' ", density, " }"),
          "the instrument");
  Refused("reading { vessel_id: $A }", "a measured value");
  Refused("reading { vessel_id: $A measurements { unit: READING_UNIT_PH } }", "what was measured");
  Refused("reading { vessel_id: $A measurements { kind: 99 unit: READING_UNIT_PH } }",
          "what was measured");
  Refused("reading { vessel_id: $A measurements { kind: READING_KIND_PH } }", "the unit as read");
  Refused("reading { vessel_id: $A measurements { kind: READING_KIND_PH unit: 99 } }",
          "the unit as read");
  Refused(
      "reading { vessel_id: $A measurements { kind: READING_KIND_PH unit: READING_UNIT_PH "
      "value_micro: $MAXR+ } }",
      "within reason");
  Refused(
      "reading { vessel_id: $A measurements { kind: READING_KIND_PH unit: READING_UNIT_PH "
      "value_micro: -$MAXR+ } }",
      "within reason");
  Fine(absl::StrCat("reading { vessel_id: $A ", Repeated(density, kMaxLines), "}"));
  Refused(absl::StrCat("reading { vessel_id: $A ", Repeated(density, kMaxLines + 1), "}"),
          "a measured value");

  Fine(
      "treatment { vessel_id: $A kind: TREATMENT_KIND_DEGASSING duration_min: $MAXD equipment_ids: "
      "$B }");
  Refused("treatment { kind: TREATMENT_KIND_DEGASSING }", "the vessel");
  Refused("treatment { vessel_id: $A }", "the kind of treatment");
  Refused("treatment { vessel_id: $A kind: 99 }", "the kind of treatment");
  Refused("treatment { vessel_id: $A kind: TREATMENT_KIND_DEGASSING duration_min: -1 }",
          "a duration");
  Refused("treatment { vessel_id: $A kind: TREATMENT_KIND_DEGASSING duration_min: $MAXD+ }",
          "a duration");
  Refused("treatment { vessel_id: $A kind: TREATMENT_KIND_DEGASSING equipment_ids: 'b' }",
          "the equipment");

  Fine("observation { subject_id: $A }");
  Refused("observation {}", "what was observed");
  const char* const impression = "impressions { aspect: ASPECT_FIZZ text: 'none' }";
  Fine(absl::StrCat("observation { subject_id: $A ", Repeated(impression, kMaxLines), "}"));
  Refused(absl::StrCat("observation { subject_id: $A ", Repeated(impression, kMaxLines + 1), "}"),
          "at most 256 impressions");
}

TEST(CheckBodyTest, Bottling) {
  const auto with = [](absl::string_view rest) {
    return absl::StrCat("bottled { bottling_id: $A draws { vessel_id: $B all: true } ", rest, " }");
  };
  const char* const group = "groups { size_ul: 750000 count: 1 bin_id: $C }";
  Fine(with(group));
  Fine(with(absl::StrCat(
      group,
      "groups { size_ul: 1000000000 count: 100000 bin_id: $C fill_ul: 1000000000 }"
      " outflows { account: ACCOUNT_LOSS rest: true }"
      " packaging { material_lot_id: $D amount { dimension: DIMENSION_COUNT base: 1 } }")));
  Refused(absl::StrCat("bottled { draws { vessel_id: $B all: true } ", group, " }"),
          "the bottling");
  Refused(absl::StrCat("bottled { bottling_id: $A ", group, " }"),
          "at least one vessel to draw from");
  Refused(with(""), "bottles, in at most 256 groups");
  Refused(with("groups { count: 1 bin_id: $C }"), "a bottle size");
  Refused(with("groups { size_ul: 1000000001 count: 1 bin_id: $C }"), "a bottle size");
  Refused(with("groups { size_ul: 1 bin_id: $C }"), "a number of bottles");
  Refused(with("groups { size_ul: 1 count: $MAXB+ bin_id: $C }"), "a number of bottles");
  Fine(with("groups { size_ul: 1000000 count: $MAXB bin_id: $C }"));
  Refused(with("groups { size_ul: 1000001 count: $MAXB bin_id: $C }"),
          "no more wine in its bottles");
  Refused(with("groups { size_ul: 1 fill_ul: 1000001 count: $MAXB bin_id: $C }"),
          "no more wine in its bottles");
  Refused(with("groups { size_ul: 1 count: 1 bin_id: $C fill_ul: -1 }"), "a fill");
  Refused(with("groups { size_ul: 1 count: 1 bin_id: $C fill_ul: 1000000001 }"), "a fill");
  Refused(with("groups { size_ul: 1 count: 1 }"), "the bin");
  Refused(with(absl::StrCat(group,
                            "outflows { account: ACCOUNT_LOSS rest: true } outflows { account: "
                            "ACCOUNT_LEES rest: true }")),
          "at most one place for the rest");
  Refused(with(absl::StrCat(group, "packaging { material_lot_id: $D }")),
          "by mass, volume or count");
  const char* const cork =
      "packaging { material_lot_id: $D amount { dimension: DIMENSION_COUNT base: 1 } }";
  Fine(with(absl::StrCat(group, Repeated(cork, kMaxLines))));
  Refused(with(absl::StrCat(group, Repeated(cork, kMaxLines + 1))),
          "at most 256 lines of packaging");
  Fine(with(Repeated(group, kMaxLines)));
  Refused(with(Repeated(group, kMaxLines + 1)), "in at most 256 groups");
}

TEST(CheckBodyTest, BottlesInBins) {
  const char* const two = "bottles { bottling_id: $A size_ul: $MAXV count: $MAXB }";
  struct Kind {
    const char* name;
    const char* rest;
  };
  for (const Kind& kind : {Kind{"bottles_moved", "from_bin_id: $B to_bin_id: $C"},
                           Kind{"bottles_taken", "from_bin_id: $B account: ACCOUNT_GIFT"},
                           Kind{"bottles_returned", "to_bin_id: $B account: ACCOUNT_GIFT"}}) {
    const auto with = [&](absl::string_view bottles, absl::string_view rest) {
      return absl::StrCat(kind.name, " { ", bottles, " ", rest, " }");
    };
    Fine(with(two, kind.rest));
    Refused(with("", kind.rest), "the bottling");
    Refused(with("bottles { bottling_id: $A count: 1 }", kind.rest), "a bottle size");
    Refused(with("bottles { bottling_id: $A size_ul: $MAXV+ count: 1 }", kind.rest),
            "a bottle size");
    Refused(with("bottles { bottling_id: $A size_ul: 1 }", kind.rest), "a number of bottles");
    Refused(with("bottles { bottling_id: $A size_ul: 1 count: $MAXB+ }", kind.rest),
            "a number of bottles");
    Refused(with(two, ""), "the bin");
  }
  Refused(absl::StrCat("bottles_moved { from_bin_id: $B ", two, " }"), "the bin moved to");
  for (int account = v1::Account_MIN; account <= v1::Account_MAX; ++account) {
    const std::string taken =
        absl::StrCat("bottles_taken { from_bin_id: $B ", two, " account: ", account, " }");
    const std::string returned =
        absl::StrCat("bottles_returned { to_bin_id: $B ", two, " account: ", account, " }");
    switch (account) {
      case v1::ACCOUNT_LOSS:
      case v1::ACCOUNT_SAMPLE:
      case v1::ACCOUNT_DUMP:
      case v1::ACCOUNT_SERVED:
      case v1::ACCOUNT_SOLD:
      case v1::ACCOUNT_GIFT:
      case v1::ACCOUNT_SHARE:
      case v1::ACCOUNT_DONATED:
      case v1::ACCOUNT_BREAKAGE:
        Fine(taken);
        Fine(returned);
        break;
      case v1::ACCOUNT_OPENED:
        Fine(taken);
        Refused(returned, "where they come back from");
        break;
      default:
        Refused(taken, "a reason");
        Refused(returned, "where they come back from");
    }
  }
}

TEST(CheckBodyTest, OpenedAndEmptiedBottles) {
  const std::string two = "bottles { bottling_id: $A size_ul: 750000 count: 2 }";
  const auto finished = [&](const std::string& more) {
    return absl::StrCat("bottles_taken { opened: true ", two, " ", more, " }");
  };
  Fine(finished("account: ACCOUNT_SERVED"));
  Refused(finished("account: ACCOUNT_SERVED from_bin_id: $B"), "no bin");
  Refused(finished("account: ACCOUNT_OPENED"), "what became of the opened bottles");
  Fine(absl::StrCat("bottles_taken { from_bin_id: $B account: ACCOUNT_OPENED left_ul: 5 ", two,
                    "}"));
  const auto emptied = [&](const std::string& more) {
    return absl::StrCat("bottles_emptied { ", two, " ", more, " }");
  };
  Fine(emptied("from_bin_id: $B fills { vessel_id: $A rest: true } lot_id: $A"));
  Fine(
      emptied("from_bin_id: $B fills { vessel_id: $A volume_ul: 1 } "
              "outflows { account: ACCOUNT_DUMP rest: true }"));
  Refused(emptied("fills { vessel_id: $A rest: true }"), "the bin");
  Refused(emptied("from_bin_id: $B"), "at least one vessel to fill");
  Refused(emptied("from_bin_id: $B fills { vessel_id: $A rest: true } "
                  "outflows { account: ACCOUNT_DUMP rest: true }"),
          "at most one place for the rest");
  Refused(
      "bottles_emptied { bottles { bottling_id: $A size_ul: $MAXV count: 2 } from_bin_id: $B "
      "fills { vessel_id: $A rest: true } }",
      "no more wine in its bottles");
}

TEST(CheckBodyTest, IdentityAndClosedPeriods) {
  const std::string key = absl::StrCat("\"", std::string(32, 'k'), "\"");
  const std::string signature = absl::StrCat("\"", std::string(64, 's'), "\"");
  const auto invited = [&](const std::string& more) {
    return absl::StrCat("invited { member_id: $A member_name: \"Wren\" expires_at_us: 1 ", more,
                        " }");
  };
  Fine(invited(absl::StrCat("role: MEMBER_ROLE_HAND invitation_key: ", key)));
  Refused(invited("role: MEMBER_ROLE_HAND invitation_key: \"short\""), "a key of 32 bytes");
  Refused(invited(absl::StrCat("invitation_key: ", key)), "a role");
  const auto enrolled = [&](const std::string& more) {
    return absl::StrCat("device_enrolled { public_key: ", key, " ", more, " }");
  };
  Fine(enrolled("device_name: \"tablet\""));
  Fine(enrolled(absl::StrCat("device_name: \"tablet\" invitation_key: ", key,
                             " invitation_signature: ", signature)));
  Refused(enrolled(""), "the device's name");
  Refused(enrolled(absl::StrCat("device_name: \"tablet\" invitation_key: ", key)), "or neither");
  Refused(enrolled(absl::StrCat("device_name: \"tablet\" invitation_signature: ", signature)),
          "or neither");
  Fine(absl::StrCat("period_closed { until_us: 1 state_digest: ", key, " }"));
  Refused("period_closed { until_us: 1 }", "the digest of the closed state");
  Fine("period_reopened { from_us: 1 reason: \"an invoice came late\" }");
  Refused("period_reopened { from_us: 1 }", "the reason");
}

TEST(CheckBodyTest, CostsSharesAndTemperatures) {
  Fine("cost_entered { cents: 1 what: \"freight\" }");
  Refused("cost_entered { what: \"freight\" }", "a cost, in cents");
  Refused("cost_entered { cents: 1 }", "what it was for");
  Fine("contributed { member_id: $A lot_id: $B kind: CONTRIBUTION_KIND_WORK amount: 90 }");
  Refused("contributed { member_id: $A lot_id: $B }", "money, fruit, work or bottles");
  Refused("contributed { lot_id: $B kind: CONTRIBUTION_KIND_WORK }", "who put it in");
  Fine("occasion_closed { bin_id: $A }");
  Refused("occasion_closed { }", "the occasion");
  const auto added = [](const std::string& more) {
    return absl::StrCat("addition { vessel_id: $A lines { material_id: $B ",
                        "amount { dimension: DIMENSION_MASS base: 1 } ", more, " } }");
  };
  Fine(added("volume_effect_ul: 5 mixed_in_ul: 5 mixed_at_millic: 60000"));
  Refused(added("volume_effect_ul: 4 mixed_in_ul: 5"), "a part of the volume effect");
  Refused(added("mixed_at_millic: 200001"), "a temperature");
}

TEST(CheckBodyTest, Counts) {
  Fine("bin_counted { bin_id: $A bottles { bottling_id: $B size_ul: 1 count: 0 } adopted: true }");
  Fine(
      "bin_counted { bin_id: $A bottles { bottling_id: $B size_ul: 1 count: $MAXB }"
      " bottles { bottling_id: $B size_ul: 2 count: 1 } }");
  Refused("bin_counted { bottles { bottling_id: $B size_ul: 1 } }", "the bin");
  Refused("bin_counted { bin_id: $A }", "at least one line counted");
  Refused("bin_counted { bin_id: $A bottles { size_ul: 1 } }", "the bottling");
  Refused("bin_counted { bin_id: $A bottles { bottling_id: $B size_ul: 1 count: -1 } }",
          "a number of bottles");
  Refused(
      "bin_counted { bin_id: $A bottles { bottling_id: $B size_ul: 1 }"
      " bottles { bottling_id: $B size_ul: 1 count: 1 } }",
      "counted only once");
  const char* const line = "bottles { bottling_id: $N size_ul: 1 }";
  Fine(absl::StrCat("bin_counted { bin_id: $A ", Repeated(line, kMaxLines), "}"));
  Refused(absl::StrCat("bin_counted { bin_id: $A ", Repeated(line, kMaxLines + 1), "}"),
          "at most 256");

  Fine("material_counted { material_lot_id: $A amount { dimension: DIMENSION_MASS } }");
  Fine(
      "material_counted { material_lot_id: $A amount { dimension: DIMENSION_MASS base: $MAXA } "
      "adopted: true }");
  Refused("material_counted { amount { dimension: DIMENSION_MASS } }", "the material lot");
  Refused("material_counted { material_lot_id: $A }", "by mass, volume or count");
  Refused("material_counted { material_lot_id: $A amount { dimension: 4 } }",
          "by mass, volume or count");
  Refused("material_counted { material_lot_id: $A amount { dimension: DIMENSION_MASS base: -1 } }",
          "an amount between 0");
  Refused(
      "material_counted { material_lot_id: $A amount { dimension: DIMENSION_MASS base: $MAXA+ } }",
      "an amount between 0");

  Fine(
      "material_received { material_lot_id: $A amount { dimension: DIMENSION_VOLUME base: $MAXA } "
      "}");
  Refused("material_received { amount { dimension: DIMENSION_VOLUME base: 1 } }",
          "the material lot");
  Refused("material_received { material_lot_id: $A amount { base: 1 } }",
          "by mass, volume or count");
  Refused("material_received { material_lot_id: $A amount { dimension: DIMENSION_MASS } }",
          "an amount between 1");
}

TEST(CheckBodyTest, Voids) {
  Fine("entry_id: $A void { target_id: $B }");
  Refused("entry_id: $A void {}", "the voided entry");
  Refused("entry_id: $A void { target_id: $A }", "other than itself");
}

}  // namespace
}  // namespace rundlet
