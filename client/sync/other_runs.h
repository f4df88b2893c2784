#ifndef RUNDLET_CLIENT_SYNC_OTHER_RUNS_H_
#define RUNDLET_CLIENT_SYNC_OTHER_RUNS_H_

#include <iosfwd>
#include <string>

#include "absl/time/time.h"

namespace rundlet::client {

// What rundlet-sync does for `rundlet` beside syncing. The result goes to `out`: the code of an
// absl::Status on a line of its own, then the answer, or the text of the error. They return
// the exit code.

// A call of CellarService by its name; `request` and the answer are in protobuf's binary form.
int RunCall(const std::string& home, const std::string& method, const std::string& request,
            absl::Time deadline, std::ostream& out);

// A text as a QR code for a terminal: what draws it is linked here, where shared libraries are.
int RunQr(const std::string& text, std::ostream& out);

struct ServerWords {
  std::string address;      // HOST:PORT; empty: as before
  std::string fingerprint;  // of the certificate that it must show; empty: the one that is known
  bool authority = false;   // known by the system's authorities from now on
};

// Takes another address of the server, or another certificate, once it was seen there. The answer
// is the fingerprint, or nothing where it is known by an authority.
int RunServer(const std::string& home, const ServerWords& words, absl::Time deadline,
              std::ostream& out);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_OTHER_RUNS_H_
