// Goal: what people write beside a vessel is read as the number they meant, or refused with a word
// of what to write; what is printed for programs is JSON. Method: texts of every kind of input
// against numbers worked out by hand; JSON is read back with the protobuf parser.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

#include "client/numbers/inputs.h"
#include "client/numbers/print_answer.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

double Read(InputKind kind, const std::string& text) {
  const auto value = ReadInput(kind, text);
  EXPECT_TRUE(value.ok()) << text << ": " << value.status();
  return value.value_or(std::nan(""));
}

std::string Refusal(InputKind kind, const std::string& text) {
  const auto value = ReadInput(kind, text);
  EXPECT_FALSE(value.ok()) << text << " was taken for " << *value;
  return std::string(value.status().message());
}

struct Case {
  InputKind kind;
  const char* text;
  double value;
};

// Amounts are kept in whole microlitres and micrograms, readings in millionths.
double Rounding(InputKind kind) {
  switch (kind) {
    case InputKind::kVolumeL:
    case InputKind::kMassG:
      return 0.51e-6;
    case InputKind::kVolumeMl:
      return 0.51e-3;
    default:
      return 1e-12;
  }
}

TEST(InputsTest, EveryKindInEveryUnit) {
  const Case kCases[] = {
      {InputKind::kNumber, "10.4", 10.4},       {InputKind::kNumber, "-1.5", -1.5},
      {InputKind::kNumber, "1 1/2", 1.5},       {InputKind::kGravity, "1.090", 1.09},
      {InputKind::kGravity, "1.090SG", 1.09},   {InputKind::kTemperature, "20", 20},
      {InputKind::kTemperature, "20 °C", 20},   {InputKind::kTemperature, "68F", 20},
      {InputKind::kTemperature, "14 °F", -10},  {InputKind::kPh, "3.4", 3.4},
      {InputKind::kPh, "pH 3.4", 3.4},          {InputKind::kMgPerL, "30", 30},
      {InputKind::kMgPerL, "30mg/L", 30},       {InputKind::kMgPerL, "30 PPM", 30},
      {InputKind::kMgPerL, "0.3g/L", 300},      {InputKind::kGPerL, "220", 220},
      {InputKind::kGPerL, "220 g/l", 220},      {InputKind::kGPerL, "500mg/L", 0.5},
      {InputKind::kGPerL, "25g/hL", 0.25},      {InputKind::kAcidity, "6.2", 6.2},
      {InputKind::kAcidity, "6.2g/L", 6.2},     {InputKind::kPercent, "12.5", 12.5},
      {InputKind::kPercent, "12.5%", 12.5},     {InputKind::kPercent, "12.5 % vol", 12.5},
      {InputKind::kVolumeL, "23L", 23},         {InputKind::kVolumeL, "500 mL", 0.5},
      {InputKind::kVolumeL, "1.5hL", 150},      {InputKind::kVolumeL, "5gal", 5 * 3.785411784},
      {InputKind::kVolumeMl, "10.4mL", 10.4},   {InputKind::kVolumeMl, "1L", 1000},
      {InputKind::kMassG, "0.44g", 0.44},       {InputKind::kMassG, "550mg", 0.55},
      {InputKind::kMassG, "1oz", 28.349523125}, {InputKind::kLengthCm, "60", 60},
      {InputKind::kLengthCm, "60cm", 60},       {InputKind::kLengthCm, "600 mm", 60},
      {InputKind::kLengthCm, "0.6m", 60},       {InputKind::kLengthCm, "24in", 60.96},
      {InputKind::kRoomM3, "30m3", 30},         {InputKind::kRoomM3, "30000L", 30},
  };
  for (const Case& one : kCases)
    EXPECT_NEAR(Read(one.kind, one.text), one.value, Rounding(one.kind)) << one.text;
}

TEST(InputsTest, TheDecimalCommaIsAPoint) {
  EXPECT_DOUBLE_EQ(Read(InputKind::kNumber, "18,5"), 18.5);
  EXPECT_DOUBLE_EQ(Read(InputKind::kGravity, "1,090"), 1.09);
  EXPECT_DOUBLE_EQ(Read(InputKind::kTemperature, "20,5 C"), 20.5);
  EXPECT_DOUBLE_EQ(Read(InputKind::kPh, "3,4"), 3.4);
  EXPECT_DOUBLE_EQ(Read(InputKind::kPercent, "12,5%"), 12.5);
  EXPECT_DOUBLE_EQ(Read(InputKind::kVolumeMl, "10,4mL"), 10.4);
  EXPECT_DOUBLE_EQ(Read(InputKind::kLengthCm, "60,5cm"), 60.5);
}

