#ifndef RUNDLET_CLIENT_COMMANDS_THING_H_
#define RUNDLET_CLIENT_COMMANDS_THING_H_

#include <memory>
#include <string>
#include <vector>

#include "client/cli/change.h"

namespace rundlet::client {

// The attributes of one kind of thing, as options. One that was not said is not touched.
class ThingFields {
 public:
  virtual ~ThingFields() = default;
  virtual void Declare(CLI::App& app) = 0;
  // Puts what was said into the thing.
  virtual absl::Status Fill(const Planner& planner, v1::Thing& thing) const = 0;
};

// What the commands about things need to know of a kind.
struct ThingKind {
  v1::Thing::KindCase kind;
  std::unique_ptr<ThingFields> (*fields)();
  // How things of the kind are listed.
  std::vector<std::string> headings;
  std::vector<std::string> (*row)(const Fold& fold, Handle handle, const v1::Thing& thing);
};

const ThingKind& VesselKind();
const ThingKind& GearKind();
const ThingKind& MaterialKind();
const ThingKind& PacketKind();
const ThingKind& BinKind();
const ThingKind& MemberKind();
const ThingKind& LotKind();
const ThingKind& BottlingKind();

// AlreadyExists where a thing of the kind that is not retired has the name, in any case of letters.
absl::Status CheckNameIsFree(const Fold& fold, v1::Thing::KindCase kind, absl::string_view name);

// NEW name... : registers things.
class ThingNew : public ChangeCommand {
 public:
  explicit ThingNew(const ThingKind& kind) : kind_(kind), fields_(kind.fields()) {}
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override;

 private:
  const ThingKind& kind_;
  std::unique_ptr<ThingFields> fields_;
  std::vector<std::string> names_;
};

// CHANGE name: says other things of it.
class ThingChange : public ChangeCommand {
 public:
  explicit ThingChange(const ThingKind& kind) : kind_(kind), fields_(kind.fields()) {}
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override;

 private:
  const ThingKind& kind_;
  std::unique_ptr<ThingFields> fields_;
  std::string name_;
  std::string new_name_;
};

// RETIRE name: it is no longer in use.
class ThingRetire : public ChangeCommand {
 public:
  explicit ThingRetire(const ThingKind& kind) : kind_(kind) {}
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override;

 private:
  const ThingKind& kind_;
  std::string name_;
  std::string reason_;
};

class ThingList : public ViewCommand {
 public:
  explicit ThingList(const ThingKind& kind) : kind_(kind) {}

 protected:
  void DeclareWords(CLI::App& app) override;
  absl::Status Show(Cellar& cellar, Session& session) override;

 private:
  const ThingKind& kind_;
  bool retired_ = false;
};

template <const ThingKind& (*Kind)(), typename ThingCommand>
std::unique_ptr<Command> MakeThing() {
  return std::make_unique<ThingCommand>(Kind());
}

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_THING_H_
