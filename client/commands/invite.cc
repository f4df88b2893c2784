// rundlet invite: a line that lets one device in.
#include <array>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "client/cli/json.h"
#include "client/cli/may.h"
#include "client/cli/server_call.h"
#include "client/commands/commands.h"
#include "client/commands/people.h"
#include "client/store/server_trust.h"
#include "core/identity/invitation.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kPatience = absl::Seconds(20);

// "12h", "1d", "2w". InvalidArgument for anything else.
absl::StatusOr<absl::Duration> ParseValid(absl::string_view text) {
  int64_t count = 0;
  const char unit = text.empty() ? ' ' : text.back();
  if (!text.empty() && absl::SimpleAtoi(text.substr(0, text.size() - 1), &count) && count > 0 &&
      count <= 1000) {
    if (unit == 'h') return absl::Hours(count);
    if (unit == 'd') return absl::Hours(24 * count);
    if (unit == 'w') return absl::Hours(7 * 24 * count);
  }
  return absl::InvalidArgumentError(
      absl::StrCat("--valid: '", text, "' is no time: write 12h, 1d or 2w; thirty days at most"));
}

class Invite : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("name", name_, "who may come in")
        ->type_name("MEMBER")
        ->required()
        ->check(NotEmpty());
    app.add_option("--role", role_, "master, hand or guest: hand, if not said")
        ->type_name("master|hand|guest");
    app.add_option("--valid", valid_, "how long it is good: 12h, 1d, 2w; a day, if not said")
        ->type_name("DURATION");
    app.add_option("--address", address_,
                   "HOST:PORT, where the newcomer reaches the server; as this device does, if not "
                   "said")
        ->type_name("HOST:PORT");
    app.add_flag("--no-qr", no_qr_, "the line alone");
    app.add_flag("--json", options_.json, "print JSON");
  }

  absl::Status Run(Session& session) override {
    absl::Status done =
        RunChange(session, options_, nullptr,
                  [&](Planner& planner, Change& change) { return Make(session, planner, change); });
    if (!done.ok()) return done;
    HandIn(session);
    if (options_.json) return absl::OkStatus();
    if (const auto qr =
            no_qr_ ? absl::StatusOr<std::string>("") : AskNetwork(session, "", {"--qr"}, line_);
        qr.ok() && !qr->empty())
      session.out() << "\n" << *qr;
    session.out() << "\n"
                  << name_ << " comes in with this line as a " << role_ << ", once, until "
                  << DayOf(expires_at_us_, session.env.zone)
                  << ". Whoever has it can: hand it on as you would a key.\n\n  " << line_
                  << "\n\nOn the new device: rundlet join, which asks for it.\n";
    return absl::OkStatus();
  }

 private:
  absl::Status Make(Session& session, Planner& planner, Change& change);
  static void HandIn(Session& session);
  absl::StatusOr<std::string> MakeLine(const Planner& planner, const std::string& seed,
                                       MemberRole role) const;

  std::string name_, role_ = "hand", valid_ = "1d", address_;
  bool no_qr_ = false;
  ChangeOptions options_;
  std::string line_;
  int64_t expires_at_us_ = 0;
};

absl::StatusOr<std::string> Invite::MakeLine(const Planner& planner, const std::string& seed,
                                             MemberRole role) const {
  const Store& store = planner.cellar().store;
  const auto trust = ReadServerTrust(store.home());
  if (!trust.ok()) return trust.status();
  auto key = evidence::SigningKey::FromSeed(seed);
  if (!key.ok()) return key.status();
  Invitation invitation{.server = address_.empty() ? store.device().server : address_,
                        .cellar_id = store.device().cellar_id,
                        .key = *std::move(key),
                        .role = role,
                        .expires_at_us = expires_at_us_};
  if (trust->kind == ServerTrust::Kind::kPinned) {
    const auto fingerprint = FingerprintOf(trust->pem);
    if (!fingerprint.ok()) return fingerprint.status();
    invitation.fingerprint = *fingerprint;
  } else {
    invitation.known = trust->kind == ServerTrust::Kind::kAuthority
                           ? Invitation::Known::kByAuthority
                           : Invitation::Known::kPlainText;
  }
  return FormatInvitation(invitation, seed);
}

absl::Status Invite::Make(Session& session, Planner& planner, Change& change) {
  const auto role = ParseRole(role_);
  if (!role.ok()) return role.status();
  const auto valid = ParseValid(valid_);
  if (!valid.ok()) return valid.status();
  // By the real clock: this is about the server, not about the book.
  expires_at_us_ = absl::ToUnixMicros(absl::Now() + *valid);
  const auto person = FindPerson(planner.cellar(), name_);
  if (!person.ok() && !absl::IsNotFound(person.status())) return person.status();
  if (absl::StrContains(person.status().message(), "Did you mean"))
    change.warnings.push_back(std::string(person.status().message()));

  std::array<uint8_t, evidence::SigningKey::kSeedSize> random;
  session.env.fill_random(absl::MakeSpan(random));
  const std::string seed(random.begin(), random.end());
  const auto key = evidence::SigningKey::FromSeed(seed);
  if (!key.ok()) return key.status();
  v1::Invited& invited = *change.Add().mutable_invited();
  invited.set_invitation_key(std::string(key->public_key().bytes()));
  invited.set_member_id((person.ok() ? *person : planner.NewId()).ToBytes());
  invited.set_member_name(name_);
  invited.set_role(ToProto(*role));
  invited.set_expires_at_us(expires_at_us_);
  if (absl::Status status = CheckMayWrite(planner.cellar(), change.entries); !status.ok())
    return status;

  const Store& store = planner.cellar().store;
  const auto line = MakeLine(planner, seed, *role);
  // A cellar without a server is told so by the call.
  if (!line.ok() && !absl::IsNotFound(line.status())) return line.status();
  v1::CreateInvitationRequest request;
  request.set_invitation_key(invited.invitation_key());
  request.set_member_id(invited.member_id());
  request.set_member_name(invited.member_name());
  request.set_role(invited.role());
  request.set_expires_at_us(invited.expires_at_us());
  v1::CreateInvitationResponse response;
  // The server first: nobody has the secret yet, so nothing is lost where the entry cannot be
  // saved.
  if (absl::Status status =
          CallServer(session, store.device(), store.home(), "CreateInvitation", request, response);
      !status.ok())
    return status;
  if (!line.ok()) return line.status();
  line_ = *line;
  change.details.emplace_back("invitation", JsonText(line_));
  change.details.emplace_back("expires_at_us", absl::StrCat(expires_at_us_));
  return absl::OkStatus();
}

// The journal has to say who was invited before they come in: nobody could check afterwards who let
// their device in. So this does not wait for the next sync.
void Invite::HandIn(Session& session) {
  const auto home = StoreHome::Locate(session.env);
  if (home.ok() && session.env.run_sync) {
    const auto report =
        session.env.run_sync({.home = home->dir(), .json = true, .budget = kPatience});
    if (report.ok() && report->finished &&
        (report->exit_code == kExitDone || report->exit_code == kExitSyncedNotAll))
      return;
  }
  session.err() << "note: the invitation is not in the journal yet: rundlet sync, before you hand "
                   "it on\n";
  session.exit_code = kExitNotSynced;
}

}  // namespace

std::unique_ptr<Command> MakeInvite() { return std::make_unique<Invite>(); }

}  // namespace rundlet::client
