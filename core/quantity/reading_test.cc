// Goal: readings as written are kept as read, and slips of point or unit are caught with a guess.
// Method: examples of every kind and unit; each guess by name; a property: print, parse, same
// value.
#include "core/quantity/reading.h"

#include <limits>
#include <string>
#include <tuple>

#include "core/quantity/reading_units.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using Kind = ReadingKind;
using RU = ReadingUnit;

Reading Of(Kind kind, absl::string_view text) {
  const absl::StatusOr<Reading> reading = ParseReading(kind, text);
  EXPECT_TRUE(reading.ok()) << reading.status();
  return reading.value_or(Reading{});
}

std::string Refused(Kind kind, absl::string_view text) {
  const absl::StatusOr<Reading> reading = ParseReading(kind, text);
  EXPECT_FALSE(reading.ok()) << text;
  return std::string(reading.status().message());
}

TEST(ReadingTest, EveryKindAsWritten) {
  const std::tuple<Kind, const char*, RU, int64_t> kCases[] = {
      {Kind::kDensity, "1.096", RU::kSpecificGravity, 1'096'000},
      {Kind::kDensity, "1.0965", RU::kSpecificGravity, 1'096'500},
      {Kind::kDensity, "SG 0.992", RU::kSpecificGravity, 992'000},
      {Kind::kDensity, "1096 kg/m3", RU::kKgPerM3, 1'096'000'000},
      {Kind::kDensity, "1096 kg/m³", RU::kKgPerM3, 1'096'000'000},
      {Kind::kDensity, "1096 g/L", RU::kKgPerM3, 1'096'000'000},
      {Kind::kDensity, "1.096 g/mL", RU::kGPerMl, 1'096'000},
      {Kind::kDensity, "24.5Bx", RU::kBrix, 24'500'000},
      {Kind::kDensity, "24.5°Brix", RU::kBrix, 24'500'000},
      {Kind::kDensity, "-1.5 Bx", RU::kBrix, -1'500'000},
      {Kind::kDensity, "24,5 °Bx", RU::kBrix, 24'500'000},
      {Kind::kDensity, "24 Plato", RU::kPlato, 24'000'000},
      {Kind::kDensity, "13.2 °Bé", RU::kBaume, 13'200'000},
      {Kind::kDensity, "96 Oechsle", RU::kOechsle, 96'000'000},
      {Kind::kTemperature, "20", RU::kCelsius, 20'000'000},
      {Kind::kTemperature, "20C", RU::kCelsius, 20'000'000},
      {Kind::kTemperature, "-2 °C", RU::kCelsius, -2'000'000},
      {Kind::kTemperature, "68F", RU::kFahrenheit, 68'000'000},
      {Kind::kTemperature, "68°F", RU::kFahrenheit, 68'000'000},
      {Kind::kTemperature, "68℉", RU::kFahrenheit, 68'000'000},
      {Kind::kPh, "3.4", RU::kPh, 3'400'000},
      {Kind::kPh, "pH 3.4", RU::kPh, 3'400'000},
      {Kind::kPh, "pH3.4", RU::kPh, 3'400'000},
      {Kind::kTitratableAcidity, "6.2g/L", RU::kGPerLTartaric, 6'200'000},
      {Kind::kTitratableAcidity, "6.2", RU::kGPerLTartaric, 6'200'000},
      {Kind::kTitratableAcidity, "4 g/L as sulfuric", RU::kGPerLSulfuric, 4'000'000},
      {Kind::kTitratableAcidity, "5.5 g/L as malic acid", RU::kGPerLMalic, 5'500'000},
      {Kind::kFreeSo2, "30mg/L", RU::kMgPerL, 30'000'000},
      {Kind::kFreeSo2, "30ppm", RU::kMgPerL, 30'000'000},
      {Kind::kFreeSo2, "0", RU::kMgPerL, 0},
      {Kind::kTotalSo2, "85", RU::kMgPerL, 85'000'000},
      {Kind::kVolatileAcidity, "0.45", RU::kGPerLAcetic, 450'000},
      {Kind::kResidualSugar, "4 g/L", RU::kGPerL, 4'000'000},
      {Kind::kAlcohol, "13.2%", RU::kPercentVol, 13'200'000},
      {Kind::kAlcohol, "13.2 % vol.", RU::kPercentVol, 13'200'000},
      {Kind::kAlcohol, "13.2", RU::kPercentVol, 13'200'000},
  };
  for (const auto& [kind, text, unit, value_micro] : kCases) {
    EXPECT_EQ(Of(kind, text), (Reading{kind, unit, value_micro})) << text;
  }
}

TEST(ReadingTest, TheUnitMayTellTheKind) {
  EXPECT_EQ(Of(Kind::kUnspecified, "24.5Bx").kind, Kind::kDensity);
  EXPECT_EQ(Of(Kind::kUnspecified, "68F").kind, Kind::kTemperature);
  EXPECT_EQ(Of(Kind::kUnspecified, "pH 3.4").kind, Kind::kPh);
  EXPECT_EQ(Of(Kind::kUnspecified, "13%").kind, Kind::kAlcohol);
  EXPECT_THAT(Refused(Kind::kUnspecified, "30 mg/L"), HasSubstr("no unit that tells"));
  EXPECT_THAT(Refused(Kind::kUnspecified, "6 g/L"), HasSubstr("no unit that tells"));
  EXPECT_THAT(Refused(Kind::kUnspecified, "1.096"), HasSubstr("no unit that tells"));
}

TEST(ReadingTest, GuessesWhatWasMeant) {
  EXPECT_THAT(Refused(Kind::kPh, "35"), HasSubstr("did you mean pH 3.50?"));
  EXPECT_THAT(Refused(Kind::kPh, "pH 35"), HasSubstr("did you mean pH 3.50?"));
  EXPECT_THAT(Refused(Kind::kDensity, "10.40"), HasSubstr("did you mean 1.040 SG"));
  EXPECT_THAT(Refused(Kind::kDensity, "1096"), HasSubstr("did you mean 1.096 SG or 1096 kg/m3?"));
  EXPECT_THAT(Refused(Kind::kDensity, "24.5"), HasSubstr("24.5 °Bx"));
  EXPECT_THAT(Refused(Kind::kTitratableAcidity, "0.65"),
              HasSubstr("did you mean 6.5 g/L as tartaric?"));
  EXPECT_THAT(Refused(Kind::kAlcohol, "132"), HasSubstr("did you mean 13.2 %vol?"));
  EXPECT_THAT(Refused(Kind::kTemperature, "900 C"), HasSubstr("did you mean 9 °C?"));
}

TEST(ReadingTest, UnusualNeedsItsUnit) {
  EXPECT_THAT(Refused(Kind::kTemperature, "68"),
              AllOf(HasSubstr("is unusual for temperature"), HasSubstr("68 °F"),
                    HasSubstr("write \"68 °C\"")));
  EXPECT_EQ(Of(Kind::kTemperature, "68 °C").value_micro, 68'000'000);
  EXPECT_THAT(Refused(Kind::kPh, "5"), HasSubstr("write \"pH 5.00\""));
  EXPECT_EQ(Of(Kind::kPh, "pH 5.00").value_micro, 5'000'000);
  EXPECT_THAT(Refused(Kind::kDensity, "0.86"), HasSubstr("write \"0.860 SG\""));
  EXPECT_EQ(Of(Kind::kDensity, "0.860 SG").value_micro, 860'000);
}

TEST(ReadingTest, RefusesUnitsOfAnotherKind) {
  EXPECT_THAT(Refused(Kind::kDensity, "20 C"),
              AllOf(HasSubstr("no unit of density"), HasSubstr("SG, kg/m3")));
  EXPECT_THAT(Refused(Kind::kFreeSo2, "0.03 g/L"), HasSubstr("write it in mg/L"));
  EXPECT_THAT(Refused(Kind::kPh, "3.4 g/L"), HasSubstr("no unit of pH"));
  EXPECT_EQ(ParseReading(Kind::kPh, "3.4 g/L").status().code(), absl::StatusCode::kInvalidArgument);
}

TEST(ReadingTest, ReadsACommaByWhatIsPossible) {
  EXPECT_EQ(Of(Kind::kDensity, "1,096").value_micro, 1'096'000);
  EXPECT_EQ(Of(Kind::kDensity, "1,096 kg/m3").value_micro, 1'096'000'000);
  EXPECT_EQ(Of(Kind::kPh, "3,415").value_micro, 3'415'000);
  EXPECT_THAT(Refused(Kind::kTotalSo2, "1,200 mg/L"), HasSubstr("write 1.2 or 1200"));
}

TEST(ReadingTest, RefusesWhatIsNoReading) {
  EXPECT_THAT(Refused(Kind::kPh, ""), HasSubstr("is not a reading"));
  EXPECT_THAT(Refused(Kind::kPh, "sour"), HasSubstr("is not a reading"));
  EXPECT_THAT(Refused(Kind::kPh, "pH 3.4 pH"), HasSubstr("write the unit once"));
  EXPECT_THAT(Refused(Kind::kPh, "3.1234567"), HasSubstr("six decimals"));
  EXPECT_THAT(Refused(Kind::kPh, "99999999999999999"), HasSubstr("far beyond any reading"));
  EXPECT_THAT(Refused(Kind::kFreeSo2, "-3"), HasSubstr("not possible for free SO2"));
}

TEST(ReadingTest, Prints) {
  EXPECT_EQ(FormatReading(1'096'000, RU::kSpecificGravity), "1.096 SG");
  EXPECT_EQ(FormatReading(1'096'500, RU::kSpecificGravity), "1.0965 SG");
  EXPECT_EQ(FormatReading(24'000'000, RU::kBrix), "24.0 °Bx");
  EXPECT_EQ(FormatReading(3'400'000, RU::kPh), "pH 3.40");
  EXPECT_EQ(FormatReading(20'000'000, RU::kCelsius), "20 °C");
  EXPECT_EQ(FormatReading(-1'500'000, RU::kCelsius), "-1.5 °C");
  EXPECT_EQ(FormatReading(30'000'000, RU::kMgPerL), "30 mg/L");
  EXPECT_EQ(FormatReading(5'000'000, RU::kUnspecified), "5");
  EXPECT_EQ(FormatReadingRounded(24'444'444, RU::kCelsius, 1), "24.4 °C");
  EXPECT_EQ(FormatReadingRounded(3'456'789, RU::kPh, 1), "pH 3.5");
}

TEST(ReadingTest, Fahrenheit) {
  EXPECT_EQ(CelsiusOfFahrenheit(68'000'000), 20'000'000);
  EXPECT_EQ(CelsiusOfFahrenheit(76'000'000), 24'444'444);
  EXPECT_EQ(CelsiusOfFahrenheit(-40'000'000), -40'000'000);
  EXPECT_EQ(FahrenheitOfCelsius(20'000'000), 68'000'000);
  EXPECT_EQ(FahrenheitOfCelsius(std::numeric_limits<int64_t>::max()),
            std::numeric_limits<int64_t>::max());
  EXPECT_EQ(FahrenheitOfCelsius(std::numeric_limits<int64_t>::min()),
            std::numeric_limits<int64_t>::min());
}

TEST(ReadingTest, KindsByWord) {
  EXPECT_EQ(*ParseReadingKind("sg"), Kind::kDensity);
  EXPECT_EQ(*ParseReadingKind("pH"), Kind::kPh);
  EXPECT_EQ(*ParseReadingKind("Free SO2"), Kind::kFreeSo2);
  EXPECT_EQ(*ParseReadingKind("tso2"), Kind::kTotalSo2);
  EXPECT_THAT(ParseReadingKind("colour").status().message(), HasSubstr("write one of density"));
  for (const ReadingKindInfo& info : AllReadingKinds()) {
    EXPECT_EQ(*ParseReadingKind(info.name), info.kind) << info.name;
    EXPECT_EQ(ReadingKindName(info.kind), info.name);
  }
}

TEST(ReadingTest, TheTableIsSound) {
  for (const ReadingRow& row : AllReadingRows()) {
    EXPECT_NE(ReadingUnitSymbol(row.unit), "");
    EXPECT_LE(row.possible.low_micro, row.usual.low_micro);
    EXPECT_LT(row.usual.low_micro, row.usual.high_micro);
    EXPECT_LE(row.usual.high_micro, row.possible.high_micro);
  }
}

RC_GTEST_PROP(ReadingProperty, PrintedReadingsReadBack, ()) {
  const size_t index = *rc::gen::inRange<size_t>(0, AllReadingRows().size());
  const ReadingRow& row = AllReadingRows()[index];
  const Reading reading{
      row.kind, row.unit,
      *rc::gen::inRange<int64_t>(row.possible.low_micro, row.possible.high_micro + 1)};
  const absl::StatusOr<Reading> back =
      ParseReading(row.kind, FormatReading(reading.value_micro, row.unit));
  RC_ASSERT(back.ok());
  RC_ASSERT(*back == reading);
}

RC_GTEST_PROP(ReadingProperty, FahrenheitThereAndBack, ()) {
  // A millionth of a Celsius degree is 1.8 of a Fahrenheit degree: from Celsius nothing is lost.
  const int64_t celsius_micro = *rc::gen::inRange<int64_t>(-100'000'000, 200'000'000);
  RC_ASSERT(CelsiusOfFahrenheit(FahrenheitOfCelsius(celsius_micro)) == celsius_micro);
}

}  // namespace
}  // namespace rundlet
