// rundlet gauge: a dip reading; the book follows it.
#include <algorithm>
#include <cstdlib>

#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"

namespace rundlet::client {
namespace {

class Gauge : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    v1::Gauging gauging;
    gauging.set_vessel_id(vessel->ToBytes());
    if (volume_ != "empty" && volume_ != "0" && volume_ != "0L") {
      const auto volume_ul = ParseVolume(volume_);
      if (!volume_ul.ok()) return volume_ul.status();
      gauging.set_volume_ul(*volume_ul);
    }
    if (!cause_.empty()) {
      const auto account = ParseAccount(cause_, WineOutflowAccounts());
      if (!account.ok()) return account.status();
      gauging.set_cause(*account);
    }
    AskIfFarOff(planner, *vessel, gauging.volume_ul(), change);
    change.Add().mutable_gauging()->Swap(&gauging);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    app.add_option("volume", volume_, "what it holds, as measured: 18.2L, or empty")
        ->type_name("VOLUME|empty")
        ->required();
    app.add_option("--cause", cause_,
                   "where a shortfall went: evaporation, spill, loss ...; loss if left out")
        ->type_name("CAUSE");
  }

 private:
  // The book follows whatever is measured, so what is far off is worth a question.
  static void AskIfFarOff(const Planner& planner, const Uuid& vessel, int64_t measured_ul,
                          Change& change) {
    const int64_t book_ul = planner.moment().VolumeOf(vessel);
    const int64_t off_ul = std::abs(measured_ul - book_ul);
    const int64_t tolerance_ul = planner.moment().fold().state().tolerance().For(book_ul);
    if (off_ul <= std::max(book_ul / 10, 2 * tolerance_ul)) return;
    change.warnings.push_back(absl::StrCat(planner.NameOf(vessel), " holds ",
                                           book_ul == 0 ? "nothing" : FormatVolume(book_ul),
                                           " by the book, and this is ", FormatVolume(off_ul),
                                           measured_ul > book_ul ? " more" : " less",
                                           ": is the number right, and is it the right vessel?"));
  }

  std::string vessel_, volume_, cause_;
};

}  // namespace

std::unique_ptr<Command> MakeGauge() { return std::make_unique<Gauge>(); }

}  // namespace rundlet::client
