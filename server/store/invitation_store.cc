#include "server/store/invitation_store.h"

#include <stdexcept>

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"
#include "server/store/pg_value.h"

namespace rundlet::server {
namespace {

constexpr char kSelect[] = R"sql(
select invitation_key, member_id, member_name, role, made_by,
       (extract(epoch from created_at) * 1000000)::bigint,
       (extract(epoch from expires_at) * 1000000)::bigint,
       (extract(epoch from revoked_at) * 1000000)::bigint,
       (extract(epoch from used_at) * 1000000)::bigint, used_by
from rundlet.invitation where cellar_id = $1)sql";

std::optional<absl::Time> TimeFrom(const pqxx::field& field) {
  if (field.is_null()) return std::nullopt;
  return absl::FromUnixMicros(field.as<int64_t>());
}

std::optional<Uuid> MaybeUuidFrom(const pqxx::field& field) {
  if (field.is_null()) return std::nullopt;
  return UuidFrom(field);
}

InvitationRow RowFrom(const pqxx::row& row) {
  const absl::StatusOr<MemberRole> role = ParseRole(row[3].c_str());
  if (!role.ok()) throw std::runtime_error("an invitation's row is not what the schema promises");
  return {.key = PublicKeyFrom(row[0]),
          .member_id = UuidFrom(row[1]),
          .member_name = row[2].c_str(),
          .role = *role,
          .made_by = MaybeUuidFrom(row[4]),
          .created_at = *TimeFrom(row[5]),
          .expires_at = *TimeFrom(row[6]),
          .revoked_at = TimeFrom(row[7]),
          .used_at = TimeFrom(row[8]),
          .used_by = MaybeUuidFrom(row[9])};
}

}  // namespace

v1::InvitationState InvitationRow::StateAt(absl::Time now) const {
  if (used_at.has_value()) return v1::INVITATION_STATE_USED;
  if (revoked_at.has_value()) return v1::INVITATION_STATE_REVOKED;
  if (now >= expires_at) return v1::INVITATION_STATE_EXPIRED;
  return v1::INVITATION_STATE_OPEN;
}

absl::Status InvitationStore::Make(const InvitationRow& made) {
  std::optional<std::string> made_by;
  if (made.made_by.has_value()) made_by = made.made_by->ToString();
  return Guard("make an invitation", [&] {
    tx_.work().exec_params0(
        "insert into rundlet.invitation (cellar_id, invitation_key, member_id, member_name, role,"
        " made_by, created_at, expires_at) values ($1, $2, $3, $4, $5, $6, $7, $8)",
        tx_.cellar(), BytesParameter(made.key.bytes()), made.member_id.ToString(), made.member_name,
        std::string(RoleName(made.role)), made_by, TimeParameter(made.created_at),
        TimeParameter(made.expires_at));
  });
}

absl::StatusOr<InvitationRow> InvitationStore::Find(const evidence::PublicKey& key) {
  return Guard("look an invitation up", [&]() -> absl::StatusOr<InvitationRow> {
    const pqxx::result rows =
        tx_.work().exec_params(absl::StrCat(kSelect, " and invitation_key = $2"), tx_.cellar(),
                               BytesParameter(key.bytes()));
    if (rows.empty()) return absl::NotFoundError("there is no such invitation here");
    return RowFrom(rows[0]);
  });
}

absl::StatusOr<std::vector<InvitationRow>> InvitationStore::List(int most) {
  return Guard("list invitations", [&] {
    std::vector<InvitationRow> invitations;
    for (const pqxx::row& row : tx_.work().exec_params(
             absl::StrCat(kSelect, " order by created_at desc, invitation_key limit $2"),
             tx_.cellar(), most))
      invitations.push_back(RowFrom(row));
    return invitations;
  });
}

absl::Status InvitationStore::MarkUsed(const evidence::PublicKey& key, const Uuid& device_id,
                                       absl::Time now) {
  return Guard("use an invitation", [&] {
    tx_.work().exec_params0(
        "update rundlet.invitation set used_at = greatest($3, created_at), used_by = $4"
        " where cellar_id = $1 and invitation_key = $2",
        tx_.cellar(), BytesParameter(key.bytes()), TimeParameter(now), device_id.ToString());
  });
}

absl::Status InvitationStore::Revoke(const evidence::PublicKey& key, absl::Time now) {
  return Guard("take an invitation back", [&] {
    tx_.work().exec_params0(
        "update rundlet.invitation set revoked_at = coalesce(revoked_at, greatest($3, created_at))"
        " where cellar_id = $1 and invitation_key = $2",
        tx_.cellar(), BytesParameter(key.bytes()), TimeParameter(now));
  });
}

absl::StatusOr<int> InvitationStore::RevokeOpenWhere(absl::string_view condition, const Uuid& id,
                                                     absl::Time now) {
  return Guard("take invitations back", [&] {
    const pqxx::result done = tx_.work().exec_params(
        absl::StrCat("update rundlet.invitation set revoked_at = greatest($3, created_at)"
                     " where cellar_id = $1 and revoked_at is null and used_at is null"
                     " and expires_at > $3 and ",
                     condition),
        tx_.cellar(), id.ToString(), TimeParameter(now));
    return static_cast<int>(done.affected_rows());
  });
}

absl::StatusOr<int> InvitationStore::RevokeMadeByDevice(const Uuid& device_id, absl::Time now) {
  return RevokeOpenWhere("made_by = $2", device_id, now);
}

absl::StatusOr<int> InvitationStore::RevokeMadeByMember(const Uuid& member_id, absl::Time now) {
  return RevokeOpenWhere(
      "made_by in (select device_id from rundlet.device where cellar_id = $1 and member_id = $2)",
      member_id, now);
}

absl::StatusOr<int> InvitationStore::RevokeFor(const Uuid& member_id, absl::Time now) {
  return RevokeOpenWhere("member_id = $2", member_id, now);
}

}  // namespace rundlet::server
