#ifndef RUNDLET_CLIENT_DOSE_DOSE_SUBJECT_H_
#define RUNDLET_CLIENT_DOSE_DOSE_SUBJECT_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/dose/wine_at_hand.h"
#include "client/numbers/inputs.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"

namespace rundlet::client {

// What a dose is reckoned from.
struct DoseCase {
  const Fold& fold;
  const WineAtHand& wine;
  const Values& values;             // what was said and what the readings gave
  const v1::Material* material;     // that is at hand for it; nullptr: none is registered
  std::vector<std::string>* notes;  // what else to say
};

// One thing that `rundlet dose` works out for the wine in a vessel. The first figure of the answer
// is the amount to add.
struct DoseSubject {
  const char* word;   // "sulfite"
  const char* about;  // one line
  std::vector<Need> needs;
  std::vector<Input> inputs;
  const char* material_kind;  // of the material that is added: "sulfite"
  const char* usual_name;     // its usual name, where none is registered; "": not to be recorded
  absl::StatusOr<oenology::Answer> (*work)(const DoseCase&);
};

// All subjects, in the order in which they are listed. Each part of the list has a file of its own.
const std::vector<DoseSubject>& AllDoseSubjects();

std::vector<DoseSubject> SulfiteDoses();
std::vector<DoseSubject> AcidDoses();
std::vector<DoseSubject> SugarDoses();
std::vector<DoseSubject> FiningDoses();
std::vector<DoseSubject> FermentingDoses();

// A need that several subjects have.
Need NeedPh(bool required = true);
Need NeedAcidity(bool required = true);
Need NeedFreeSo2(bool required = true);
Need NeedAlcohol(bool required = true);
Need NeedTemperature();
Need NeedGravity();

// Brix of a specific gravity.
absl::StatusOr<double> BrixOf(double gravity);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_DOSE_SUBJECT_H_
