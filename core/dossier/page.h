#ifndef RUNDLET_CORE_DOSSIER_PAGE_H_
#define RUNDLET_CORE_DOSSIER_PAGE_H_

#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "core/dossier/verify.h"
#include "core/fold/fold.h"

namespace rundlet::dossier {

// A lot from juice to bottle, as a cellar tells it to outsiders: rows of texts, part by part.
struct Story {
  std::vector<std::string> about;                 // what is said of the lot
  std::vector<std::vector<std::string>> origins;  // what, amount
  std::vector<std::vector<std::string>> entries;  // when, what, who, entry, state
  std::vector<std::vector<std::string>> places;   // what is where, amount
  std::vector<std::vector<std::string>> shares;   // member, size of bottle, entitled, taken
  std::vector<std::string> findings;
};

// `entry_of` reads an entry by its id; its errors are returned.
absl::StatusOr<Story> TellStory(const Fold& fold, Handle lot, int64_t now_us,
                                absl::FunctionRef<absl::StatusOr<v1::Entry>(const Uuid&)> entry_of);

// The page: the story, which entry of it is proven by what, and the data by which `rundlet audit`
// finds that out. `verdict` is that of the dossier; `not_in_it` names entries of the story that it
// cannot prove, a sentence each. It needs nothing from elsewhere, runs nothing, and reads well on
// paper. Internal: the library failed.
absl::StatusOr<std::string> MakePage(const v1::Dossier& dossier, const Verdict& verdict,
                                     const Story& story, const std::vector<std::string>& not_in_it,
                                     int32_t utc_offset_min);

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_PAGE_H_
