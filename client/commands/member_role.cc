// rundlet member role, member leave: what somebody may do here, and that they may no longer.
#include "absl/strings/str_cat.h"
#include "client/cli/server_call.h"
#include "client/commands/commands.h"
#include "client/commands/people.h"
#include "core/rights/rights.h"

namespace rundlet::client {
namespace {

// The id of a member, by what the server and the book know of names.
absl::StatusOr<Uuid> AskForPerson(const Session& session, Cellar& cellar, const std::string& name) {
  v1::ListDevicesResponse devices;
  if (absl::Status status = CallServer(session, cellar.store.device(), cellar.store.home(),
                                       "ListDevices", v1::ListDevicesRequest(), devices);
      !status.ok())
    return status;
  return FindPerson(cellar, devices, name);
}

class MemberRoleCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("name", name_, "who")->type_name("MEMBER")->required();
    app.add_option("role", role_, "master, hand or guest")
        ->type_name("master|hand|guest")
        ->required();
  }

  absl::Status Run(Session& session) override {
    const auto role = ParseRole(role_);
    if (!role.ok()) return role.status();
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const auto person = AskForPerson(session, *cellar, name_);
    if (!person.ok()) return person.status();
    v1::SetMemberRoleRequest request;
    request.set_member_id(person->ToBytes());
    request.set_role(ToProto(*role));
    v1::SetMemberRoleResponse nothing;
    const Store& store = cellar->store;
    if (absl::Status status =
            CallServer(session, store.device(), store.home(), "SetMemberRole", request, nothing);
        !status.ok())
      return status;
    session.out() << name_ << " is a " << RoleName(*role)
                  << " from now on; their devices know it when they sync\n";
    return absl::OkStatus();
  }

 private:
  std::string name_, role_;
};

class MemberLeave : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("name", name_, "who")->type_name("MEMBER")->required();
  }

  absl::Status Run(Session& session) override {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const auto person = AskForPerson(session, *cellar, name_);
    if (!person.ok()) return person.status();
    v1::RemoveMemberRequest request;
    request.set_member_id(person->ToBytes());
    v1::RemoveMemberResponse gone;
    const Store& store = cellar->store;
    if (absl::Status status =
            CallServer(session, store.device(), store.home(), "RemoveMember", request, gone);
        !status.ok())
      return status;
    session.out() << name_ << " has left: " << gone.devices()
                  << (gone.devices() == 1 ? " device is" : " devices are") << " refused, "
                  << gone.invitations()
                  << (gone.invitations() == 1 ? " open invitation is" : " open invitations are")
                  << " void. What they wrote stays\n"
                  << "to leave them out of lists, too: rundlet member retire '" << name_ << "'\n";
    return absl::OkStatus();
  }

 private:
  std::string name_;
};

}  // namespace

std::unique_ptr<Command> MakeMemberRole() { return std::make_unique<MemberRoleCommand>(); }
std::unique_ptr<Command> MakeMemberLeave() { return std::make_unique<MemberLeave>(); }

}  // namespace rundlet::client
