#include "core/rules/limits.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"
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
  absl::flat_hash_set<absl::string_view> replaced;
  for (const Limit* limit : applying) {
    replaced.insert(limit->instead_of.begin(), limit->instead_of.end());
  }
  applying.erase(std::remove_if(applying.begin(), applying.end(),
                                [&](const Limit* limit) { return replaced.contains(limit->id); }),
                 applying.end());
}

}  // namespace

absl::Span<const Limit> AllLimits() { return TheLibrary().limits; }

absl::Span<const std::string> KnownJurisdictions() { return TheLibrary().jurisdictions; }

LimitsFound LimitsFor(absl::Span<const std::string> jurisdictions, v1::Substance substance,
                      const WineClass& wine) {
  const absl::flat_hash_set<absl::string_view> asked(jurisdictions.begin(), jurisdictions.end());
  absl::flat_hash_set<absl::string_view> spoke;
  LimitsFound found;
  const auto about = TheLibrary().by_substance.find(substance);
  if (about != TheLibrary().by_substance.end()) {
    for (const Limit* limit : about->second) {
      if (!asked.contains(limit->jurisdiction)) continue;
      spoke.insert(limit->jurisdiction);
      Fit fit = FitOf(limit->scope, wine);
      if (fit.applies()) {
        found.applying.push_back(limit);
      } else if (fit.possible) {
        found.possible.push_back({limit, std::move(fit.missing)});
      }
    }
  }
  LeaveOutReplaced(found.applying);
  for (const std::string& code : jurisdictions) {
    if (spoke.insert(code).second) found.silent.push_back(code);
  }
  return found;
}

}  // namespace rundlet::rules
