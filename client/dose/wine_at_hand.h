#ifndef RUNDLET_CLIENT_DOSE_WINE_AT_HAND_H_
#define RUNDLET_CLIENT_DOSE_WINE_AT_HAND_H_

#include <optional>
#include <string>

#include "absl/status/statusor.h"
#include "client/numbers/inputs.h"
#include "core/fold/fold.h"
#include "core/quantity/when.h"
#include "core/view/wine_story.h"

namespace rundlet::client {

// One property of a wine that a dose is reckoned by, and the reading that gives it.
struct Need {
  const char* key;  // of the value: "ph"; the option "--ph" says it instead
  v1::ReadingKind reading;
  InputKind kind;
  const char* about;        // of the option; "": there is none
  const char* how_to_read;  // what to write after `rundlet read VESSEL`: "ph=3.40"
  bool required = true;
};

// The wine in a vessel as the book knows it, for those who reckon a dose.
class WineAtHand {
 public:
  // `vessel` holds wine; FailedPrecondition otherwise. `now` tells the age of readings.
  static absl::StatusOr<WineAtHand> Of(const Fold& fold, Handle vessel, const When& now);

  double volume_l() const { return volume_l_; }
  const std::string& vessel() const { return name_; }
  // Its lot; an empty one where nobody has said.
  const v1::Lot& lot() const;
  // Sugar left, by the latest reading that still holds.
  std::optional<double> SugarGL() const;

  // Gives `values` what the need asks for, unless a person has said it, and notes where it comes
  // from in `origins`. A reading that is missing or overtaken is never used: if it is required,
  // FailedPrecondition names it, the reason and the command that takes it; else `gaps` does.
  absl::Status Fill(const Need& need, Values& values, std::vector<std::string>& origins,
                    std::vector<std::string>& gaps) const;

  // Total SO2 in mg/L as the book has it: the latest reading and what was added since; without a
  // reading what was added in all, which is the least it can be. Nothing where a topping or a
  // sulfite of unknown yield came between.
  struct Total {
    double mg_l = 0;
    bool at_least = false;
  };
  std::optional<Total> TotalSo2() const;

  // How much of what the materials of the vessel's wine brought, by `part_of` (a part of the mass
  // of each, 0 for those that do not count), in mg/L.
  double AddedMgL(double (*part_of)(const v1::Material&)) const;

 private:
  const Fold* fold_ = nullptr;
  Handle handle_ = kNoHandle;
  std::string name_;
  double volume_l_ = 0;
  When now_;
  std::vector<KnownReading> readings_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_WINE_AT_HAND_H_
