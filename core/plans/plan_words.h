#ifndef RUNDLET_CORE_PLANS_PLAN_WORDS_H_
#define RUNDLET_CORE_PLANS_PLAN_WORDS_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

// The words in which plans are written and shown.

// What fulfils a step, by the command that writes it: "rack", "treat degas", "treat" for any
// treatment; "" where nothing does by itself.
std::string ActWord(v1::StepAct act, v1::TreatmentKind treatment);

struct ActMeant {
  v1::StepAct act = v1::STEP_ACT_UNSPECIFIED;
  v1::TreatmentKind treatment = v1::TREATMENT_KIND_UNSPECIFIED;
};
// The other way round; empty for a word that is none.
std::optional<ActMeant> ReadActWord(absl::string_view words);
// All of them, for messages.
std::vector<std::string> AllActWords();

// "14 days", "36 hours": days where they are whole.
std::string FormatWait(int64_t hours);
// The same as people write it: a whole number of hours, days or weeks, in a short form or a long
// one ("36h", "2 weeks", "1 day"). InvalidArgument, with what to write, for everything else and for
// what is longer than five years.
absl::StatusOr<int32_t> ParseWait(absl::string_view text);

// "density at most 0.998 SG, 2 readings 2 days apart".
std::string FormatGate(const v1::StepGate& gate);
absl::StatusOr<v1::StepGate> ParseGate(absl::string_view text);

// "0.25 g/L", "12 g" for the whole vessel.
std::string FormatDose(const v1::StepDose& dose);
// "white wine yeast = 0.25 g/L".
absl::StatusOr<v1::StepDose> ParseDose(absl::string_view text);

// The word by which `rundlet read` takes a kind of reading: "density", "ta".
std::string ReadingCommandWord(v1::ReadingKind kind);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_WORDS_H_
