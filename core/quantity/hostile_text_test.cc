// Goal: no text, however broken, crashes a reader or gets a malformed message out of it.
// Method: random bytes, and true inputs with random damage, into every reader; run under the
// sanitizers in those builds. The seed is printed and can be set with RUNDLET_SEED.
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/rate.h"
#include "core/quantity/reading.h"
#include "core/quantity/text.h"
#include "core/quantity/when.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

constexpr int kRounds = 20'000;

uint64_t Seed() {
  const char* const given = std::getenv("RUNDLET_SEED");
  const uint64_t seed =
      given != nullptr ? std::strtoull(given, nullptr, 10) : std::random_device()();
  std::printf("RUNDLET_SEED=%llu\n", static_cast<unsigned long long>(seed));
  return seed;
}

const std::vector<std::string>& TrueInputs() {
  static const auto* const inputs =
      new std::vector<std::string>{"18.5L",
                                   "1 1/2 tsp",
                                   "1½ tsp",
                                   "1,500 L",
                                   "12 bottles",
                                   "5 imp. gal",
                                   "0.5g/L",
                                   "1 oz/5gal",
                                   "20 g per hL",
                                   "30 ppm",
                                   "1.096",
                                   "24.5 °Bx",
                                   "pH 3.4",
                                   "1096 kg/m³",
                                   "6.2 g/L as malic",
                                   "13.2%",
                                   "yesterday 9:30",
                                   "last fri 18:00",
                                   "2h ago",
                                   "3 days ago 14:00",
                                   "2:30 pm",
                                   "999999999999999999 t",
                                   "2026-03-02T14:00:00.123456+01:00"};
  return *inputs;
}

std::string Damaged(std::mt19937_64& random) {
  std::string text = TrueInputs()[random() % TrueInputs().size()];
  for (uint64_t hits = random() % 4; hits > 0; --hits) {
    const size_t at = random() % (text.size() + 1);
    const char byte = static_cast<char>(random() % 256);
    const std::string& other = TrueInputs()[random() % TrueInputs().size()];
    switch (random() % 4) {
      case 0:
        text.insert(at, 1, byte);
        break;
      case 1:
        text.erase(at, random() % 3);
        break;
      case 2:
        text.insert(at, other.substr(random() % other.size(), random() % 6));
        break;
      default:
        text.insert(at, random() % 30, static_cast<char>('0' + random() % 10));
    }
  }
  return text;
}

std::string RandomBytes(std::mt19937_64& random) {
  std::string text(random() % 40, '\0');
  for (char& c : text) c = static_cast<char>(random() % 256);
  return text;
}

// Errors are for people, and travel in messages that must be UTF-8 without control characters.
// Quoted() escapes what is not (number_test.cc), so a clean message passes through it unchanged.
void CheckStatus(const absl::Status& status, const std::string& text) {
  if (status.ok()) return;
  EXPECT_TRUE(absl::IsInvalidArgument(status) || absl::IsOutOfRange(status)) << status;
  EXPECT_FALSE(status.message().empty());
  absl::string_view rest = status.message();
  while (!rest.empty()) {
    const uint8_t lead = static_cast<uint8_t>(rest[0]);
    const size_t length = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    ASSERT_EQ(Quoted(rest.substr(0, length)), "\"" + std::string(rest.substr(0, length)) + "\"")
        << Quoted(text);
    rest.remove_prefix(length);
  }
}

void FeedAll(const std::string& text) {
  const absl::StatusOr<Amount> amount = ParseAmount(text);
  CheckStatus(amount.status(), text);
  if (amount.ok()) {
    EXPECT_GT(amount->base, 0);
    EXPECT_LE(amount->base, MaxBase(amount->dimension));
    FormatAmount(*amount, UnitSystem::kUs);
  }
  CheckStatus(ParseVolume(text).status(), text);
  CheckStatus(ParseMass(text).status(), text);
  CheckStatus(ParseCount(text).status(), text);

  const absl::StatusOr<Rate> rate = ParseRate(text);
  CheckStatus(rate.status(), text);
  if (rate.ok()) {
    CheckStatus(rate->Times(18'500'000).status(), text);
    CheckStatus(rate->Times(INT64_MAX).status(), text);
    EXPECT_FALSE(FormatRate(*rate).empty());
  }
  for (int kind = -1; kind <= 10; ++kind) {  // one beyond either end
    const absl::StatusOr<Reading> reading = ParseReading(static_cast<ReadingKind>(kind), text);
    CheckStatus(reading.status(), text);
    if (reading.ok()) {
      EXPECT_FALSE(FormatReading(reading->value_micro, reading->unit).empty());
    }
  }
  CheckStatus(ParseReadingKind(text).status(), text);

  const When now{1'772'445'600'000'000, 60};
  const absl::StatusOr<When> when = ParseWhen(text, now);
  CheckStatus(when.status(), text);
  if (when.ok()) {
    EXPECT_LE(when->at_us, now.at_us + 60'000'000);
  }
  CheckStatus(ParseWhen(text, now, {.allow_future = true}).status(), text);
}

TEST(HostileTextTest, RandomBytes) {
  std::mt19937_64 random(Seed());
  for (int i = 0; i < kRounds && !HasFailure(); ++i) FeedAll(RandomBytes(random));
}

TEST(HostileTextTest, DamagedTrueInputs) {
  std::mt19937_64 random(Seed());
  for (int i = 0; i < kRounds && !HasFailure(); ++i) FeedAll(Damaged(random));
}

TEST(HostileTextTest, VeryLongTexts) {
  for (const char* piece : {"9", " ", "1,", "a", "½", "/", "\xff", "1 ", "ago ", "-"}) {
    std::string text;
    while (text.size() < 100'000) text += piece;
    FeedAll(text);
  }
}

}  // namespace
}  // namespace rundlet
