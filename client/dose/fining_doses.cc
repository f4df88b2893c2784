// Finings, tannin, copper, oak.
#include "absl/status/status.h"
#include "client/dose/ceilings.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/answers/fining_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;
using oenology::Fining;

struct Named {
  const char* word;
  Fining fining;
};

constexpr Named kFinings[] = {
    {"bentonite", Fining::kBentonite},
    {"silica", Fining::kSilicaSol},
    {"gelatine", Fining::kGelatineWhite},
    {"gelatine-red", Fining::kGelatineRed},
    {"chitosan", Fining::kChitosan},
    {"casein", Fining::kCasein},
    {"isinglass", Fining::kIsinglass},
    {"egg", Fining::kEggAlbumin},
    {"pvpp", Fining::kPvpp},
    {"tannin", Fining::kTannin},
    {"oak", Fining::kOakChips},
};

std::vector<std::string> FiningWords() {
  std::vector<std::string> words;
  for (const Named& named : kFinings) words.emplace_back(named.word);
  return words;
}

Fining FiningNamed(const std::string& word) {
  for (const Named& named : kFinings) {
    if (word == named.word) return named.fining;
  }
  return Fining::kBentonite;
}

template <Fining fining>
absl::StatusOr<Answer> One(const DoseCase& dose) {
  oenology::FiningAsked asked;
  asked.fining = fining;
  asked.volume_l = dose.wine.volume_l();
  asked.dose_mg_l = dose.values["dose"];
  asked.stock_pct_wv = dose.values.Find("stock");
  asked.slurry_pct = dose.values.Or("slurry", asked.slurry_pct);
  asked.ceilings = CeilingsFor(dose, {.substance = SubstanceOf(fining)});
  return oenology::AnswerFining(asked);
}

absl::StatusOr<Answer> TwoPart(const DoseCase& dose) {
  const Values& values = dose.values;
  oenology::TwoPartAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.silica_mg_l = values["silica"];
  asked.sol_pct = values.Or("sol", asked.sol_pct);
  if (const std::string word = values.Word("second"); !word.empty())
    asked.second = FiningNamed(word);
  asked.second_mg_l = values["dose"];
  asked.second_stock_pct_wv = values.Or("stock", asked.second_stock_pct_wv);
  asked.ceilings = CeilingsFor(dose, {.substance = SubstanceOf(asked.second)});
  return oenology::AnswerTwoPartFining(asked);
}

absl::StatusOr<Answer> Trial(const DoseCase& dose) {
  const Values& values = dose.values;
  const std::string word = values.Word("of");
  return oenology::AnswerBenchTrial(
      {.stock_pct_wv = values["stock"], .stock_ml = values["used"], .sample_ml = values["sample"]},
      dose.wine.volume_l(), word.empty() ? std::nullopt : std::make_optional(FiningNamed(word)));
}

absl::StatusOr<Answer> Copper(const DoseCase& dose) {
  oenology::CopperAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.copper_mg_l = dose.values["dose"];
  asked.copper_now_mg_l = dose.values.Find("now");
  asked.stock_pct_wv = dose.values.Or("stock", asked.stock_pct_wv);
  asked.ceilings =
      CeilingsFor(dose, {.substance = rules::v1::SUBSTANCE_COPPER, .in_the_wine = true});
  return oenology::AnswerCopper(asked);
}

const Input kDose = {"--dose", InputKind::kMgPerL, "of the dry substance: 300mg/L, 0.3g/L", true};
const Input kStock = {"--stock", InputKind::kPercent, "a solution of so many g in 100 mL"};

DoseSubject Simple(const char* word, const char* about, const char* kind, const char* name,
                   absl::StatusOr<Answer> (*work)(const DoseCase&)) {
  return {word, about, {}, {kDose, kStock}, kind, name, work};
}

}  // namespace

std::vector<DoseSubject> FiningDoses() {
  DoseSubject bentonite = Simple("bentonite", "bentonite, its slurry and water", "bentonite",
                                 "bentonite", One<Fining::kBentonite>);
  bentonite.inputs.push_back(
      {"--slurry", InputKind::kPercent, "g in 100 mL of water; 6 if not said"});
  return {
      bentonite,
      {"two-part",
       "silica sol, then chitosan or gelatine",
       {},
       {{"--silica", InputKind::kMgPerL, "SiO2: 100mg/L", true},
        {"--sol", InputKind::kPercent, "of the sol by weight; 30 if not said"},
        {"--second",
         InputKind::kWord,
         "chitosan if not said, gelatine or gelatine-red",
         false,
         {"chitosan", "gelatine", "gelatine-red"}},
        {"--dose", InputKind::kMgPerL, "of the second, dry", true},
        {"--stock", InputKind::kPercent, "of the second as it is poured; 1 if not said"}},
       "silica",
       "",
       TwoPart},
      {"trial",
       "from a trial in the glass to the vessel",
       {},
       {{"--stock", InputKind::kPercent, "of the stock: g in 100 mL", true},
        {"--used", InputKind::kVolumeMl, "of the stock in the chosen glass: 2mL", true},
        {"--sample", InputKind::kVolumeMl, "of wine in it: 100mL", true},
        {"--of", InputKind::kWord, "what it is, to hold it against its range", false,
         FiningWords()}},
       "fining",
       "",
       Trial},
      Simple("gelatine", "gelatine for white wine", "gelatin", "gelatine",
             One<Fining::kGelatineWhite>),
      Simple("gelatine-red", "gelatine for red wine", "gelatin", "gelatine",
             One<Fining::kGelatineRed>),
      Simple("chitosan", "chitosan", "chitosan", "chitosan", One<Fining::kChitosan>),
      Simple("isinglass", "isinglass", "isinglass", "isinglass", One<Fining::kIsinglass>),
      Simple("casein", "casein", "casein", "casein", One<Fining::kCasein>),
      Simple("egg", "egg albumin", "egg", "egg albumin", One<Fining::kEggAlbumin>),
      Simple("pvpp", "PVPP", "pvpp", "PVPP", One<Fining::kPvpp>),
      Simple("tannin", "tannin", "tannin", "tannin", One<Fining::kTannin>),
      Simple("oak", "oak chips", "oak", "oak chips", One<Fining::kOakChips>),
      {"copper",
       "copper sulfate against reduction, with its ceiling",
       {},
       {{"--dose", InputKind::kMgPerL, "rise of copper: 0.2mg/L", true},
        {"--now", InputKind::kMgPerL, "copper in the wine, as measured"},
        {"--stock", InputKind::kPercent, "of copper sulfate in solution; 1 if not said"}},
       "copper",
       "copper sulfate solution",
       Copper},
  };
}

}  // namespace rundlet::client
