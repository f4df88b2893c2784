#include "core/rules/limits.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "core/rules/data_file.h"
#include "core/rules/limit_file.h"

namespace rundlet::rules {
namespace {

struct Library {
  std::vector<Limit> limits;
  std::vector<std::string> jurisdictions;
  absl::flat_hash_map<int, std::vector<const Limit*>> by_substance;
};

// The files are part of the program, and a test reads them: a fault in one is a fault of the build.
const Library* ReadLibrary() {
  absl::StatusOr<std::vector<Limit>> limits = ReadLimitFiles(LimitFiles());
  if (!limits.ok()) {
    std::fprintf(stderr, "built-in limits: %s\n", std::string(limits.status().message()).c_str());
    std::abort();
  }
  auto* const library = new Library{.limits = *std::move(limits)};
  for (const Limit& limit : library->limits) {
    for (const v1::Substance substance : limit.substances) {
      library->by_substance[substance].push_back(&limit);
    }
    if (library->jurisdictions.empty() || library->jurisdictions.back() != limit.jurisdiction) {
      library->jurisdictions.push_back(limit.jurisdiction);
    }
  }
  return library;
}

const Library& TheLibrary() {
  static const Library* const kLibrary = ReadLibrary();
  return *kLibrary;
}

void LeaveOutReplaced(std::vector<const Limit*>& applying) {
  const auto replaced = [all = applying](const Limit* limit) {
    return std::any_of(all.begin(), all.end(), [limit](const Limit* other) {
      return std::find(other->instead_of.begin(), other->instead_of.end(), limit->id) !=
             other->instead_of.end();
    });
  };
  std::erase_if(applying, replaced);
}

}  // namespace

absl::Span<const Limit> AllLimits() { return TheLibrary().limits; }

absl::Span<const std::string> KnownJurisdictions() { return TheLibrary().jurisdictions; }

LimitsFound LimitsFor(absl::Span<const std::string> jurisdictions, v1::Substance substance,
                      const WineClass& wine) {
  // Jurisdictions are few: looking through them is quicker than a set of them.
  std::vector<bool> spoke(jurisdictions.size(), false);
  LimitsFound found;
  const auto about = TheLibrary().by_substance.find(substance);
  if (about != TheLibrary().by_substance.end()) {
    for (const Limit* limit : about->second) {
      const auto asked = std::find(jurisdictions.begin(), jurisdictions.end(), limit->jurisdiction);
      if (asked == jurisdictions.end()) continue;
      spoke[static_cast<size_t>(asked - jurisdictions.begin())] = true;
      Fit fit = FitOf(limit->scope, wine);
      if (fit.applies()) {
        found.applying.push_back(limit);
      } else if (fit.possible) {
        found.possible.push_back({limit, std::move(fit.missing)});
      }
    }
  }
  LeaveOutReplaced(found.applying);
  for (size_t i = 0; i < jurisdictions.size(); ++i) {
    // The first of a code that is given twice speaks for both.
    const bool first = std::find(jurisdictions.begin(), jurisdictions.end(), jurisdictions[i]) ==
                       jurisdictions.begin() + static_cast<std::ptrdiff_t>(i);
    if (first && !spoke[i]) found.silent.push_back(jurisdictions[i]);
  }
  return found;
}

}  // namespace rundlet::rules
