#ifndef RUNDLET_SERVER_HTTP_CALENDAR_FEED_H_
#define RUNDLET_SERVER_HTTP_CALENDAR_FEED_H_

#include <functional>

#include "absl/time/time.h"
#include "server/cellar/cellar_cache.h"
#include "server/http/http_server.h"
#include "server/limits/caller_limits.h"
#include "server/pg/connection_pool.h"
#include "server/service/authenticator.h"

namespace rundlet::server {

// What is to be done in a cellar, as a calendar that phones and computers subscribe to (iCalendar,
// RFC 5545): GET /calendar/TOKEN.ics, or /calendar/TOKEN.ics?zone=Europe/Berlin for days in another
// time zone than the server's.
//
// The token is that of a guest's device: an address like this is copied, kept and passed on, so
// whoever has it must not be able to change anything. It is revoked as any device is. Thread-safe.
class CalendarFeed {
 public:
  struct Parts {
    ConnectionPool& pool;
    CellarCache& cache;
    Authenticator& authenticator;
    CallerLimits& limits;  // the same as for calls of the service, and counted together
    std::function<absl::Time()> now;
    absl::TimeZone zone;
  };

  explicit CalendarFeed(Parts parts) : parts_(std::move(parts)) {}

  HttpResponse Answer(const HttpRequest& request) const;

 private:
  const Parts parts_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_HTTP_CALENDAR_FEED_H_