TEST(InputsTest, GravityTakesOtherScales) {
  EXPECT_NEAR(Read(InputKind::kGravity, "90Oechsle"), 1.09, 1e-9);
  // 998.203 kg/m3 is water at 20 C.
  EXPECT_NEAR(Read(InputKind::kGravity, "1088.04kg/m3"), 1.09, 1e-4);
  EXPECT_NEAR(Read(InputKind::kGravity, "1.08804 g/mL"), 1.09, 1e-4);
  EXPECT_NEAR(Read(InputKind::kGravity, "12Be"), 145.0 / (145 - 12), 2e-3);
  EXPECT_NEAR(Read(InputKind::kGravity, "0Brix"), 1, 1e-5);
}

TEST(InputsTest, AcidityTakesOtherAcids) {
  // Equivalent masses: tartaric 75.04, sulfuric 49.04, malic 67.04 g.
  EXPECT_NEAR(Read(InputKind::kAcidity, "4 g/L as sulfuric"), 4 * 75.04 / 49.04, 5e-3);
  EXPECT_NEAR(Read(InputKind::kAcidity, "5 g/L as malic"), 5 * 75.04 / 67.04, 5e-3);
}

TEST(InputsTest, AScaleIsKept) {
  const auto brix = ReadScale("22 Brix");
  ASSERT_TRUE(brix.ok());
  EXPECT_EQ(brix->scale, oenology::Scale::kBrix);
  EXPECT_EQ(brix->value, 22);
  EXPECT_EQ(ReadScale("22°P")->scale, oenology::Scale::kPlato);
  EXPECT_EQ(ReadScale("12Be")->scale, oenology::Scale::kBaume);
  EXPECT_EQ(ReadScale("90Oe")->scale, oenology::Scale::kOechsle);
  EXPECT_EQ(ReadScale("1.090")->scale, oenology::Scale::kGravity);
  EXPECT_DOUBLE_EQ(ReadScale("1090kg/m3")->value, ReadScale("1.090g/mL")->value);
}

TEST(InputsTest, NonsenseIsRefusedWithAGuess) {
  EXPECT_THAT(Refusal(InputKind::kPh, "35"), HasSubstr("3.5"));
  EXPECT_THAT(Refusal(InputKind::kGravity, "10.40"), HasSubstr("1.040 SG"));
  EXPECT_THAT(Refusal(InputKind::kTemperature, "760F"), HasSubstr("76 °F"));
  EXPECT_THAT(Refusal(InputKind::kGravity, "220Brix"), HasSubstr("22.0 °Bx"));
}

TEST(InputsTest, AnotherUnitIsRefusedWithTheOnesThatFit) {
  EXPECT_THAT(Refusal(InputKind::kMgPerL, "30g"), HasSubstr("mg/L, ppm, g/hL, g/L"));
  EXPECT_THAT(Refusal(InputKind::kPercent, "12 proof"), HasSubstr("write %"));
  EXPECT_THAT(Refusal(InputKind::kLengthCm, "60L"), HasSubstr("cm, mm, m, in"));
  EXPECT_THAT(Refusal(InputKind::kNumber, "68Brix"), HasSubstr("write the number alone"));
  EXPECT_THAT(Refusal(InputKind::kVolumeL, "23"), HasSubstr("has no unit"));
  EXPECT_THAT(Refusal(InputKind::kMassG, "23L"), HasSubstr("23L"));
  EXPECT_THAT(Refusal(InputKind::kTemperature, "20Brix"), HasSubstr("20Brix"));
}

TEST(InputsTest, WhatIsNoNumberIsNone) {
  for (const InputKind kind :
       {InputKind::kNumber, InputKind::kGravity, InputKind::kTemperature, InputKind::kPh,
        InputKind::kMgPerL, InputKind::kGPerL, InputKind::kAcidity, InputKind::kPercent,
        InputKind::kVolumeL, InputKind::kVolumeMl, InputKind::kMassG, InputKind::kLengthCm,
        InputKind::kRoomM3}) {
    for (const char* text : {"", " ", "nan", "inf", "-inf", "1e300", "banana", "1.2.3", "--",
                             "0x10", "12345678901234567890123", "5/0", "\xF0\x9F\x8D\x87"}) {
      EXPECT_FALSE(Refusal(kind, text).empty()) << text;
    }
  }
}

