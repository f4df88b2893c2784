#ifndef RUNDLET_CLIENT_COMMANDS_REPORT_COMMAND_H_
#define RUNDLET_CLIENT_COMMANDS_REPORT_COMMAND_H_

#include <string>

#include "absl/status/statusor.h"
#include "client/cli/command.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::client {

// A command that prints one report. It has --csv, --json, --as-of and --known-at.
class ReportCommand : public Command {
 public:
  void Declare(CLI::App& app) final;
  absl::Status Run(Session& session) final;

 protected:
  virtual void DeclareWords(CLI::App&) {}
  virtual absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) = 0;

 private:
  bool csv_ = false;
  bool json_ = false;
  StandpointWords standpoint_;
};

// --from, --until and --year. Days begin at midnight of the local zone, and --until is the last day
// that counts. What is not said is not bounded.
struct PeriodWords {
  std::string from, until, year;

  void Declare(CLI::App& app);
  absl::StatusOr<reports::Period> Read(const Session& session) const;
};

// The midnight that begins the local day of a word such as "2026-03-02" or "last fri", and the one
// that ends it. `option` is named in errors.
absl::StatusOr<reports::Period> ReadWholeDay(absl::string_view option, const std::string& word,
                                             const Session& session);
// The same for "2026".
absl::StatusOr<reports::Period> ReadYear(absl::string_view option, const std::string& word,
                                         const Session& session);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_REPORT_COMMAND_H_
