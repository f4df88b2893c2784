// The commands of rundletd about invitations.
#include <optional>

#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/strip.h"
#include "core/identity/invitation.h"
#include "core/identity/qr.h"
#include "server/admin_commands.h"
#include "server/tls/certificate.h"

namespace rundlet::server {
namespace {

constexpr size_t kShownHexDigits = 16;  // of a key: enough to tell them apart
constexpr absl::Duration kDay = absl::Hours(24);

// "1d", "12h", "90m".
absl::StatusOr<absl::Duration> ParseValidity(absl::string_view text) {
  absl::string_view days = text;
  double count = 0;
  if (absl::ConsumeSuffix(&days, "d") && absl::SimpleAtod(days, &count) && count > 0 &&
      count < 1000)
    return count * kDay;
  absl::Duration duration;
  if (absl::ParseDuration(std::string(text), &duration)) return duration;
  return absl::InvalidArgumentError(
      absl::StrCat("--valid '", text, "' is no time: write 1d, 12h or 30m"));
}

std::string TimeText(absl::Time time) {
  return absl::FormatTime("%Y-%m-%d %H:%M UTC", time, absl::UTCTimeZone());
}

std::string HexOf(const evidence::PublicKey& key) { return absl::BytesToHexString(key.bytes()); }

absl::string_view StateName(v1::InvitationState state) {
  switch (state) {
    case v1::INVITATION_STATE_OPEN:
      return "open";
    case v1::INVITATION_STATE_USED:
      return "used";
    case v1::INVITATION_STATE_EXPIRED:
      return "expired";
    default:
      return "revoked";
  }
}

absl::StatusOr<std::string> TextOf(const NewInvitation& made, const Reach& reach) {
  auto key = evidence::SigningKey::FromSeed(made.seed);
  if (!key.ok()) return key.status();
  Invitation invitation{.server = reach.address,
                        .cellar_id = made.cellar_id,
                        .key = *std::move(key),
                        .role = made.row.role,
                        .expires_at_us = absl::ToUnixMicros(made.row.expires_at),
                        .known = reach.known};
  if (reach.known == Invitation::Known::kByFingerprint) {
    const auto certificate = ReadCertificate(reach.certificate_pem);
    if (!certificate.ok()) return certificate.status();
    invitation.fingerprint = certificate->fingerprint;
  }
  return FormatInvitation(invitation, made.seed);
}

// The one whose key, in hexadecimal, begins so.
absl::StatusOr<evidence::PublicKey> FindKey(const std::vector<InvitationRow>& all,
                                            absl::string_view hex) {
  std::optional<evidence::PublicKey> found;
  for (const InvitationRow& invitation : all) {
    if (hex.empty() || !absl::StartsWithIgnoreCase(HexOf(invitation.key), hex)) continue;
    if (found.has_value())
      return absl::InvalidArgumentError(
          absl::StrCat("several invitations begin with '", hex, "': give more of it"));
    found = invitation.key;
  }
  if (found.has_value()) return *found;
  return absl::NotFoundError(
      absl::StrCat("there is no invitation '", hex, "': rundletd invitations lists them"));
}

}  // namespace

void AdminCommands::AddInvitationOptions(CLI::App* command) {
  command->add_option("--valid", valid_, "How long it is good: 1d, 12h, 30m; at most 30d")
      ->capture_default_str();
  command->add_flag("--qr", qr_, "Draw the QR code also where the output is no terminal");
}

void AdminCommands::AddInvitationCommands(CLI::App& app) {
  CLI::App* invite = AddCommand(&app, "invite", "Let one device of a member in, by an invitation",
                                &AdminCommands::Invite);
  invite->add_option("--cellar", cellar_, "The cellar, by id or name")->required();
  invite->add_option("--member", member_, "Name of the member; the same name is the same member")
      ->required();
  invite->add_option("--role", role_, "What the member may do: hand, guest or master")
      ->check(CLI::IsMember({"hand", "guest", "master"}))
      ->capture_default_str();
  AddInvitationOptions(invite);
  CLI::App* list =
      AddCommand(&app, "invitations", "List invitations", &AdminCommands::ListInvitations);
  list->add_option("--cellar", cellar_, "Only of this cellar, by id or name");
  CLI::App* invitation = app.add_subcommand("invitation", "Take invitations back");
  invitation->fallthrough();
  invitation->require_subcommand(1);
  CLI::App* revoke = AddCommand(invitation, "revoke", "Let nobody in by it from now on",
                                &AdminCommands::RevokeInvitation);
  revoke->add_option("--cellar", cellar_, "The cellar, by id or name")->required();
  revoke->add_option("key", key_, "Its key as 'invitations' shows it, or the beginning")
      ->required();
}

// One line a value, so that a script finds each by its first word.
absl::Status AdminCommands::PrintInvitation(const NewInvitation& made, const Reach& reach,
                                            std::ostream& out) {
  const absl::StatusOr<std::string> text = TextOf(made, reach);
  if (!text.ok()) return text.status();
  out << "cellar " << made.cellar_id.ToString() << '\n'
      << "member " << made.row.member_id.ToString() << '\n'
      << "role " << RoleName(made.row.role) << '\n'
      << "server " << reach.address << '\n'
      << "expires " << TimeText(made.row.expires_at) << '\n'
      << "invitation " << *text << '\n';
  if (!qr_ && !options_.terminal) return absl::OkStatus();
  const auto code = MakeQr(*text);
  if (!code.ok()) return code.status();
  out << DrawQr(*code) << "It lets one device in: rundlet join asks for it there.\n";
  return absl::OkStatus();
}

absl::StatusOr<int> AdminCommands::NewCellar(Admin& admin, std::ostream& out) {
  const absl::StatusOr<absl::Duration> valid = ParseValidity(valid_);
  if (!valid.ok()) return valid.status();
  const absl::StatusOr<Reach> reach = options_.reach();
  if (!reach.ok()) return reach.status();
  const auto made = admin.NewCellar(name_, master_, *valid);
  if (!made.ok()) return made.status();
  const absl::Status printed = PrintInvitation(*made, *reach, out);
  if (!printed.ok()) return printed;
  return 0;
}

absl::StatusOr<int> AdminCommands::Invite(Admin& admin, std::ostream& out) {
  const absl::StatusOr<absl::Duration> valid = ParseValidity(valid_);
  if (!valid.ok()) return valid.status();
  const absl::StatusOr<Reach> reach = options_.reach();
  if (!reach.ok()) return reach.status();
  const absl::StatusOr<CellarName> cellar = admin.FindCellar(cellar_);
  if (!cellar.ok()) return cellar.status();
  const absl::StatusOr<MemberRole> role = ParseRole(role_);
  if (!role.ok()) return role.status();
  const auto made = admin.Invite(cellar->cellar_id, member_, *role, *valid);
  if (!made.ok()) return made.status();
  const absl::Status printed = PrintInvitation(*made, *reach, out);
  if (!printed.ok()) return printed;
  return 0;
}

absl::StatusOr<int> AdminCommands::ListInvitations(Admin& admin, std::ostream& out) {
  const absl::StatusOr<std::vector<CellarName>> cellars = ChosenCellars(admin);
  if (!cellars.ok()) return cellars.status();
  for (const CellarName& cellar : *cellars) {
    const auto invitations = admin.ListInvitations(cellar.cellar_id);
    if (!invitations.ok()) return invitations.status();
    out << cellar.name << " (" << cellar.cellar_id.ToString() << ")\n";
    for (const InvitationRow& invitation : *invitations) {
      out << absl::StrFormat(
          "  %s  %-7s  %-6s  %s, until %s\n", HexOf(invitation.key).substr(0, kShownHexDigits),
          StateName(invitation.StateAt(options_.now())), RoleName(invitation.role),
          invitation.member_name, TimeText(invitation.expires_at));
    }
  }
  return 0;
}

absl::StatusOr<int> AdminCommands::RevokeInvitation(Admin& admin, std::ostream& out) {
  const absl::StatusOr<CellarName> cellar = admin.FindCellar(cellar_);
  if (!cellar.ok()) return cellar.status();
  const auto all = admin.ListInvitations(cellar->cellar_id);
  if (!all.ok()) return all.status();
  const auto key = FindKey(*all, key_);
  if (!key.ok()) return key.status();
  const absl::Status revoked = admin.RevokeInvitation(cellar->cellar_id, *key);
  if (!revoked.ok()) return revoked;
  out << "revoked " << HexOf(*key).substr(0, kShownHexDigits) << '\n';
  return 0;
}

}  // namespace rundlet::server
