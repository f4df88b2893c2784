#include "client/cli/session.h"

#include "client/store/store_home.h"
#include "core/quantity/when.h"

namespace rundlet::client {
namespace {

constexpr size_t kDamageShown = 5;

void ReportDamage(const Cellar& cellar, std::ostream& err) {
  for (size_t i = 0; i < cellar.damage.size() && i < kDamageShown; ++i) {
    err << "damaged: " << cellar.damage[i] << "\n";
  }
  if (cellar.damage.size() > kDamageShown)
    err << "... and " << cellar.damage.size() - kDamageShown << " more\n";
  if (!cellar.damage.empty()) err << "fetch what the server has of them: rundlet sync --repair\n";
}

void ReportStop(const Cellar& cellar, std::ostream& err) {
  const RowId stopped = cellar.fold->stopped_at();
  if (stopped == kNone) return;
  const Row& row = cellar.fold->sequence().row(stopped);
  err << "the book is shown up to "
      << FormatWhen({.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min})
      << ": what follows was written by a newer Rundlet; upgrade this one to see it\n";
}

}  // namespace

absl::StatusOr<Cellar> OpenAndReport(Session& session) {
  const auto home = StoreHome::Locate(session.env);
  if (!home.ok()) return home.status();
  auto cellar = OpenCellar(*home);
  if (!cellar.ok()) return cellar.status();
  ReportDamage(*cellar, session.err());
  ReportStop(*cellar, session.err());
  return cellar;
}

}  // namespace rundlet::client