// An answer with everything that could break a reader of JSON.
oenology::Answer AwkwardAnswer() {
  oenology::Answer answer;
  answer.Add("sugar \"left\"", -0.04, 1, "g/L", 2.5);
  answer.Add("wine in \\ C1", 20, 0, "mL");
  answer.Step("1 < 2\tand so on\n");
  answer.Assume("rosé at 20 °C");
  answer.Warn("mind \x01 this");
  answer.Mind(oenology::Caution::kSulfurDioxide);
  answer.Rest(oenology::kGravity);
  return answer;
}

TEST(PrintAnswerTest, JsonIsJson) {
  google::protobuf::Struct json;
  const std::string text = JsonOfAnswer(AwkwardAnswer());
  const auto status = google::protobuf::util::JsonStringToMessage(text, &json);
  ASSERT_TRUE(status.ok()) << status.ToString() << "\n" << text;
  const auto& fields = json.fields();
  const auto& figure = fields.at("figures").list_value().values(0).struct_value().fields();
  EXPECT_EQ(figure.at("label").string_value(), "sugar \"left\"");
  EXPECT_EQ(figure.at("value").number_value(), 0);
  EXPECT_EQ(figure.at("unit").string_value(), "g/L");
  EXPECT_EQ(figure.at("error").number_value(), 2.5);
  EXPECT_FALSE(
      fields.at("figures").list_value().values(1).struct_value().fields().contains("error"));
  EXPECT_EQ(fields.at("working").list_value().values(0).string_value(), "1 < 2\tand so on\n");
  EXPECT_EQ(fields.at("assumptions").list_value().values(0).string_value(), "rosé at 20 °C");
  EXPECT_EQ(fields.at("warnings").list_value().values(0).string_value(), "mind \x01 this");
  EXPECT_EQ(fields.at("cautions").list_value().values_size(), 1);
  const auto& equation = fields.at("equations").list_value().values(0).struct_value().fields();
  for (const char* name : {"id", "name", "formula", "range", "error", "source", "standing"})
    EXPECT_FALSE(equation.at(name).string_value().empty()) << name;
}

TEST(PrintAnswerTest, AnEmptyAnswerIsJsonToo) {
  google::protobuf::Struct json;
  EXPECT_TRUE(google::protobuf::util::JsonStringToMessage(JsonOfAnswer({}), &json).ok());
  EXPECT_EQ(json.fields_size(), 6);
}

struct Printed {
  std::string out, err;
};

Printed Print(const oenology::Answer& answer, const AnswerOptions& options) {
  std::ostringstream out, err;
  Environment env;
  env.out = &out;
  env.err = &err;
  Session session{.env = env};
  PrintAnswer(answer, options, session);
  return {out.str(), err.str()};
}

TEST(PrintAnswerTest, FiguresOnTheLeftTheRestApart) {
  const Printed plain = Print(AwkwardAnswer(), {});
  EXPECT_THAT(plain.out,
              AllOf(HasSubstr("sugar \"left\"  0.0 g/L, give or take 2.5\n"),
                    HasSubstr("wine in \\ C1  20 mL\n"), Not(HasSubstr("How it came about"))));
  EXPECT_THAT(plain.err, AllOf(HasSubstr("note: mind"), HasSubstr("caution: ")));
}

TEST(PrintAnswerTest, ExplainGivesWorkingAssumptionsAndSources) {
  const Printed explained = Print(AwkwardAnswer(), {.explain = true});
  EXPECT_THAT(explained.out,
              AllOf(HasSubstr("How it came about\n  1 < 2"), HasSubstr("Taken for granted\n  rosé"),
                    HasSubstr("It rests on\n  "), HasSubstr(oenology::kGravity.source),
                    HasSubstr(oenology::kGravity.range)));
  EXPECT_THAT(explained.err, HasSubstr(CautionMore(oenology::Caution::kSulfurDioxide)));
}

TEST(PrintAnswerTest, AmountsInKitchenUnitsToo) {
  oenology::Answer answer;
  answer.Add("potassium metabisulfite", 28.3, 1, "g");
  answer.Add("total SO2", 40, 0, "mg/L");
  EXPECT_THAT(Print(answer, {.amount_first = true}).out,
              AllOf(HasSubstr("28.3 g (~0.998 oz)\n"), HasSubstr("40 mg/L\n")));
  EXPECT_THAT(Print(answer, {}).out, HasSubstr("28.3 g\n"));
}

}  // namespace
}  // namespace rundlet::client
