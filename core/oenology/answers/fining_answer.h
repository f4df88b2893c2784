#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_FINING_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_FINING_ANSWER_H_

#include <optional>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/fining.h"

// A dose outside its published range is reckoned all the same, and warned of.
namespace rundlet::oenology {

struct FiningAsked {
  Fining fining = Fining::kBentonite;
  double volume_l = 0;
  double dose_mg_l = 0;                // of the dry substance
  std::optional<double> stock_pct_wv;  // a solution or suspension, 0.01 to 50; its mL are given too
  double slurry_pct = kUsualSlurryPct;  // bentonite only
  std::vector<Ceiling> ceilings;        // mg/L
};
// Bentonite with its slurry, gelatine, PVPP, tannin, oak chips ... Silica sol takes stock as % w/w.
absl::StatusOr<Answer> AnswerFining(const FiningAsked& asked);

struct TwoPartAsked {
  double volume_l = 0;
  double silica_mg_l = 0;             // SiO2
  double sol_pct = 30;                // % w/w
  Fining second = Fining::kChitosan;  // or a gelatine
  double second_mg_l = 0;
  double second_stock_pct_wv = 1;  // of what is poured, 0.01 to 50
  std::vector<Ceiling> ceilings;   // on the second, mg/L
};
// Silica sol, then chitosan or gelatine.
absl::StatusOr<Answer> AnswerTwoPartFining(const TwoPartAsked& asked);

// From the glass to the vessel. With `fining` the dose is held against its range.
absl::StatusOr<Answer> AnswerBenchTrial(const BenchTrial& trial, double volume_l,
                                        std::optional<Fining> fining);

struct CopperAsked {
  double volume_l = 0;
  double copper_mg_l = 0;                 // rise wanted, as Cu; 0.02 to 2
  std::optional<double> copper_now_mg_l;  // measured or reckoned; missing: unknown, and said
  double stock_pct_wv = 1;                // of copper sulfate pentahydrate, 0.01 to 10
  std::vector<Ceiling> ceilings;          // on copper in the wine, mg/L
};
absl::StatusOr<Answer> AnswerCopper(const CopperAsked& asked);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_FINING_ANSWER_H_
