#include "core/reports/losses.h"

#include "absl/strings/str_cat.h"
#include "core/fold/mix.h"
#include "core/quantity/format.h"
#include "core/reports/register.h"

namespace rundlet::reports {
namespace {

struct Cause {
  v1::Account account;
  bool loss;  // false: a gain
  const char* word;
};

constexpr Cause kCauses[] = {
    {v1::ACCOUNT_LEES, true, "lees"},
    {v1::ACCOUNT_EVAPORATION, true, "evaporation"},
    {v1::ACCOUNT_SPILL, true, "spill"},
    {v1::ACCOUNT_BREAKAGE, true, "breakage"},
    {v1::ACCOUNT_LOSS, true, "loss, cause not told apart"},
    {v1::ACCOUNT_COUNTED, true, "missing at a count"},
    {v1::ACCOUNT_GAIN, false, "gain, cause not known"},
    {v1::ACCOUNT_COUNTED, false, "more at a count"},
};

// A total has no crossing: what is only moved about is no throughput of the cellar.
int64_t ThroughputOf(const RegisterRow& row, bool total) {
  int64_t sum = row.opening + (total ? 0 : row.crossed_in);
  for (const int64_t in : row.in) sum += in;
  return sum;
}

void TellRow(const RegisterRow& row, bool total, Sink& sink) {
  const bool wine = row.size_ul == 0;
  const int64_t throughput = ThroughputOf(row, total);
  const auto amount = [wine](int64_t base) {
    return wine ? Cell::Volume(base) : Cell::Count(base);
  };
  for (const Cause& cause : kCauses) {
    const int64_t lost = cause.loss ? row.out[cause.account] : row.in[cause.account];
    if (lost == 0) continue;
    // Lost is at most what there was: the share is at most one.
    const int64_t ppm = lost <= throughput ? Scale(lost, 1'000'000, throughput).whole : 0;
    sink.Row({Cell::Text(row.name),
              Cell::Text(wine ? "wine" : absl::StrCat("bottles ", FormatVolume(row.size_ul))),
              Cell::Text(cause.loss ? "lost" : "found"), Cell::Text(cause.word),
              Cell::Text(wine ? "L" : "bottles"), amount(lost), amount(throughput),
              Cell::Ppm(ppm)});
  }
}

}  // namespace

absl::Status TellLosses(const Fold& fold, const Period& period, Sink& sink) {
  const auto made = MakeRegister(fold, period, RegisterBy::kVessel);
  if (!made.ok()) return made.status();
  sink.Begin("losses", {{"where", "Where"},
                        {"what", "What"},
                        {"way", "Lost or found"},
                        {"cause", "Cause"},
                        {"unit", "Unit"},
                        {"amount", "Amount", true},
                        {"throughput", "Of a throughput of", true},
                        {"share_percent", "Share", true}});
  for (const RegisterRow& row : made->rows) TellRow(row, false, sink);
  for (const RegisterRow& row : made->totals) TellRow(row, true, sink);
  return absl::OkStatus();
}

}  // namespace rundlet::reports
