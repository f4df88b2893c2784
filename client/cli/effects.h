#ifndef RUNDLET_CLIENT_CLI_EFFECTS_H_
#define RUNDLET_CLIENT_CLI_EFFECTS_H_

#include <ostream>
#include <string>
#include <vector>

#include "client/cellar/glance.h"
#include "client/cli/json.h"
#include "core/entry/writer.h"
#include "core/fold/fold.h"

namespace rundlet::client {

// What a change does to the cellar, worked out before it is saved.
struct Effects {
  struct Flow {
    std::string account;  // "lees"
    bool out = true;      // false: came in from there
    int64_t volume_ul = 0;
  };
  struct Other {
    std::string entry_id;
    std::string text;  // what it says, and why it is held
  };

  std::string summary;                          // a sentence an entry
  std::vector<Glance::Difference> differences;  // as the cellar stands now
  std::vector<Flow> flows;        // wine that left for, or came from, outside the vessels
  std::string held;               // why the change itself is without effect; empty if it has one
  std::string held_evidence;      // the same without what to do about it
  std::vector<Other> newly_held;  // other entries that it leaves without effect
  std::vector<Other> lifted;      // other entries that take effect by it
  std::vector<std::string> warnings;
};

// `fold` has taken `written` in already; `before` was taken before that. `entry_of` reads other
// entries.
Effects WorkOutEffects(const Fold& fold, const Glance& before,
                       const std::vector<WrittenEntry>& written,
                       absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)> entry_of);

void PrintEffects(const Effects& effects, std::ostream& out);
void AddEffects(const Effects& effects, JsonObject& json);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_EFFECTS_H_
