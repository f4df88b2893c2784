#ifndef RUNDLET_CLIENT_COMMANDS_BOTTLE_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_BOTTLE_WORDS_H_

#include <string>

#include "client/cli/command.h"
#include "client/cli/planner.h"

namespace rundlet::client {

// Bottles of one run and size, and the bin that is meant.
struct FoundBottles {
  Uuid bottling;
  int64_t size_ul = 0;
  Uuid bin;
  int64_t in_bin = 0;  // how many the book has there
};

// What a person means by a run ("Orchard White 26", or "Orchard White 26@375mL" where it was filled
// into several sizes) in a bin. Without a bin, the one in which all bottles of it lie. The run must
// have been bottled.
absl::StatusOr<FoundBottles> FindBottles(const Planner& planner, absl::string_view run,
                                         absl::string_view bin);

// The same where the bin need not hold any yet.
absl::StatusOr<FoundBottles> FindBottlesFor(const Planner& planner, absl::string_view run,
                                            absl::string_view bin);

// The words of commands that take bottles out of a bin: which run, how many, from where.
struct BottleChoice {
  std::string run, count, from;

  void Declare(CLI::App& app, const std::string& count_help = "how many, or all");
  struct Chosen {
    FoundBottles found;
    int64_t count = 0;
    v1::Bottles bottles;
  };
  absl::StatusOr<Chosen> Read(const Planner& planner) const;
};

// The bottles of a run that stand opened: `in_bin` says how many, `bin` nothing. NotFound where
// there are none.
absl::StatusOr<FoundBottles> FindOpened(const Planner& planner, absl::string_view run);

// Says so where a bin would hold more bottles than find room in it.
void WarnIfFull(const Planner& planner, const Uuid& bin, int64_t more, Change& change);

// "Harrow White 1=6 from Rack A": a run, how many, and a bin behind a word; each may be missing.
struct RunWord {
  std::string run, count, bin;
};
RunWord SplitRunWord(absl::string_view word, absl::string_view preposition);

// A number of bottles: "12", or "all" of `in_bin`.
absl::StatusOr<int64_t> ReadBottleCount(absl::string_view word, int64_t in_bin);

v1::Bottles ToBottles(const FoundBottles& found, int64_t count);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_BOTTLE_WORDS_H_
