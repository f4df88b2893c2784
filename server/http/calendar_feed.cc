#include "server/http/calendar_feed.h"

#include "absl/algorithm/container.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "core/plans/calendar.h"
#include "core/plans/plan_state.h"
#include "server/log/log.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kLongestWait = absl::Seconds(10);
constexpr int kBadRequest = 400, kForbidden = 403, kNotFound = 404, kTooMany = 429, kAway = 503;

// A name of the time zone database, and no path: the library would open any file that it is told
// to.
bool IsZoneName(absl::string_view name) {
  constexpr size_t kLongest = 64;
  return !name.empty() && name.size() <= kLongest && absl::ascii_isalpha(name[0]) &&
         absl::c_all_of(name, [](unsigned char c) {
           return absl::ascii_isalnum(c) || absl::StrContains("_+-/", static_cast<char>(c));
         });
}

HttpResponse Refuse(int status, absl::string_view text) {
  return {.status = status, .body = absl::StrCat(text, "\n")};
}

HttpResponse RefuseFor(const absl::Status& status) {
  if (absl::IsUnauthenticated(status) || absl::IsPermissionDenied(status))
    return Refuse(
        kForbidden,
        "this address is not good, or not any more: ask who keeps the server for another");
  if (absl::IsResourceExhausted(status)) return Refuse(kTooMany, status.message());
  Log(Level::kWarning, "calendar_failed", {{"error", status}});
  return Refuse(kAway, "the cellar cannot be read now: try again in a minute");
}

}  // namespace

HttpResponse CalendarFeed::Answer(const HttpRequest& request) const {
  absl::string_view token = request.path;
  if (!absl::ConsumePrefix(&token, "/calendar/") || !absl::ConsumeSuffix(&token, ".ics"))
    return Refuse(kNotFound, "there is nothing here: /calendar/TOKEN.ics");
  const auto ticket = parts_.limits.Begin(request.address);
  if (!ticket.ok()) return RefuseFor(ticket.status());
  const absl::Time deadline = parts_.now() + kLongestWait;
  const absl::StatusOr<Device> device =
      parts_.authenticator.Authenticate(absl::StrCat("Bearer ", token), request.address, deadline);
  if (!device.ok()) return RefuseFor(device.status());
  const absl::Status within = parts_.limits.Identify(**ticket, device->device_id, 0);
  if (!within.ok()) return RefuseFor(within);
  if (device->role != MemberRole::kGuest) {
    return Refuse(kForbidden,
                  "such an address may be read by others, and this token may write: make one for a "
                  "guest: rundletd reader new");
  }
  absl::TimeZone zone = parts_.zone;
  if (const auto named = request.query.find("zone");
      named != request.query.end() &&
      !(IsZoneName(named->second) && absl::LoadTimeZone(named->second, &zone)))
    return Refuse(kBadRequest, "zone: write one such as Europe/Berlin");
  const auto transaction = CellarTransaction::Begin(parts_.pool, device->cellar_id, deadline);
  if (!transaction.ok()) return RefuseFor(transaction.status());
  HttpResponse response{.content_type = "text/calendar; charset=utf-8"};
  const absl::Status status =
      ReadCellar(**transaction, parts_.cache, [&](const LoadedCellar& cellar) {
        const Fold& fold = cellar.fold();
        const int64_t now_us = absl::ToUnixMicros(parts_.now());
        const std::string& set = fold.directory().settings().cellar_name();
        response.body = plans::PrintCalendar(
            set.empty() ? device->cellar_name : set,
            plans::EventsOf(fold, plans::PlansOf(fold, now_us), now_us, zone), now_us);
        return absl::OkStatus();
      });
  return status.ok() ? response : RefuseFor(status);
}

}  // namespace rundlet::server
