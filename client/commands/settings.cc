// rundlet settings: what the whole cellar has agreed on.
#include <algorithm>

#include "absl/algorithm/container.h"
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"
#include "core/entry/limits.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/rules/limits.h"

namespace rundlet::client {
namespace {

constexpr int64_t kPpmPerPercent = 10'000;
constexpr int64_t kMaxToleranceUl = 50'000'000;  // beyond it the book would believe anything

class SettingsShow : public ViewCommand {
 protected:
  absl::Status Show(Cellar& cellar, Session& session) override {
    const v1::SettingsChanged& settings = cellar.fold->directory().settings();
    const Tolerance& tolerance = cellar.fold->state().tolerance();
    if (json()) {
      v1::SettingsChanged all = settings;
      all.set_tolerance_ppm(tolerance.ppm);
      all.set_tolerance_ul(tolerance.ul);
      session.out() << ProtoJson(all) << "\n";
      return absl::OkStatus();
    }
    const std::string& name =
        settings.cellar_name().empty() ? cellar.store.device().cellar_name : settings.cellar_name();
    session.out() << "name           " << name << "\n"
                  << "tolerance      " << PrintRatio(tolerance.ppm, kPpmPerPercent, 0, 4)
                  << " %, or " << FormatVolume(tolerance.ul) << " where that is more\n"
                  << "jurisdictions  "
                  << (settings.jurisdictions().codes().empty()
                          ? "none"
                          : absl::StrJoin(settings.jurisdictions().codes(), ", "))
                  << "\n"
                  << "currency       "
                  << (settings.currency().empty() ? "not said" : settings.currency()) << "\n";
    return absl::OkStatus();
  }
};

// settings change --tolerance 2% --tolerance-volume 250mL --jurisdictions EU,GB
class SettingsChange : public ChangeCommand {
 public:
  absl::Status Make(Planner&, Change& change) override {
    v1::SettingsChanged settings;
    if (!name_.empty()) settings.set_cellar_name(name_);
    if (!percent_.empty()) {
      absl::string_view text = percent_;
      const auto number = TakeNumber(&text);
      if (!number.ok() || (text != "%" && !text.empty()))
        return Usage("--tolerance: write a percentage, such as 2%");
      const auto ppm =
          DivideHalfEven(static_cast<__int128>(number->num) * kPpmPerPercent, number->den);
      if (!ppm.has_value() || ppm->value < 0 || ppm->value > kMaxTolerancePpm)
        return Usage("--tolerance: write a percentage from 0% to 50%");
      settings.set_tolerance_ppm(ppm->value);
    }
    if (!volume_.empty()) {
      const auto volume_ul = ParseVolume(volume_);
      if (!volume_ul.ok())
        return Usage(absl::StrCat("--tolerance-volume: ", volume_ul.status().message()));
      if (*volume_ul > kMaxToleranceUl)
        return Usage("--tolerance-volume: write a volume of 50 L at most, such as 250mL");
      settings.set_tolerance_ul(*volume_ul);
    }
    if (!jurisdictions_.empty()) {
      settings.mutable_jurisdictions();
      if (jurisdictions_ != "none") {
        for (absl::string_view code :
             absl::StrSplit(jurisdictions_, absl::ByAnyChar(", "), absl::SkipEmpty())) {
          const std::string upper = absl::AsciiStrToUpper(code);
          const auto known = rules::KnownJurisdictions();
          if (std::find(known.begin(), known.end(), upper) == known.end()) {
            return Usage(absl::StrCat("--jurisdictions: '", code, "' is not known here: write ",
                                      absl::StrJoin(known, ", "), " or none"));
          }
          settings.mutable_jurisdictions()->add_codes(upper);
        }
      }
    }
    if (!currency_.empty()) {
      const bool three = currency_.size() == 3 && absl::c_all_of(currency_, [](unsigned char c) {
                           return absl::ascii_isalpha(c);
                         });
      if (!three) return Usage("--currency: write three letters, such as EUR");
      settings.set_currency(absl::AsciiStrToUpper(currency_));
    }
    if (settings.ByteSizeLong() == 0)
      return Usage("nothing is changed: rundlet settings change --help");
    change.Add().mutable_settings_changed()->Swap(&settings);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--name", name_, "the name of the cellar")->type_name("NAME");
    app.add_option("--tolerance", percent_, "how far a measured volume may lie above the book: 2%")
        ->type_name("PERCENT");
    app.add_option("--tolerance-volume", volume_,
                   "the same as a volume: 250mL; the larger of the two counts")
        ->type_name("VOLUME");
    app.add_option("--currency", currency_, "what costs are in: EUR, GBP, USD (ISO 4217)")
        ->type_name("CODE");
    // OIV is the standard of the International Organisation of Vine and Wine.
    app.add_option("--jurisdictions", jurisdictions_,
                   absl::StrCat("whose limits apply: ",
                                absl::StrJoin(rules::KnownJurisdictions(), ", "), ", or none"))
        ->type_name("CODES");
  }

 private:
  std::string name_, percent_, volume_, jurisdictions_, currency_;
};

}  // namespace

std::unique_ptr<Command> MakeSettings() { return std::make_unique<SettingsShow>(); }
std::unique_ptr<Command> MakeSettingsChange() { return std::make_unique<SettingsChange>(); }

}  // namespace rundlet::client
