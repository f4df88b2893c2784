// rundlet invitations, invitation revoke: who was invited, and what became of it.
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/server_call.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/people.h"
#include "core/rights/rights.h"

namespace rundlet::client {
namespace {

std::string StateWord(v1::InvitationState state) {
  switch (state) {
    case v1::INVITATION_STATE_OPEN:
      return "open";
    case v1::INVITATION_STATE_USED:
      return "used";
    case v1::INVITATION_STATE_EXPIRED:
      return "expired";
    case v1::INVITATION_STATE_REVOKED:
      return "revoked";
    default:
      return "?";
  }
}

absl::StatusOr<v1::ListInvitationsResponse> FetchInvitations(const Session& session,
                                                             const Store& store) {
  v1::ListInvitationsResponse response;
  absl::Status status = CallServer(session, store.device(), store.home(), "ListInvitations",
                                   v1::ListInvitationsRequest(), response);
  if (!status.ok()) return status;
  return response;
}

class Invitations : public ViewCommand {
 protected:
  bool HasPast() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto response = FetchInvitations(session, cellar.store);
    if (!response.ok()) return response.status();
    if (json()) {
      session.out() << ProtoJson(*response) << "\n";
      return absl::OkStatus();
    }
    Table table({"Who", "Role", "State", "Made", "Good until", "Mark"});
    for (const v1::InvitationLine& line : response->invitations()) {
      table.Add({line.member_name(), std::string(RoleName(line.role())), StateWord(line.state()),
                 DayOf(line.created_at_us(), session.env.zone),
                 DayOf(line.expires_at_us(), session.env.zone), MarkOfKey(line.invitation_key())});
    }
    session.out() << (table.empty() ? "nobody was invited: rundlet invite NAME\n"
                                    : table.Print(session.columns()));
    return absl::OkStatus();
  }
};

// invitation revoke "Tobias Wren", or by its mark
class InvitationRevoke : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("which", which_, "who was invited, or the invitation's mark")
        ->type_name("MEMBER")
        ->required();
  }

  absl::Status Run(Session& session) override {
    const auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const Store& store = cellar->store;
    const auto response = FetchInvitations(session, store);
    if (!response.ok()) return response.status();
    std::vector<v1::InvitationLine> found;
    for (const v1::InvitationLine& line : response->invitations()) {
      if (line.state() == v1::INVITATION_STATE_OPEN &&
          (absl::EqualsIgnoreCase(line.member_name(), which_) ||
           MarkOfKey(line.invitation_key()) == which_))
        found.push_back(line);
    }
    if (found.empty())
      return absl::NotFoundError(
          absl::StrCat("no open invitation is for '", which_, "': see rundlet invitations"));
    if (found.size() > 1)
      return absl::FailedPreconditionError(
          absl::StrCat("several open invitations are for '", which_,
                       "': name one by its mark, as rundlet ", "invitations shows it"));
    v1::RevokeInvitationRequest request;
    request.set_invitation_key(found[0].invitation_key());
    v1::RevokeInvitationResponse nothing;
    if (absl::Status status =
            CallServer(session, store.device(), store.home(), "RevokeInvitation", request, nothing);
        !status.ok())
      return status;
    session.out() << "the invitation of " << found[0].member_name() << " is void\n";
    return absl::OkStatus();
  }

 private:
  std::string which_;
};

}  // namespace

std::unique_ptr<Command> MakeInvitations() { return std::make_unique<Invitations>(); }
std::unique_ptr<Command> MakeInvitationRevoke() { return std::make_unique<InvitationRevoke>(); }

}  // namespace rundlet::client
