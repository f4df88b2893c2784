#include "client/cli/standpoint_words.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/time/civil_time.h"
#include "core/quantity/when.h"

namespace rundlet::client {
namespace {

struct Said {
  int64_t until_us = INT64_MAX;
  std::string words;  // "2026-03-02 14:00", "the end of 2026-03-02"
};

// A day without a time is all of it.
absl::StatusOr<Said> ReadMoment(const std::string& option, const std::string& word,
                                const Session& session) {
  const When now = session.env.Now();
  const absl::TimeZone& zone = session.env.zone;
  const auto midnight = ParseWhen(absl::StrCat(word, " 00:00"), now, zone, {.allow_future = true});
  if (midnight.ok()) {
    const absl::CivilDay day = absl::ToCivilDay(absl::FromUnixMicros(midnight->at_us), zone);
    return Said{.until_us = absl::ToUnixMicros(absl::FromCivil(day + 1, zone)) - 1,
                .words = absl::StrCat("the end of ", absl::FormatCivilTime(day))};
  }
  const auto when = ParseWhen(word, now, zone, {.allow_future = true});
  if (!when.ok()) {
    return absl::Status(when.status().code(), absl::StrCat(option, ": ", when.status().message()));
  }
  return Said{.until_us = when->at_us, .words = FormatWhen(*when)};
}

}  // namespace

void StandpointWords::Declare(CLI::App& app, bool shown) {
  CLI::Option* when =
      app.add_option("--as-of", as_of, "only what happened until then: '2026-03-02 14:00'; a day")
          ->type_name("TIME");
  CLI::Option* known =
      app.add_option("--known-at", known_at, "only what was known then, whatever is known by now")
          ->type_name("TIME");
  if (shown) return;
  when->group("");
  known->group("");
}

absl::Status ShowFrom(const StandpointWords& words, Session& session,
                      const std::function<void(const std::string& sentence)>& head,
                      const std::function<absl::Status(Cellar&, Session&)>& show) {
  Standpoint standpoint;
  std::string sentence = "the cellar as it is by now";
  if (!words.as_of.empty()) {
    const auto said = ReadMoment("--as-of", words.as_of, session);
    if (!said.ok()) return said.status();
    standpoint.happened_us = said->until_us;
    sentence = absl::StrCat("the cellar as of ", said->words);
  }
  if (words.known_at.empty()) {
    absl::StrAppend(&sentence, ", by all that is known now");
  } else {
    const auto said = ReadMoment("--known-at", words.known_at, session);
    if (!said.ok()) return said.status();
    standpoint.known_us = said->until_us;
    sentence = absl::StrCat(words.as_of.empty() ? "the cellar" : sentence, " as it was known at ",
                            said->words);
  }
  auto cellar = OpenAndReport(session);
  if (!cellar.ok()) return cellar.status();
  if (standpoint.is_now()) return show(*cellar, session);
  if (absl::Status looked = LookFrom(standpoint, *cellar); !looked.ok()) return looked;
  head(sentence);

  const absl::Time then = absl::FromUnixMicros(
      std::min({standpoint.happened_us, standpoint.known_us, session.env.Now().at_us}));
  Environment env = session.env;
  env.clock = [then] { return then; };
  Session past{.env = env, .after_dashes = session.after_dashes, .exit_code = session.exit_code};
  const absl::Status shown = show(*cellar, past);
  session.exit_code = past.exit_code;
  return shown;
}

}  // namespace rundlet::client
