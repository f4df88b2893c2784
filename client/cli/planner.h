#ifndef RUNDLET_CLIENT_CLI_PLANNER_H_
#define RUNDLET_CLIENT_CLI_PLANNER_H_

#include <string>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/base/environment.h"
#include "client/cellar/moment.h"

namespace rundlet::client {

// What a command is about to write.
struct Change {
  std::vector<v1::Entry> entries;     // bodies only; the last is what the command is about
  std::vector<std::string> warnings;  // what a person may have overlooked
  std::vector<std::string> cautions;  // where the act can hurt somebody
  // What the command adds to its JSON: a name, and JSON.
  std::vector<std::pair<std::string, std::string>> details;

  v1::Entry& Add() { return entries.emplace_back(); }
};

// A vessel and how much of it: "C1", "C1=18.5L", "C1=all", "C1=rest".
struct VesselAmount {
  Uuid vessel;
  std::string name;   // as written
  bool said = false;  // whether an amount was written
  bool whole = true;  // "all" or "rest", or nothing said
  int64_t volume_ul = 0;
};

// Turns the words of a command into what an entry says: finds things by name, reads amounts. Errors
// name what was written and say what to write instead.
class Planner {
 public:
  // The cellar gives the names; `moment` what the vessels hold where the entry will be filed.
  Planner(Cellar& cellar, Moment moment, When now, const Environment& env)
      : cellar_(cellar), fold_(*cellar.fold), moment_(std::move(moment)), now_(now), env_(env) {}

  Cellar& cellar() const { return cellar_; }
  const Fold& fold() const { return fold_; }
  const Moment& moment() const { return moment_; }
  const When& now() const { return now_; }
  const absl::TimeZone& zone() const { return env_.zone; }
  Uuid NewId() const { return env_.NewId(); }
  std::string NameOf(const Uuid& thing) const;
  const v1::Thing* Find(const Uuid& thing) const;  // nullptr while nobody has registered it

  // A vessel by its name, or by that of a lot which is in one vessel alone.
  absl::StatusOr<Uuid> Vessel(absl::string_view word) const;
  // A thing of one kind by its name.
  absl::StatusOr<Uuid> Named(v1::Thing::KindCase kind, absl::string_view name) const;
  // A thing of any kind by its name, or by "lot:NAME" where several kinds share one.
  absl::StatusOr<Uuid> Anything(absl::string_view word) const;
  // A thing, found or made: where none is called so, an entry that registers it goes into the
  // change, with a warning where a slip is likely. `fresh` says which.
  absl::StatusOr<Uuid> FindOrMake(v1::Thing::KindCase kind, absl::string_view name, Change& change,
                                  v1::Thing** fresh) const;

  absl::StatusOr<VesselAmount> ReadVesselAmount(absl::string_view word) const;

 private:
  Cellar& cellar_;
  const Fold& fold_;
  Moment moment_;
  When now_;
  const Environment& env_;
};

// The handle of a thing by its name, "lot:NAME" included.
absl::StatusOr<Handle> FindAnything(const Fold& fold, absl::string_view word);

// Gives a thing of a kind its name.
void SetName(v1::Thing::KindCase kind, absl::string_view name, v1::Thing& thing);

// "23L" of "C1=23L"; the name alone when there is no '='.
struct NameAndValue {
  std::string name;
  std::string value;
  bool has_value = false;
};
NameAndValue SplitAtEquals(absl::string_view word);

// InvalidArgument: what is missing, in words.
absl::Status Usage(absl::string_view text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_PLANNER_H_
