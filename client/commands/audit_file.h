#ifndef RUNDLET_CLIENT_COMMANDS_AUDIT_FILE_H_
#define RUNDLET_CLIENT_COMMANDS_AUDIT_FILE_H_

#include <string>

#include "absl/status/status.h"
#include "client/cli/session.h"

namespace rundlet::client {

// `rundlet audit FILE`: checks a dossier, and tells what it proves. Needs nothing but the file.
struct AuditFileOptions {
  std::string path;
  std::string key;  // the server's has to be this one; empty: any, and it is printed
  bool json = false;
};

// Exit code 1 where something is wrong. InvalidArgument: the file is no dossier, or the key none.
absl::Status AuditFile(const AuditFileOptions& options, Session& session);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_AUDIT_FILE_H_
