#ifndef RUNDLET_CLIENT_BASE_ENVIRONMENT_H_
#define RUNDLET_CLIENT_BASE_ENVIRONMENT_H_

#include <cstdint>
#include <functional>
#include <optional>
#include <ostream>
#include <string>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "client/base/sync_call.h"
#include "core/base/uuid.h"
#include "core/quantity/when.h"

namespace rundlet::client {

// Everything that a command takes from the world around it, handed in so that a test can choose it.
struct Environment {
  std::function<absl::Time()> clock;
  absl::TimeZone zone;
  std::function<void(absl::Span<uint8_t>)> fill_random;
  // An environment variable; empty when it is not set or set to nothing.
  std::function<std::string(const std::string& name)> variable;
  std::ostream* out = nullptr;  // the result
  // Whether nobody reads `out` any more, as behind "| head"; empty where that cannot be known.
  std::function<bool()> reader_gone;
  std::ostream* err = nullptr;  // everything said about it
  // How many characters a line of `out` has where that is a terminal; 0: it is none.
  size_t columns = 0;
  // The terminal of whoever looks on while the program runs, where a line can be written over;
  // nullptr: nobody does, or it cannot.
  std::ostream* watched = nullptr;
  // Runs rundlet-sync; empty where there is none.
  std::function<absl::StatusOr<SyncReport>(const SyncCall& call)> run_sync;

  When Now() const { return WhenAt(clock(), zone); }
  // A new version 7 id.
  Uuid NewId() const;
};

// The real one, of this process. RUNDLET_NOW (RFC 3339, "2026-03-02T14:00:00+01:00") stops the
// clock at that moment and takes its offset for the local time: for demonstrations and tests, never
// for records that count. InvalidArgument if it is set to something else.
absl::StatusOr<Environment> SystemEnvironment();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_ENVIRONMENT_H_
